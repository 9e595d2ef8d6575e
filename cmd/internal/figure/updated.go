package figure

import (
	"fmt"
	"math"
	"strings"
)

// Updated shows quantities before and after something was counted: in every
// column two blocks beside each other on one axis, and between them what was
// counted. Up to about 20 columns a panel.
type Updated struct {
	Caption
	Before, After string // what the blocks are, for the key
	Counted       string // what the marks between them are; "" when no column has one
	Each          string // what a column is, at the head of its table; "" for when
	Panels        []UpdatedPanel
}

// UpdatedPanel is one quantity.
type UpdatedPanel struct {
	Name, Unit string
	Kind       AxisKind
	Columns    []UpdatedColumn
}

// UpdatedColumn is one place of the axis.
type UpdatedColumn struct {
	Label         string // under the column: "2029", "12 Apr 2028"
	Before, After Spread
	Counts        []Interval // may be empty
}

// hues of the blocks; the counts are drawn in ink.
const (
	beforeHue = Slate
	afterHue  = Vermilion
)

func (f *Updated) caption() Caption {
	var out []string
	for i := range f.Panels {
		q := &f.Panels[i]
		if n := len(q.Columns); n > 0 {
			c, as := &q.Columns[n-1], &Panel{Kind: q.Kind}
			out = append(out, fmt.Sprintf("%s, %s: median %s before, %s after", q.Name, c.Label, as.cells(c.Before)[2], as.cells(c.After)[2]))
		}
	}
	return f.or("Before and after the counts", fmt.Sprintf("Two blocks a column, %s and %s. %s.", f.Before, f.After, strings.Join(out, "; ")))
}

func (f *Updated) draw(p *paper) float64 {
	c := f.caption()
	y := p.head(c)
	if len(f.Panels) == 0 {
		return p.foot(c, p.nothing(y, "nothing to show"))
	}
	y = f.key(p, y)
	room, columns := 0.0, 0
	axes := make([]axis, len(f.Panels))
	for i := range f.Panels {
		axes[i] = newAxis(f.Panels[i].Kind, f.Panels[i].values(), 4)
		room = max(room, gutter(&axes[i]))
		columns = max(columns, len(f.Panels[i].Columns))
	}
	for i := range f.Panels {
		q := &f.Panels[i]
		if i > 0 {
			y += 12
		}
		y = p.panelHead(edge, y, p.width-2*edge, q.Name, unitOn(q.Unit, q.Kind), heading)
		area := box{edge + room, y, p.width - edge, y + panelHeight}
		axes[i].lay(area.y1, area.y0+4)
		y = f.panel(p, &frame{area, axes[i]}, q, columns)
	}
	return p.foot(c, y)
}

func (q *UpdatedPanel) values() []float64 {
	var v []float64
	for _, c := range q.Columns {
		v = append(v, flatten([]Spread{c.Before, c.After})...)
		for _, n := range c.Counts {
			v = append(v, n.Value, n.Low, n.High)
		}
	}
	return v
}

// key names the blocks, their tints and the marks.
func (f *Updated) key(p *paper, y float64) float64 {
	base, x := y+smallSize*inkAscent, edge
	item := func(name string, swatch float64, draw func(x, mid float64)) {
		if w := swatch + 5 + small.width(name); x > edge && x+w > p.width-edge {
			x, base = edge, base+1.3*small.lead()
		}
		draw(x, base-smallSize*0.36)
		x = p.after(x+swatch+5, base, small.fit(name, p.width-2*edge-swatch-5))
	}
	block := func(h Hue) func(x, mid float64) {
		return func(x, mid float64) {
			p.rect(box{x, mid - 7, x + 18, mid + 7}, h.outer())
			p.rect(box{x, mid - 4, x + 18, mid + 4}, h.inner())
			p.line(h.colour(), 2.4, nil, dot{x, mid}, dot{x + 18, mid})
		}
	}
	item(f.Before, 18, block(beforeHue))
	item(f.After, 18, block(afterHue))
	if f.Counted != "" {
		item(f.Counted, 10, func(x, mid float64) { p.counted(x+5, mid-7, mid, mid+7) })
	}
	if legend := "line: median; dark: half of the runs; pale: 9 in 10"; x+small.width(legend) > p.width-edge {
		base += 1.3 * small.lead()
		p.text(edge, base, left, tick, legend)
	} else {
		p.text(x, base, left, tick, legend)
	}
	return base + smallSize*inkDrop + 9
}

