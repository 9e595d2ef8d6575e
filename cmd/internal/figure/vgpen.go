package figure

import (
	"image/color"
	"math"

	"gonum.org/v1/plot/vg"
)

// vgPen draws on a canvas of gonum/plot, whose y runs upwards.
type vgPen struct {
	canvas vg.Canvas
	height float64
}

// onCanvas is a white paper of a file's size.
func onCanvas(c vg.Canvas, height float64) *paper {
	p := &paper{pen: &vgPen{c, height}, width: Width}
	p.rect(box{0, 0, Width, height}, white)
	return p
}

func (v *vgPen) at(x, y float64) vg.Point {
	return vg.Point{X: vg.Length(x), Y: vg.Length(v.height - y)}
}

func (v *vgPen) path(pts []dot, closed bool) vg.Path {
	var path vg.Path
	for i, d := range pts {
		if i == 0 {
			path.Move(v.at(d.x, d.y))
		} else {
			path.Line(v.at(d.x, d.y))
		}
	}
	if closed {
		path.Close()
	}
	return path
}

func (v *vgPen) polygon(pts []dot, fill color.RGBA) {
	v.canvas.SetColor(fill)
	v.canvas.Fill(v.path(pts, true))
}

func (v *vgPen) line(c color.RGBA, width float64, dashes []float64, pts []dot) {
	v.canvas.Push()
	v.canvas.SetColor(c)
	v.canvas.SetLineWidth(vg.Length(width))
	ds := make([]vg.Length, len(dashes))
	for i, d := range dashes {
		ds[i] = vg.Length(d)
	}
	v.canvas.SetLineDash(ds, 0)
	v.canvas.Stroke(v.path(pts, false))
	v.canvas.Pop()
}

func (v *vgPen) disc(d dot, r float64, fill color.RGBA) {
	var path vg.Path
	path.Move(v.at(d.x+r, d.y))
	path.Arc(v.at(d.x, d.y), vg.Length(r), 0, 2*math.Pi)
	path.Close()
	v.canvas.SetColor(fill)
	v.canvas.Fill(path)
}

func (v *vgPen) text(_, y float64, _ anchor, b box, l lettering, s string) {
	v.canvas.SetColor(l.colour)
	v.canvas.FillString(l.face(), v.at(b.x0, y), s)
}

func (v *vgPen) textUp(x, y float64, l lettering, s string) {
	v.canvas.Push()
	v.canvas.SetColor(l.colour)
	v.canvas.Translate(v.at(x, y))
	v.canvas.Rotate(math.Pi / 2)
	v.canvas.FillString(l.face(), vg.Point{}, s)
	v.canvas.Pop()
}
