package figure

import (
	"image/color"
	"math"
	"strings"
)

// Panel is one quantity over the shared axis of a figure.
type Panel struct {
	Name string // what it is: "Weed heads"
	Unit string // written after the name: "per m²"; may be empty
	Kind AxisKind
	Hue  Hue

	Bands []Spread // one for each place of the shared axis; missing ones are gaps
	Start *Spread  // the state before the first season, drawn at its left edge; seasons only

	// Each draws a block for every season in place of one running band: for
	// what belongs to a season alone, such as its margin. Seasons only.
	Each bool

	Threshold *Threshold // may be nil
}

// Threshold is a level at which something should be done.
type Threshold struct {
	Value float64 // in the unit of the panel
	Name  string  // "act above 10"
}

func (q *Panel) values() []float64 {
	v := flatten(q.Bands)
	if q.Start != nil {
		v = append(v, flatten([]Spread{*q.Start})...)
	}
	if q.Threshold != nil && (q.Kind != Log || q.Threshold.Value > 0) {
		v = append(v, q.Threshold.Value)
	}
	return v
}

func (q *Panel) empty() bool {
	_, _, ok := reach(flatten(q.Bands), anything)
	return !ok
}

// frame is the plot area of a panel.
type frame struct {
	box
	y axis
}

// mostHeadLines is over how many lines the name of a panel may go.
const mostHeadLines = 3

// panelHead writes name and unit above a panel and tells where its area begins. A name too long
// for a line goes on below it, and so does a unit: neither is cut.
func (p *paper) panelHead(x, y, width float64, name, unit string, l lettering) float64 {
	y += headSize * inkAscent
	lines := l.wrap(name, width, mostHeadLines)
	if len(lines) == 0 {
		lines = []string{""}
	}
	last := len(lines) - 1
	y = p.lines(x, y, left, l, lines[:last])
	p.text(x, y, left, l, lines[last])
	if unit != "" {
		at, room := 0.0, width
		if after := l.width(lines[last]) + 5; quiet.width(unit) <= width-after {
			at, room = after, width-after
		} else if short := strings.TrimSuffix(unit, " scale"); quiet.width(short) <= width-after {
			unit, at, room = short, after, width-after
		} else {
			y += quiet.lead()
		}
		p.text(x+at, y, left, quiet, quiet.fit(unit, room))
	}
	return y + headSize*inkDrop + 5
}

// yAxis draws grid lines, tick labels and the strip "none" of a frame.
func (p *paper) yAxis(f *frame, labels bool) {
	if f.y.none {
		mid := f.y.noneAt()
		p.rect(box{f.x0, mid - f.y.depth/2, f.x1, mid + f.y.depth/2}, noneFill)
		if labels {
			p.text(f.x0-5, mid+smallSize*0.35, right, tick, "none")
		}
	}
	for _, t := range f.y.ticks {
		y, ok := f.y.at(t.value)
		if !ok {
			continue
		}
		c, w := grid, 1.0
		if t.value == 0 {
			c, w = rule, 1.2
		}
		p.line(c, w, nil, dot{f.x0, y}, dot{f.x1, y})
		if labels {
			p.text(f.x0-5, y+smallSize*0.35, right, tick, t.label)
		}
	}
}

// gutter is the room that tick labels need left of a frame.
func gutter(axes ...*axis) float64 {
	w := 0.0
	for _, a := range axes {
		for _, t := range a.ticks {
			w = math.Max(w, tick.width(t.label))
		}
		if a.none {
			w = math.Max(w, tick.width("none"))
		}
	}
	return w + 7
}

// band draws ribbons and median of a running quantity through the places xs.
func (p *paper) band(f *frame, xs []float64, s []Spread, h Hue) {
	p.ribbon(f, xs, s, func(v Spread) (float64, float64) { return v.P05, v.P95 }, h.outer())
	p.ribbon(f, xs, s, func(v Spread) (float64, float64) { return v.P25, v.P75 }, h.inner())
	p.curve(f, xs, s, h.colour(), 2.4)
}

// ribbon fills between two quantiles; gaps split it, and a place that stands
// alone becomes a short bar.
func (p *paper) ribbon(f *frame, xs []float64, s []Spread, pick func(Spread) (lo, hi float64), fill color.RGBA) {
	var low, high []dot
	flush := func() {
		switch len(low) {
		case 0:
		case 1:
			p.rect(box{low[0].x - 4, high[0].y, low[0].x + 4, low[0].y}, fill)
		default:
			ring := append([]dot(nil), high...)
			for i := len(low) - 1; i >= 0; i-- {
				ring = append(ring, low[i])
			}
			p.polygon(ring, fill)
		}
		low, high = nil, nil
	}
	for i := range min(len(xs), len(s)) {
		a, b := pick(s[i])
		ya, okA := f.y.at(a)
		yb, okB := f.y.at(b)
		if !okA || !okB {
			flush()
			continue
		}
		low, high = append(low, dot{xs[i], ya}), append(high, dot{xs[i], yb})
	}
	flush()
}

// curve strokes the medians; a place that stands alone becomes a dot.
func (p *paper) curve(f *frame, xs []float64, s []Spread, c color.RGBA, width float64) {
	var run []dot
	flush := func() {
		if len(run) == 1 {
			p.disc(run[0], 1.4*width, c)
		}
		p.line(c, width, nil, run...)
		run = nil
	}
	for i := range min(len(xs), len(s)) {
		y, ok := f.y.at(s[i].P50)
		if !ok {
			flush()
			continue
		}
		run = append(run, dot{xs[i], y})
	}
	flush()
}

// blocks draws a block for each season between its edges.
func (p *paper) blocks(f *frame, edges []float64, s []Spread, h Hue) {
	for i := range min(len(edges)-1, len(s)) {
		x0, x1 := edges[i], edges[i+1]
		inset := math.Min(3, (x1-x0)/8)
		for _, t := range []struct {
			lo, hi float64
			fill   color.RGBA
		}{{s[i].P05, s[i].P95, h.outer()}, {s[i].P25, s[i].P75, h.inner()}} {
			a, okA := f.y.at(t.lo)
			b, okB := f.y.at(t.hi)
			if okA && okB {
				p.rect(box{x0 + inset, b, x1 - inset, a}, t.fill)
			}
		}
		if y, ok := f.y.at(s[i].P50); ok {
			p.line(h.colour(), 2.4, nil, dot{x0 + inset, y}, dot{x1 - inset, y})
		}
	}
}

// key names line and tints, once in a figure; the note may be empty.
func (p *paper) key(x, y float64, h Hue, note string) float64 {
	base := y + smallSize*inkAscent
	mid := base - smallSize*0.36
	p.line(h.colour(), 2.4, nil, dot{x, mid}, dot{x + 18, mid})
	next := p.after(x+23, base, keyMedian)
	p.rect(box{next, mid - 6, next + 16, mid + 6}, h.inner())
	next = p.after(next+21, base, keyInner)
	p.rect(box{next, mid - 6, next + 16, mid + 6}, h.outer())
	next = p.after(next+21, base, keyOuter)
	if note != "" && next+small.width(note) > p.width-edge {
		next, base = x, base+1.3*small.lead()
	}
	p.text(next, base, left, small, note)
	return base + smallSize*inkDrop + 7
}

// after writes a word of a key and tells where the next swatch begins.
func (p *paper) after(x, base float64, s string) float64 {
	p.text(x, base, left, small, s)
	return x + small.width(s) + 15
}

// The words of the key.
const (
	keyMedian = "median"
	keyInner  = "half of the runs"
	keyOuter  = "9 in 10 runs"
	keyNone   = "%: runs with none"
)
