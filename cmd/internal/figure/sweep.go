package figure

import (
	"fmt"
	"sort"
	"strings"
)

// Scale names an axis.
type Scale struct {
	Name string // "Drilling date"
	Unit string // may be empty
	Kind AxisKind
}

// Sweep is quantities over a date or a number that was varied, one panel above
// the other. Panel.Start and Panel.Each have no meaning here.
type Sweep struct {
	Caption
	X      Scale
	At     []float64 // places along X, one for each element of the panels' Bands, in any order
	Panels []Panel
	Marks  []Mark // named places along X

	From, To float64 // a stretch of X that is shaded; none where they are equal
}

// Mark is a named place along an axis: "as planned".
type Mark struct {
	Value float64
	Name  string
}

func (f *Sweep) caption() Caption {
	var names []string
	for _, q := range f.Panels {
		names = append(names, lowered(q.Name))
	}
	what := strings.Join(names, ", ")
	return f.or(fmt.Sprintf("What the %s changes", lowered(f.X.Name)),
		fmt.Sprintf("%s over %d values of %s, each as a median line with ribbons for half and for nine in ten of the runs.",
			what, len(f.At), lowered(f.X.Name)))
}

// inOrder gives the finite places of X in ascending order, and a panel's bands
// in that order.
func (f *Sweep) inOrder() (order []int, xs []float64) {
	for i, v := range f.At {
		if finite(v) && (f.X.Kind != Log || v > 0) {
			order = append(order, i)
		}
	}
	sort.SliceStable(order, func(i, j int) bool { return f.At[order[i]] < f.At[order[j]] })
	for _, i := range order {
		xs = append(xs, f.At[i])
	}
	return order, xs
}

func ordered(s []Spread, order []int) []Spread {
	out := make([]Spread, len(order))
	for k, i := range order {
		if out[k] = None(); i < len(s) {
			out[k] = s[i]
		}
	}
	return out
}

// alike are the values that a panel's axis spans: where all panels are of one unit they are
// compared, and share a scale.
func (f *Sweep) alike(i int) []float64 {
	var all []float64
	for k := range f.Panels {
		if f.Panels[k].Unit != f.Panels[i].Unit || f.Panels[k].Kind != f.Panels[i].Kind {
			return f.Panels[i].values()
		}
		all = append(all, f.Panels[k].values()...)
	}
	return all
}

func (f *Sweep) draw(p *paper) float64 {
	c := f.caption()
	y := p.head(c)
	order, at := f.inOrder()
	if len(order) == 0 || len(f.Panels) == 0 {
		return p.foot(c, p.nothing(y, "no values to show"))
	}
	axes := make([]axis, len(f.Panels))
	room := 0.0
	for i := range f.Panels {
		axes[i] = newAxis(f.Panels[i].Kind, f.alike(i), 4)
		room = max(room, gutter(&axes[i]))
	}
	x := newAxis(f.X.Kind, at, 5)
	area := box{x0: edge + room, x1: p.width - edge - 18}
	x.lay(area.x0+6, area.x1-6)
	xs := make([]float64, len(at))
	for i, v := range at {
		xs[i], _ = x.at(v)
	}
	keyed := false
	for i := range f.Panels {
		q := &f.Panels[i]
		y = p.panelHead(edge, y, p.width-2*edge, q.Name, unitOn(q.Unit, q.Kind), heading.in(q.Hue.text()))
		if !keyed && !q.empty() && q.ribboned() {
			y, keyed = p.key(edge, y, q.Hue, ""), true
		}
		if i == 0 {
			y = p.markNames(f.Marks, &x, area, y)
		}
		area.y0, area.y1 = y, y+panelHeight*0.86
		axes[i].lay(area.y1, area.y0+4)
		fr := &frame{area, axes[i]}
		bands := ordered(q.Bands, order)
		f.shade(p, fr, &x)
		p.sweepPanel(fr, q, &x, xs, bands, f.Marks)
		f.say(p, fr, q, at, xs, bands)
		y = area.y1 + 12
	}
	return p.foot(c, p.xLabels(&x, area, area.y1, f.X))
}

// shade fills the shaded stretch of a panel.
func (f *Sweep) shade(p *paper, fr *frame, x *axis) {
	from, okF := x.at(f.From)
	to, okT := x.at(f.To)
	if f.From != f.To && okF && okT {
		p.rect(box{from, fr.y0, to, fr.y1}, noneFill)
	}
}

