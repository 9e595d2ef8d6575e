package figure

import (
	"fmt"
	"image/color"
	"slices"
	"strings"
)

// Dots sets indices with their intervals under each other, such as which
// parameters move an answer. Rows are drawn in the order given.
type Dots struct {
	Caption
	X      Scale    // Log is drawn without a strip "none"; 0 then is a gap
	Main   string   // what the mark shows, for the key; "" when there is only one kind
	Also   string   // what the second, thinner mark shows; "" when no row has one
	Grades []string // grades of evidence, best first, at most five: each has its own mark; may be empty
	Weak   []string // those of Grades that must stand out, in another colour; may be empty
	Bars   bool     // a pale bar runs from 0 to every mark, for quantities that are read by length
	Rows   []DotRow
}

// DotRow is one line of Dots.
type DotRow struct {
	Name  string
	Under string // a quieter line under the name, such as a range with its unit; may be empty
	Main  Interval
	Also  *Interval // may be nil
	Grade string    // one of Grades; "" where there are Grades: nothing to grade, a cross
}

// Interval is a value with the ends of its interval, which may be NaN.
type Interval struct{ Value, Low, High float64 }

func (f *Dots) caption() Caption {
	var out []string
	for i, r := range f.Rows {
		if i == 5 {
			out = append(out, fmt.Sprintf("and %d more", len(f.Rows)-i))
			break
		}
		out = append(out, fmt.Sprintf("%s %s", r.Name, short(r.Main.Value)))
	}
	return f.or(f.X.Name, fmt.Sprintf("%s of %d rows, each with its interval: %s.", f.X.Name, len(f.Rows), strings.Join(out, "; ")))
}

// nameShare is the part of the width that the names left of the dots take.
const nameShare = 176.0 / Width

func (f *Dots) draw(p *paper) float64 {
	c := f.caption()
	y := p.head(c)
	var values []float64
	for _, r := range f.Rows {
		values = append(values, r.Main.Value, r.Main.Low, r.Main.High)
		if r.Also != nil {
			values = append(values, r.Also.Value, r.Also.Low, r.Also.High)
		}
	}
	if f.X.Kind != Percent && f.X.Kind != Log {
		values = append(values, 0) // an index is read from 0
	}
	if _, _, ok := reach(values, anything); !ok || len(f.Rows) == 0 {
		return p.foot(c, p.nothing(y, "no index to show"))
	}
	y = f.key(p, y)
	x := newAxis(f.X.Kind, values, 4)
	x.none = false
	height := 0.0
	nameRoom, most := nameShare*p.width, 3
	if p.width < Width {
		most = 4 // narrower, and so deeper
	}
	heights := make([]float64, len(f.Rows))
	names, unders := make([][]string, len(f.Rows)), make([][]string, len(f.Rows))
	for i, r := range f.Rows {
		names[i], unders[i] = small.wrap(r.Name, nameRoom-8, most), tick.wrap(r.Under, nameRoom-8, 2)
		heights[i] = float64(max(len(names[i])+len(unders[i]), 1))*small.lead() + 9
		height += heights[i]
	}
	area := box{edge + nameRoom, y, p.width - edge - 8, y + height}
	x.lay(area.x0+8, area.x1-8)
	for _, t := range x.ticks {
		at, ok := x.at(t.value)
		c, w := grid, 1.0
		if t.value == 0 {
			c, w = rule, 1.2
		}
		if ok {
			p.line(c, w, nil, dot{at, area.y0}, dot{at, area.y1})
		}
	}
	for i := range f.Rows {
		mid := y + heights[i]/2
		f.parting(p, i, y, area.x1)
		p.rowName(area.x0-8, mid, names[i], unders[i])
		f.row(p, &f.Rows[i], &x, mid)
		p.says(box{edge, y, area.x1, y + heights[i]}, f.words(&f.Rows[i]))
		y += heights[i]
	}
	return p.foot(c, p.xLabels(&x, area, area.y1, f.X))
}

// parting is the line over a row: a heavier one where rows without a grade
// follow those that have one.
func (f *Dots) parting(p *paper, row int, y, x1 float64) {
	c, w := grid, 0.7
	switch {
	case row == 0:
		return
	case len(f.Grades) > 0 && f.Rows[row].Grade == "" && f.Rows[row-1].Grade != "":
		c, w = rule, 1.2
	}
	p.line(c, w, nil, dot{edge, y}, dot{x1, y})
}

// rowName writes a row's name about its middle, and what stands under it in grey.
func (p *paper) rowName(x, mid float64, name, under []string) {
	first := mid - float64(len(name)+len(under)-1)*small.lead()/2 + smallSize*0.36
	p.lines(x, first, right, small, name)
	p.lines(x, first+float64(len(name))*small.lead(), right, tick, under)
}

// words says a row in full.
func (f *Dots) words(r *DotRow) string {
	said := r.Name
	if r.Under != "" {
		said += " (" + r.Under + ")"
	}
	said += ": " + strings.TrimSpace(f.Main+" "+r.Main.words())
	if r.Also != nil {
		said += "; " + f.Also + " " + r.Also.words()
	}
	if r.Grade != "" {
		said += "; evidence: " + r.Grade
	}
	return said + "."
}