// counted marks a count and its interval, with a white rim to stand out on blocks.
func (p *paper) counted(x, top, mid, foot float64) {
	p.line(white, 4.4, nil, dot{x, top}, dot{x, foot})
	p.line(ink, 1.8, nil, dot{x, top}, dot{x, foot})
	p.disc(dot{x, mid}, 4.6, white)
	p.disc(dot{x, mid}, 3.4, ink)
}

// panel draws a quantity in columns as wide as those of the panel that has most.
func (f *Updated) panel(p *paper, fr *frame, q *UpdatedPanel, columns int) float64 {
	edges := columnEdges(fr.box, columns)[:len(q.Columns)+1]
	p.shadeSeasons(edges, fr.y0, fr.y1)
	p.yAxis(fr, true)
	p.line(rule, 1, nil, dot{fr.x0, fr.y1}, dot{fr.x1, fr.y1})
	for i := range q.Columns {
		f.column(p, fr, q, &q.Columns[i], edges[i], edges[i+1])
	}
	return q.labels(p, fr, edges)
}

func (f *Updated) column(p *paper, fr *frame, q *UpdatedPanel, c *UpdatedColumn, x0, x1 float64) {
	pad := math.Min(8, (x1-x0)*0.08)
	mid := (x0 + x1) / 2
	p.blocks(fr, []float64{x0 + pad, mid}, []Spread{c.Before}, beforeHue)
	p.blocks(fr, []float64{mid, x1 - pad}, []Spread{c.After}, afterHue)
	as := &Panel{Kind: q.Kind}
	said := fmt.Sprintf("%s, %s. %s: %s. %s: %s.", q.Name, c.Label, f.Before, as.words(c.Before), f.After, as.words(c.After))
	for k, n := range c.Counts {
		said += fmt.Sprintf(" Counted: %s.", n.words())
		at, ok := fr.y.at(n.Value)
		if !ok {
			continue
		}
		lo, okL := fr.y.at(n.Low)
		hi, okH := fr.y.at(n.High)
		if !okL {
			lo = at
		}
		if !okH {
			hi = fr.y0 // the interval has no upper end
		}
		x := mid + 11*(float64(k)-float64(len(c.Counts)-1)/2)
		p.counted(x, hi, at, lo)
	}
	p.says(box{x0, fr.y0, x1, fr.y1}, said)
}

// labels writes what the columns are, upwards where they are too narrow, and
// tells where that ends.
func (q *UpdatedPanel) labels(p *paper, fr *frame, edges []float64) float64 {
	if len(q.Columns) == 0 {
		return fr.y1
	}
	width := edges[1] - edges[0] - 3
	upright, every := false, 1
	for _, c := range q.Columns {
		for _, w := range strings.Fields(clean(c.Label)) {
			upright = upright || tick.width(w) > width
		}
	}
	for float64(every)*(width+3) < smallSize*(inkAscent+inkDrop) {
		every++
	}
	foot := fr.y1
	for i, c := range q.Columns {
		mid := (edges[i] + edges[i+1]) / 2
		switch {
		case upright && i%every == 0:
			p.textUp(mid+smallSize*0.36, fr.y1+6, right, tick, c.Label)
			foot = max(foot, fr.y1+6+tick.width(c.Label))
		case !upright:
			lines := tick.wrap(c.Label, width, 3) // as wide as words were measured by: none is cut
			foot = max(foot, p.lines(mid, fr.y1+6+smallSize*inkAscent, middle, tick, lines)-tick.lead()+smallSize*inkDrop)
		}
	}
	return foot
}

func (f *Updated) data() []Data {
	var out []Data
	for i := range f.Panels {
		q := &f.Panels[i]
		as := &Panel{Kind: q.Kind}
		d := Data{Title: quantity(q.Name, q.Unit), Head: append([]string{or(f.Each, "When"), "Which"}, spreadHead...)}
		if f.Counted != "" {
			d.Head = append(d.Head, f.Counted)
		}
		for _, c := range q.Columns {
			var counts []string
			for _, n := range c.Counts {
				counts = append(counts, n.words())
			}
			for k, s := range []Spread{c.Before, c.After} {
				row := append([]string{c.Label, []string{f.Before, f.After}[k]}, as.cells(s)...)
				if f.Counted != "" {
					row = append(row, or(strings.Join(counts, "; "), "–"))
				}
				d.Rows = append(d.Rows, row)
			}
		}
		out = append(out, d)
	}
	return out
}
