package figure

import (
	"image/color"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/font/liberation"
)

// Type sizes in CSS pixels; at 360 px wide they shrink to three quarters.
const (
	titleSize = 18
	headSize  = 14
	textSize  = 13
	smallSize = 12.5
)

// Where the ink of a text is, as a share of its size.
const (
	inkAscent = 0.74 // height of capitals and figures over the baseline
	inkDrop   = 0.21 // depth of g, p, y
)

// lettering is how a text is set.
type lettering struct {
	size   float64
	bold   bool
	colour color.RGBA
}

var (
	plain   = lettering{textSize, false, ink}
	quiet   = lettering{textSize, false, pale}
	small   = lettering{smallSize, false, ink}
	tick    = lettering{smallSize, false, pale}
	heading = lettering{headSize, true, ink}
	titling = lettering{titleSize, true, ink}
)

func (l lettering) in(c color.RGBA) lettering { l.colour = c; return l }
func (l lettering) bolder() lettering         { l.bold = true; return l }

// lead is the distance between the baselines of two lines.
func (l lettering) lead() float64 { return 1.22 * l.size }

var fonts = sync.OnceValue(func() *font.Cache { return font.NewCache(liberation.Collection()) })

func (l lettering) face() font.Face {
	f := font.Font{Typeface: "Liberation", Variant: "Sans"}
	if l.bold {
		f.Weight = 3 // bold, as golang.org/x/image/font counts
	}
	return fonts().Lookup(f, font.Length(l.size))
}

// width of a text, in CSS pixels.
func (l lettering) width(s string) float64 {
	f := l.face()
	return float64(f.Width(clean(s)))
}

// fit shortens a text to a width, with an ellipsis.
func (l lettering) fit(s string, width float64) string {
	if l.width(s) <= width {
		return s
	}
	r := []rune(s)
	for n := len(r) - 1; n > 0; n-- {
		if t := strings.TrimRight(string(r[:n]), " ") + "…"; l.width(t) <= width {
			return t
		}
	}
	return "…"
}

// wrap breaks a text into at most `most` lines between words; what does not
// fit is cut with an ellipsis.
func (l lettering) wrap(s string, width float64, most int) []string {
	var lines []string
	line := ""
	words := strings.Fields(clean(s))
	for i, w := range words {
		next := w
		if line != "" {
			next = line + " " + w
		}
		if line == "" || l.width(next) <= width {
			line = next
			continue
		}
		if len(lines) == most-1 {
			line += " " + strings.Join(words[i:], " ")
			break
		}
		lines = append(lines, l.fit(line, width))
		line = w
	}
	if line == "" {
		return lines
	}
	return l.notAlone(append(lines, l.fit(line, width)), width)
}

// notAlone takes a word down to a last line that is hardly one: not "seed" above and "1." below.
func (l lettering) notAlone(lines []string, width float64) []string {
	n := len(lines) - 1
	if n < 1 || utf8.RuneCountInString(lines[n]) > 4 {
		return lines
	}
	if at := strings.LastIndex(lines[n-1], " "); at > 0 {
		if last := lines[n-1][at+1:] + " " + lines[n]; l.width(last) <= width {
			lines[n-1], lines[n] = lines[n-1][:at], last
		}
	}
	return lines
}

// balanced wraps a text into no more lines than it needs, but of like length.
func (l lettering) balanced(s string, width float64, most int) []string {
	lines := l.wrap(s, width, most)
	if len(lines) < 2 || len(lines) == most {
		return lines
	}
	for w := width - 8; w > width/2; w -= 8 {
		narrower := l.wrap(s, w, most)
		if len(narrower) > len(lines) || len(strings.Join(narrower, "")) != len(strings.Join(lines, "")) {
			break
		}
		lines = narrower
	}
	return lines
}

// clean drops what neither a font nor XML can hold: control characters and
// broken UTF-8.
func clean(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t':
			return ' '
		case unicode.IsControl(r) || r == unicode.ReplacementChar || r >= 0xfffe && r <= 0xffff:
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, ""))
}
