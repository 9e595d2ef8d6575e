package figure

import (
	"image/color"
	"math"
)

// paper is what a figure draws on: x to the right, y downwards from the top, in
// CSS pixels. Without a pen it only measures. It keeps the box of every text,
// so that labels can avoid each other and tests can look for collisions, and
// the spots that have something to say, for pens that can show it.
type paper struct {
	pen   pen // nil while measuring
	width float64
	bare  bool // without title, subtitle and note: what stands around says them
	texts []textBox
	spots []spot
}

// pen puts marks where a paper says. There are two: one for files (vgpen.go),
// one for pages (pagepen.go).
type pen interface {
	polygon(pts []dot, fill color.RGBA)
	line(c color.RGBA, width float64, dashes []float64, pts []dot)
	disc(d dot, r float64, fill color.RGBA)
	// text writes one line with its baseline at y; b is where it stands.
	text(x, y float64, a anchor, b box, l lettering, s string)
	// textUp writes one line upwards from (x, y).
	textUp(x, y float64, l lettering, s string)
}

// spot is a part of a picture that says its numbers when it is pointed at.
type spot struct {
	box
	at    []dot // what is marked when it is; may be empty
	words string
	minor bool // said elsewhere too: not a stop for the keyboard
}

// says makes a part of the picture say something.
func (p *paper) says(b box, words string, at ...dot) {
	p.spots = append(p.spots, spot{box: b, at: at, words: clean(words)})
}

type box struct{ x0, y0, x1, y1 float64 }

type textBox struct {
	box
	text string
	size float64
}

// anchor is the part of a text that stands at the given x.
type anchor int

const (
	left anchor = iota
	middle
	right
)

func (b box) overlaps(o box) bool {
	return b.x0 < o.x1 && o.x0 < b.x1 && b.y0 < o.y1 && o.y0 < b.y1
}

// overlap is the area two boxes share.
func (b box) overlap(o box) float64 {
	w := math.Min(b.x1, o.x1) - math.Max(b.x0, o.x0)
	h := math.Min(b.y1, o.y1) - math.Max(b.y0, o.y0)
	if w <= 0 || h <= 0 {
		return 0
	}
	return w * h
}

func (b box) grow(d float64) box { return box{b.x0 - d, b.y0 - d, b.x1 + d, b.y1 + d} }

func (b box) width() float64 { return b.x1 - b.x0 }

// dot is a point on the paper.
type dot struct{ x, y float64 }

func (p *paper) polygon(pts []dot, fill color.RGBA) {
	if p.pen != nil && len(pts) > 2 {
		p.pen.polygon(pts, fill)
	}
}

func (p *paper) rect(b box, fill color.RGBA) {
	if b.x1 > b.x0 && b.y1 > b.y0 {
		p.polygon([]dot{{b.x0, b.y0}, {b.x1, b.y0}, {b.x1, b.y1}, {b.x0, b.y1}}, fill)
	}
}

// line strokes through the points; dashes of nil draw it solid.
func (p *paper) line(c color.RGBA, width float64, dashes []float64, pts ...dot) {
	if p.pen != nil && len(pts) > 1 {
		p.pen.line(c, width, dashes, pts)
	}
}

func (p *paper) disc(d dot, r float64, fill color.RGBA) {
	if p.pen != nil {
		p.pen.disc(d, r, fill)
	}
}

// textBoxAt is where a text would stand with its baseline at y.
func textBoxAt(x, y float64, a anchor, l lettering, s string) box {
	w := l.width(s)
	x -= w * float64(a) / 2
	return box{x, y - inkAscent*l.size, x + w, y + inkDrop*l.size}
}

// text writes one line with its baseline at y.
func (p *paper) text(x, y float64, a anchor, l lettering, s string) {
	s = clean(s)
	if s == "" {
		return
	}
	b := textBoxAt(x, y, a, l, s)
	p.texts = append(p.texts, textBox{b, s, l.size})
	if p.pen != nil {
		p.pen.text(x, y, a, b, l, s)
	}
}

// textUp writes one line from the bottom upwards, its baseline at x; the anchor
// is along y: left starts at y, right ends there.
func (p *paper) textUp(x, y float64, a anchor, l lettering, s string) {
	s = clean(s)
	if s == "" {
		return
	}
	w := l.width(s)
	y += w * float64(a) / 2
	p.texts = append(p.texts, textBox{box{x - inkAscent*l.size, y - w, x + inkDrop*l.size, y}, s, l.size})
	if p.pen != nil {
		p.pen.textUp(x, y, l, s)
	}
}

// lines writes several lines one under the other and tells where the next
// baseline would be.
func (p *paper) lines(x, y float64, a anchor, l lettering, lines []string) float64 {
	for _, s := range lines {
		p.text(x, y, a, l, s)
		y += l.lead()
	}
	return y
}
