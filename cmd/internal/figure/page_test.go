package figure

import (
	"fmt"
	"image/color"
	"math"
	"strings"
	"testing"
)

// Widths that pages lay pictures out for.
var pageWidths = []float64{348, 680}

// At the widths of pages too, no two texts touch and none leaves the picture.
func TestPageTextsDoNotOverlap(t *testing.T) {
	list := append(demos(), demo{"bands-40", demoBands(40)}, demo{"calendar-40", demoCalendar(40)}) // as many seasons as a plan may have
	for _, d := range list {
		for _, width := range pageWidths {
			checkWidth(t, d.name, d.fig, width)
		}
	}
}

func checkWidth(t *testing.T, name string, f Figure, width float64) {
	t.Helper()
	p := &paper{width: width, bare: true}
	height := f.draw(p)
	for i, a := range p.texts {
		if a.x0 < 0 || a.y0 < 0 || a.x1 > width || a.y1 > height {
			t.Errorf("%s, %g wide: %q leaves the picture: %.0f,%.0f to %.0f,%.0f of %g,%.0f", name, width, a.text, a.x0, a.y0, a.x1, a.y1, width, height)
		}
		for _, b := range p.texts[i+1:] {
			if a.overlaps(b.box) {
				t.Errorf("%s, %g wide: %q and %q overlap", name, width, a.text, b.text)
			}
		}
	}
}

// A picture of a page is well-formed, labelled, and takes font and colours from
// the page: every class that it uses is in the style of its press.
func TestPagePictures(t *testing.T) {
	for _, d := range demos() {
		var press Press
		svg := press.Draw(d.fig, 680)
		_, root := elements(t, d.name, []byte(svg))
		label := ""
		for _, a := range root.Attr {
			if a.Name.Local == "aria-label" {
				label = a.Value
			}
		}
		if about := About(d.fig); label != about.Title+". "+about.Desc {
			t.Errorf("%s is labelled %q", d.name, label)
		}
		for _, bad := range []string{"font-family", "fill=\"#", "stroke=\"#", " id=", "NaN", "Inf"} {
			if strings.Contains(svg, bad) {
				t.Errorf("%s holds %s", d.name, bad)
			}
		}
		style := press.Style()
		for _, part := range strings.Split(svg, `class="`)[1:] {
			names, _, _ := strings.Cut(part, `"`)
			for _, n := range strings.Fields(names) {
				if len(n) == 7 && !strings.Contains(style, "."+n+"{") {
					t.Errorf("%s uses the class %s, which has no style", d.name, n)
				}
			}
		}
		if press.Draw(d.fig, 680) != svg {
			t.Errorf("%s: two drawings differ", d.name)
		}
	}
}

// What a figure shows can be pointed at, and stands in its table: the first
// median of the bands, under the same words.
func TestSpotsAndTables(t *testing.T) {
	for _, d := range demos() {
		p := &paper{width: 480, bare: true}
		d.fig.draw(p)
		stops := 0
		for _, s := range p.spots {
			if s.words == "" || s.x1 <= s.x0 || s.y1 <= s.y0 {
				t.Errorf("%s: a spot says %q in %v", d.name, s.words, s.box)
			}
			if !s.minor {
				stops++
			}
		}
		if stops == 0 {
			t.Errorf("%s has nothing to point at", d.name)
		}
		for _, table := range Table(d.fig) {
			for _, row := range table.Rows {
				if len(row) != len(table.Head) {
					t.Errorf("%s: a row of %d cells under %d headings", d.name, len(row), len(table.Head))
				}
			}
			if len(table.Rows) == 0 {
				t.Errorf("%s: a table without rows", d.name)
			}
		}
	}
	f := &Bands{Seasons: []Season{{HarvestYear: 2027, Crop: "spring barley"}}, Panels: []Panel{
		{Name: "Weed heads", Unit: "per m²", Kind: Log, Bands: []Spread{{P05: 0, P25: 0.5, P50: 7.5, P75: 20, P95: 94, Zero: 0.12}}}}}
	p := &paper{width: 480, bare: true}
	f.draw(p)
	const words = "2027 spring barley. Weed heads, per m²: middle run 7.5, half of the runs 0.50 to 20, nine in ten none to 94, none in 12 % of runs."
	if p.spots[0].words != words {
		t.Errorf("the spot says\n%q, want\n%q", p.spots[0].words, words)
	}
	if got := fmt.Sprint(Table(f)); got != "[{Weed heads, per m² [Harvest Crop 1 in 20 below 1 in 4 below half below 1 in 4 above 1 in 20 above runs with "+
		"none] [[2027 spring barley none 0.50 7.5 20 94 12%]]}]" {
		t.Errorf("the table is %s", got)
	}
}

