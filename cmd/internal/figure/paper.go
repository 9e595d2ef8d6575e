package figure

import (
	"image/color"
	"math"

	"gonum.org/v1/plot/vg"
)

// paper is what a figure draws on: x to the right, y downwards from the top, in
// CSS pixels. Without a canvas it only measures. It keeps the box of every
// text, so that labels can avoid each other and tests can look for collisions.
type paper struct {
	canvas vg.Canvas // nil while measuring
	height float64
	texts  []textBox
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

func onCanvas(c vg.Canvas, height float64) *paper {
	p := &paper{canvas: c, height: height}
	p.rect(box{0, 0, Width, height}, white)
	return p
}

func (p *paper) at(x, y float64) vg.Point {
	return vg.Point{X: vg.Length(x), Y: vg.Length(p.height - y)}
}

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

func (p *paper) path(pts []dot, closed bool) vg.Path {
	var path vg.Path
	for i, d := range pts {
		if i == 0 {
			path.Move(p.at(d.x, d.y))
		} else {
			path.Line(p.at(d.x, d.y))
		}
	}
	if closed {
		path.Close()
	}
	return path
}

func (p *paper) polygon(pts []dot, fill color.RGBA) {
	if p.canvas == nil || len(pts) < 3 {
		return
	}
	p.canvas.SetColor(fill)
	p.canvas.Fill(p.path(pts, true))
}

func (p *paper) rect(b box, fill color.RGBA) {
	if b.x1 > b.x0 && b.y1 > b.y0 {
		p.polygon([]dot{{b.x0, b.y0}, {b.x1, b.y0}, {b.x1, b.y1}, {b.x0, b.y1}}, fill)
	}
}

// line strokes through the points; dashes of nil draw it solid.
func (p *paper) line(c color.RGBA, width float64, dashes []float64, pts ...dot) {
	if p.canvas == nil || len(pts) < 2 {
		return
	}
	p.canvas.Push()
	p.canvas.SetColor(c)
	p.canvas.SetLineWidth(vg.Length(width))
	ds := make([]vg.Length, len(dashes))
	for i, d := range dashes {
		ds[i] = vg.Length(d)
	}
	p.canvas.SetLineDash(ds, 0)
	p.canvas.Stroke(p.path(pts, false))
	p.canvas.Pop()
}

func (p *paper) disc(d dot, r float64, fill color.RGBA) {
	if p.canvas == nil {
		return
	}
	var path vg.Path
	path.Move(p.at(d.x+r, d.y))
	path.Arc(p.at(d.x, d.y), vg.Length(r), 0, 2*math.Pi)
	path.Close()
	p.canvas.SetColor(fill)
	p.canvas.Fill(path)
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
	if p.canvas == nil {
		return
	}
	p.canvas.SetColor(l.colour)
	p.canvas.FillString(l.face(), p.at(b.x0, y), s)
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
	if p.canvas == nil {
		return
	}
	p.canvas.Push()
	p.canvas.SetColor(l.colour)
	at := p.at(x, y)
	p.canvas.Translate(at)
	p.canvas.Rotate(math.Pi / 2)
	p.canvas.FillString(l.face(), vg.Point{}, s)
	p.canvas.Pop()
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