func (f *Dots) row(p *paper, r *DotRow, x *axis, mid float64) {
	whisker := func(v Interval, y, width float64, c color.RGBA) {
		lo, okL := x.at(v.Low)
		hi, okH := x.at(v.High)
		if okL && okH {
			p.line(c, width, nil, dot{lo, y}, dot{hi, y})
		}
	}
	y, hue := mid, f.hue(r.Grade)
	if r.Also != nil {
		y -= 4
	}
	if from, ok := x.at(0); ok && f.Bars {
		if to, ok := x.at(r.Main.Value); ok {
			p.rect(box{min(from, to), y - 4.5, max(from, to), y + 4.5}, hue.outer())
		}
	}
	if r.Also != nil {
		whisker(*r.Also, mid+5, 1.6, Ochre.colour())
		if at, ok := x.at(r.Also.Value); ok {
			p.line(Ochre.colour(), 3, nil, dot{at, mid}, dot{at, mid + 10})
		}
	}
	whisker(r.Main, y, 3, hue.inner())
	if at, ok := x.at(r.Main.Value); ok {
		p.mark(f.grade(r.Grade), dot{at, y}, hue.colour())
	}
}

// hue is the colour of a grade's mark.
func (f *Dots) hue(grade string) Hue {
	if slices.Contains(f.Weak, grade) {
		return Vermilion
	}
	return Blue
}

// ungraded is the mark of a row that has no grade among rows that have.
const ungraded = -1

// grade is the number of a grade's mark.
func (f *Dots) grade(name string) int {
	if name == "" && len(f.Grades) > 0 {
		return ungraded
	}
	for i, g := range f.Grades {
		if g == name {
			return i
		}
	}
	return max(len(f.Grades)-1, 0)
}

// mark draws one of five marks, or the cross of rows without a grade, filled for the better grades and hollow for the
// poorer, so that they differ in shape and not only in colour.
func (p *paper) mark(kind int, d dot, c color.RGBA) {
	ring := func(pts []dot, hollow bool) {
		p.polygon(pts, c)
		if hollow {
			inner := make([]dot, len(pts))
			for i, q := range pts {
				inner[i] = dot{d.x + 0.52*(q.x-d.x), d.y + 0.52*(q.y-d.y)}
			}
			p.polygon(inner, white)
		}
	}
	const r = 5.6
	switch kind {
	case ungraded:
		const a = r - 1
		p.line(c, 2.6, nil, dot{d.x - a, d.y - a}, dot{d.x + a, d.y + a})
		p.line(c, 2.6, nil, dot{d.x - a, d.y + a}, dot{d.x + a, d.y - a})
	case 0:
		p.disc(d, r, c)
	case 1:
		ring([]dot{{d.x - r + 0.6, d.y - r + 0.6}, {d.x + r - 0.6, d.y - r + 0.6}, {d.x + r - 0.6, d.y + r - 0.6}, {d.x - r + 0.6, d.y + r - 0.6}}, false)
	case 2:
		ring([]dot{{d.x, d.y - r - 1}, {d.x + r + 0.6, d.y + r - 1}, {d.x - r - 0.6, d.y + r - 1}}, false)
	case 3:
		ring([]dot{{d.x, d.y - r - 1.4}, {d.x + r + 1.4, d.y}, {d.x, d.y + r + 1.4}, {d.x - r - 1.4, d.y}}, true)
	default:
		p.disc(d, r, c)
		p.disc(d, r*0.52, white)
	}
}

// key names the marks, broken into lines.
func (f *Dots) key(p *paper, y float64) float64 {
	base, x := y+smallSize*inkAscent, edge
	item := func(name string, swatch float64, draw func(d dot)) {
		w := swatch + 6 + small.width(name)
		if x > edge && x+w > p.width-edge {
			x, base = edge, base+1.3*small.lead()
		}
		draw(dot{x + swatch/2, base - smallSize*0.36})
		lines := small.wrap(name, p.width-2*edge-swatch-6, 3)
		for i, line := range lines {
			if i > 0 {
				base += small.lead()
			}
			at := p.after(x+swatch+6, base, line)
			if i == len(lines)-1 {
				x = at
			}
		}
	}
	start := base
	if f.Main != "" {
		item(f.Main, 18, func(d dot) {
			p.line(Blue.inner(), 3, nil, dot{d.x - 9, d.y}, dot{d.x + 9, d.y})
			p.mark(0, d, Blue.colour())
		})
	}
	if f.Also != "" {
		item(f.Also, 18, func(d dot) {
			p.line(Ochre.colour(), 1.6, nil, dot{d.x - 9, d.y}, dot{d.x + 9, d.y})
			p.line(Ochre.colour(), 3, nil, dot{d.x, d.y - 5}, dot{d.x, d.y + 5})
		})
	}
	if len(f.Grades) > 0 {
		if x > edge {
			x, base = edge, base+1.3*small.lead()
		}
		p.text(x, base, left, tick, "evidence:")
		x += tick.width("evidence:") + 8
		for i, g := range f.Grades {
			item(g, 13, func(d dot) { p.mark(i, d, f.hue(g).colour()) })
		}
		if slices.ContainsFunc(f.Rows, func(r DotRow) bool { return r.Grade == "" }) {
			item("a group, not graded", 13, func(d dot) { p.mark(ungraded, d, Blue.colour()) })
		}
	}
	if base == start && x == edge {
		return y
	}
	return base + smallSize*inkDrop + 9
}
