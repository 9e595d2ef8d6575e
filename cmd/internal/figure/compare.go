package figure

import (
	"fmt"
	"strings"
)

// Comparison shows one quantity under several plans: a small panel for each
// plan on shared axes, its own band in colour and the medians of the others in
// grey behind. Up to eight plans.
type Comparison struct {
	Caption
	Quantity     Panel // Name, Unit, Kind, Each and Threshold; its bands and hue are not used
	HarvestYears []int
	Plans        []Plan
}

// Plan is one of the things compared.
type Plan struct {
	Name  string
	Bands []Spread // one for each harvest year
}

func (f *Comparison) caption() Caption {
	var ends []string
	for _, q := range f.Plans {
		if n := min(len(q.Bands), len(f.HarvestYears)); n > 0 {
			ends = append(ends, fmt.Sprintf("%s %s", q.Name, short(q.Bands[n-1].P50)))
		}
	}
	return f.or(fmt.Sprintf("%s under %d plans", f.Quantity.Name, len(f.Plans)),
		fmt.Sprintf("%s %s over %s, one panel for each plan on the same axes. Medians at the end: %s.",
			f.Quantity.Name, f.Quantity.Unit, countOf(len(f.HarvestYears), "season"), strings.Join(ends, "; ")))
}

// Sizes of the small panels.
const (
	smallHeight = 104.0
	onlyHeight  = 190.0 // of the panel of a single plan
)

func (f *Comparison) draw(p *paper) float64 {
	c := f.caption()
	y := p.head(c)
	var all []float64
	for _, q := range f.Plans {
		all = append(all, flatten(q.Bands)...)
	}
	if _, _, ok := reach(all, anything); !ok || len(f.HarvestYears) == 0 {
		return p.foot(c, p.nothing(y, "no values to compare"))
	}
	if t := f.Quantity.Threshold; t != nil {
		all = append(all, t.Value)
	}
	columns := min(len(f.Plans), 2)
	ya := newAxis(f.Quantity.Kind, all, 4)
	y = p.panelHead(edge, y, p.width-2*edge, f.Quantity.Name, unitOn(f.Quantity.Unit, f.Quantity.Kind), heading)
	y = p.compareKey(y, len(f.Plans) > 1 && !f.Quantity.Each, f.Quantity.Threshold) + 3
	x0 := edge + gutter(&ya)
	width := (p.width - edge - x0) / float64(columns)
	height, end := smallHeight, 24.0
	if columns == 1 {
		height = onlyHeight
	}
	for _, q := range f.Plans {
		end = max(end, f.Quantity.endRoom(q.Bands, len(f.HarvestYears))+6)
	}
	foot := y
	for i := range f.Plans {
		col, row := i%columns, i/columns
		b := box{x0: x0 + float64(col)*width, y0: y + float64(row)*(height+27) + 19}
		b.x1, b.y1 = b.x0+width-end, b.y0+height
		hue := Hue(i)
		l := plain.bolder()
		if l.width(f.Plans[i].Name) > width-8 {
			l = small.bolder()
		}
		p.text(b.x0, b.y0-6, left, l.in(hue.text()), l.fit(f.Plans[i].Name, width-8))
		ya.lay(b.y1, b.y0+3)
		fr := &frame{b, ya}
		f.panel(p, fr, i, col == 0)
		f.say(p, fr, &f.Plans[i])
		if i+columns >= len(f.Plans) {
			p.yearLabels(f.HarvestYears, columnEdges(b, len(f.HarvestYears)), b.y1+5)
		}
		foot = max(foot, b.y1+5+smallSize)
	}
	return p.foot(c, foot+smallSize*inkDrop)
}

// say makes every season of a plan say its numbers.
func (f *Comparison) say(p *paper, fr *frame, plan *Plan) {
	edges := columnEdges(fr.box, len(f.HarvestYears))
	for i := range min(len(plan.Bands), len(f.HarvestYears)) {
		var at []dot
		if y, ok := fr.y.at(plan.Bands[i].P50); ok {
			at = []dot{{(edges[i] + edges[i+1]) / 2, y}}
		}
		p.says(box{edges[i], fr.y0, edges[i+1], fr.y1}, fmt.Sprintf("%s, %d. %s: %s.", plan.Name, f.HarvestYears[i], f.Quantity.quantity(),
			f.Quantity.words(plan.Bands[i])), at...)
	}
}

func (f *Comparison) panel(p *paper, fr *frame, own int, labels bool) {
	edges := columnEdges(fr.box, len(f.HarvestYears))
	hue := Hue(own)
	p.shadeSeasons(edges, fr.y0, fr.y1)
	p.yAxis(fr, labels)
	p.line(rule, 1, nil, dot{fr.x0, fr.y1}, dot{fr.x1, fr.y1})
	mids := make([]float64, len(f.HarvestYears))
	for i := range mids {
		mids[i] = (edges[i] + edges[i+1]) / 2
	}
	mine := f.Plans[own].Bands
	if f.Quantity.Each {
		p.blocks(fr, edges, mine, hue)
	} else {
		p.ribbon(fr, mids, mine, func(v Spread) (float64, float64) { return v.P05, v.P95 }, hue.outer())
		p.ribbon(fr, mids, mine, func(v Spread) (float64, float64) { return v.P25, v.P75 }, hue.inner())
		for i, q := range f.Plans {
			if i != own {
				p.curve(fr, mids, q.Bands, mix(rule, white, 0.35), 1)
			}
		}
		p.curve(fr, mids, mine, hue.colour(), 2.4)
	}
	if t := f.Quantity.Threshold; t != nil {
		if y, ok := fr.y.at(t.Value); ok {
			p.line(ink, 1.3, []float64{5, 3}, dot{fr.x0, y}, dot{fr.x1, y})
		}
	}
	if n := min(len(mine), len(mids)); n > 0 {
		p.endLabel(fr, mine[:n], &Panel{Kind: f.Quantity.Kind, Hue: hue})
	}
}

// compareKey names tints, grey lines and the dashed line once for all panels.
func (p *paper) compareKey(y float64, others bool, t *Threshold) float64 {
	y = p.key(edge, y, Slate, "")
	base := y + smallSize*inkAscent
	mid := base - smallSize*0.36
	x := edge
	if others {
		p.line(mix(rule, white, 0.35), 1, nil, dot{x, mid}, dot{x + 18, mid})
		x = p.after(x+23, base, "medians of the other plans")
	}
	if t != nil {
		p.line(ink, 1.3, []float64{5, 3}, dot{x, mid}, dot{x + 18, mid})
		p.after(x+23, base, small.fit(t.Name, p.width-edge-x-23))
	}
	if others || t != nil {
		y = base + smallSize*inkDrop + 7
	}
	return y
}

// yearLabels writes harvest years under columns, leaving out those that would
// touch; the last is always written.
func (p *paper) yearLabels(years []int, edges []float64, y float64) {
	n := len(years)
	wide := edges[1]-edges[0] >= tick.width("2027")+6
	label := func(i int) string {
		if wide {
			return fmt.Sprint(years[i])
		}
		return fmt.Sprintf("’%02d", years[i]%100)
	}
	every := 1
	for float64(every)*(edges[1]-edges[0]) < tick.width("’27")+6 {
		every++
	}
	for i := n - 1; i >= 0; i -= every {
		p.text((edges[i]+edges[i+1])/2, y+smallSize*inkAscent, middle, tick, label(i))
	}
}