// Oklab of primaries, from the article that defines it (B. Ottosson 2020, table
// of XYZ pairs; of sRGB white, red and blue as commonly quoted, from memory).
func TestOklab(t *testing.T) {
	for _, c := range []struct {
		colour  color.RGBA
		l, a, b float64
	}{{white, 1, 0, 0}, {color.RGBA{255, 0, 0, 255}, 0.628, 0.225, 0.126}, {color.RGBA{0, 0, 255, 255}, 0.452, -0.032, -0.312}} {
		l, a, b := oklab(c.colour)
		if math.Abs(l-c.l) > 0.001 || math.Abs(a-c.a) > 0.001 || math.Abs(b-c.b) > 0.001 {
			t.Errorf("%v is %.3f %.3f %.3f, want %v %v %v", c.colour, l, a, b, c.l, c.a, c.b)
		}
		if back, ok := fromOklab(l, a, b); !ok || back != c.colour {
			t.Errorf("%v comes back as %v (%v)", c.colour, back, ok)
		}
	}
}

// WCAG 2.2: text stands out 4.5 to 1 (1.4.3), lines and marks 3 to 1 (1.4.11),
// in a light page and in its dark counterpart.
func TestDarkPagesStandOut(t *testing.T) {
	for _, dark := range []bool{false, true} {
		shown := func(c color.RGBA) color.RGBA {
			if dark {
				return turned(c)
			}
			return c
		}
		check := func(what string, front, back color.RGBA, least float64) {
			t.Helper()
			if got := contrast(shown(front), shown(back)); got < least {
				t.Errorf("dark %v: %s: contrast %.2f, want %g", dark, what, got, least)
			}
		}
		check("text", ink, white, 7)
		check("text of second rank", pale, white, 4.5)
		check("text of second rank on shade", pale, shade, 4.5)
		for h := range hueCount {
			check(fmt.Sprintf("text of hue %d", h), h.text(), white, 4.5)
			check(fmt.Sprintf("line of hue %d", h), h.colour(), white, 3)
		}
		var fills []color.RGBA
		for h := range hueCount {
			fills = append(fills, h.colour(), h.part())
		}
		for _, fl := range append(append([]flow{}, budgetIn...), budgetOut...) {
			fills = append(fills, fl.fill)
		}
		for _, fill := range fills {
			text := on(fill)
			if dark {
				text, fill = onTurned(fill), turned(fill)
			}
			if got := contrast(text, fill); got < 4.5 {
				t.Errorf("dark %v: text %v on %v: contrast %.2f, want 4.5", dark, text, fill, got)
			}
		}
	}
}

// The three parts of a band are told apart without their hue: each is lighter
// than the next, in a dark page darker.
func TestTintsAscend(t *testing.T) {
	for h := range hueCount {
		for _, dark := range []bool{false, true} {
			list := []color.RGBA{h.colour(), h.inner(), h.outer(), white}
			for i := range list[1:] {
				a, b := luminance(list[i]), luminance(list[i+1])
				if dark {
					b, a = luminance(turned(list[i])), luminance(turned(list[i+1]))
				}
				if b <= a {
					t.Errorf("hue %d, dark %v: step %d does not ascend", h, dark, i)
				}
			}
		}
	}
}

// Every text of a page is held to the width of its layout, since the reader's font
// may be wider than the one that was measured.
func TestPageTextsKeepTheirWidth(t *testing.T) {
	for _, d := range demos() {
		for _, width := range pageWidths {
			var press Press
			page := press.Draw(d.fig, width)
			texts, held := strings.Count(page, "<text "), strings.Count(page, ` textLength="`)
			if texts == 0 || held != texts {
				t.Errorf("%s, %g wide: %d of %d texts are held to their width", d.name, width, held, texts)
			}
		}
	}
}