// say makes every place of a panel say its numbers.
func (f *Sweep) say(p *paper, fr *frame, q *Panel, values, xs []float64, bands []Spread) {
	for i, x := range xs {
		from, to := fr.x0, fr.x1
		if i > 0 {
			from = (xs[i-1] + x) / 2
		}
		if i+1 < len(xs) {
			to = (x + xs[i+1]) / 2
		}
		var at []dot
		if y, ok := fr.y.at(bands[i].P50); ok {
			at = []dot{{x, y}}
		}
		p.says(box{from, fr.y0, to, fr.y1}, fmt.Sprintf("%s: %s. %s: %s.", f.X.Name, f.X.written(values[i]), q.quantity(), q.words(bands[i])), at...)
	}
}

func (q *Panel) ribboned() bool {
	for _, s := range q.Bands {
		if finite(s.P05) && finite(s.P95) {
			return true
		}
	}
	return false
}

func (p *paper) sweepPanel(f *frame, q *Panel, x *axis, xs []float64, bands []Spread, marks []Mark) {
	for _, t := range x.ticks {
		if at, ok := x.at(t.value); ok {
			p.line(grid, 1, nil, dot{at, f.y0}, dot{at, f.y1})
		}
	}
	p.yAxis(f, true)
	p.line(rule, 1, nil, dot{f.x0, f.y1}, dot{f.x1, f.y1})
	if q.empty() {
		p.text((f.x0+f.x1)/2, (f.y0+f.y1)/2, middle, quiet, "no values")
		return
	}
	p.band(f, xs, bands, q.Hue)
	p.threshold(f, q.Threshold, xs, bands, p.markLines(marks, x, f.box)...)
}

// xLabels writes tick labels and name of an x axis under y and tells where
// they end; a label that would touch its neighbour is left out.
func (p *paper) xLabels(x *axis, area box, y float64, s Scale) float64 {
	y += 9 + smallSize*inkAscent
	free := area.x0 - 30
	if x.none {
		b := textBoxAt(x.noneAt(), y, middle, tick, "none")
		p.text(x.noneAt(), y, middle, tick, "none")
		free = b.x1 + 6
	}
	for _, t := range x.ticks {
		at, ok := x.at(t.value)
		b := textBoxAt(at, y, middle, tick, t.label)
		if !ok || b.x0 < free || b.x1 > p.width-2 {
			continue
		}
		p.text(at, y, middle, tick, t.label)
		free = b.x1 + 6
	}
	if s.Name == "" {
		return y + smallSize*inkDrop
	}
	y += 1.45 * textSize
	l := plain.bolder()
	whole := p.width - 2*edge
	unit := unitOn(s.Unit, s.Kind)
	if lines := l.wrap(s.Name, whole, mostHeadLines); len(lines) > 1 || l.width(s.Name)+5+quiet.width(unit) > whole {
		y = p.lines(edge, y, left, l, lines) // too long for a line: name and unit below each other
		if unit == "" {
			return y - l.lead() + textSize*inkDrop
		}
		p.text(edge, y, left, quiet, quiet.fit(unit, whole))
		return y + textSize*inkDrop
	}
	long := l.width(s.Name) + 5 + quiet.width(unit)
	at := max(edge, min((area.x0+area.x1-long)/2, p.width-edge-long)) // beneath its axis, or as near to it as it has room
	p.text(at, y, left, l, s.Name)
	p.text(at+l.width(s.Name)+5, y, left, quiet, unit)
	return y + textSize*inkDrop
}

// markNames writes the names of marks over the first panel, each on the first
// line where it has room, and tells where the panel may begin.
func (p *paper) markNames(marks []Mark, x *axis, area box, y float64) float64 {
	l := small.bolder()
	var ends []float64 // where the last name of each line ends
	for _, m := range sortedMarks(marks) {
		at, ok := x.at(m.Value)
		if !ok {
			continue
		}
		name := l.fit(m.Name, area.width())
		w := l.width(name)
		x0 := min(max(at-w/2, area.x0), p.width-edge-w)
		line := 0
		for line < len(ends) && ends[line] > x0-8 {
			line++
		}
		if line == len(ends) {
			ends = append(ends, 0)
		}
		ends[line] = x0 + w
		p.text(x0, y+smallSize*inkAscent+float64(line)*l.lead(), left, l, name)
	}
	if len(ends) > 0 {
		y += float64(len(ends))*l.lead() + 2
	}
	return y
}

func sortedMarks(marks []Mark) []Mark {
	out := append([]Mark(nil), marks...)
	sort.SliceStable(out, func(i, j int) bool { return out[i].Value < out[j].Value })
	return out
}

// markLines draws the marks through a panel and tells where they stand.
func (p *paper) markLines(marks []Mark, x *axis, area box) (at []float64) {
	for _, m := range marks {
		if v, ok := x.at(m.Value); ok {
			p.line(ink, 1.4, []float64{2, 2.5}, dot{v, area.y0}, dot{v, area.y1})
			at = append(at, v)
		}
	}
	return at
}
