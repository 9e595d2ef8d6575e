package figure

import (
	"fmt"
	"math"
	"strings"
)

// Bands is the main picture: quantities over seasons, one panel above the
// other, with what was done under the axis. Up to about 20 seasons.
type Bands struct {
	Caption
	Seasons []Season
	Panels  []Panel
}

func (f *Bands) caption() Caption {
	var names []string
	for _, q := range f.Panels {
		names = append(names, lowered(q.Name))
	}
	return f.or(countOf(len(f.Seasons), "season")+" ahead",
		fmt.Sprintf("Over %s: %s, each as a median line with ribbons for half and for nine in ten of the runs. %s",
			countOf(len(f.Seasons), "season"), strings.Join(names, ", "), f.inWords()))
}

// inWords gives the last median of each panel.
func (f *Bands) inWords() string {
	var out []string
	for _, q := range f.Panels {
		if n := min(len(q.Bands), len(f.Seasons)); n > 0 && finite(q.Bands[n-1].P50) {
			v := q.Bands[n-1]
			out = append(out, fmt.Sprintf("%s at the end: median %s, 90 %% range %s to %s.",
				strings.TrimSpace(q.Name+" "+q.Unit), q.write(v.P50), q.write(v.P05), q.write(v.P95)))
		}
	}
	return strings.Join(out, " ")
}

// Sizes of the panels of a stack.
const (
	panelHeight = 138.0
)

func (f *Bands) draw(p *paper) float64 {
	c := f.caption()
	y := p.head(c)
	if len(f.Seasons) == 0 || len(f.Panels) == 0 {
		return p.foot(c, p.nothing(y, "no season to show"))
	}
	axes := make([]axis, len(f.Panels))
	room := tick.width("harvest") + 7
	end := 30.0
	for i := range f.Panels {
		end = math.Max(end, f.Panels[i].endRoom(f.Panels[i].Bands, len(f.Seasons)))
		axes[i] = newAxis(f.Panels[i].Kind, f.Panels[i].values(), 4)
		room = math.Max(room, gutter(&axes[i]))
	}
	area := box{x0: edge + room, x1: p.width - edge - end}
	edges := columnEdges(area, len(f.Seasons))
	strip := newStrip(f.Seasons, edges[1]-edges[0])
	keyed := false
	for i := range f.Panels {
		q := &f.Panels[i]
		y = p.panelHead(edge, y, p.width-2*edge, q.Name, unitOn(q.Unit, q.Kind), heading.in(q.Hue.text()))
		if !keyed && !q.empty() {
			y, keyed = p.key(edge, y, q.Hue, f.keyNote(edges)), true
		}
		area.y0, area.y1 = y, y+panelHeight
		axes[i].lay(area.y1, area.y0+4)
		fr := &frame{area, axes[i]}
		p.bandPanel(fr, q, edges)
		f.say(p, fr, q, edges)
		y = area.y1 + 12
	}
	return p.foot(c, p.strip(strip, area, edges))
}

// say makes every season of a panel say its numbers.
func (f *Bands) say(p *paper, fr *frame, q *Panel, edges []float64) {
	for i := range min(len(q.Bands), len(f.Seasons)) {
		var at []dot
		x := (edges[i] + edges[i+1]) / 2
		if y, ok := fr.y.at(q.Bands[i].P50); ok {
			at = []dot{{x, y}}
		}
		p.says(box{edges[i], fr.y0, edges[i+1], fr.y1}, f.Seasons[i].words()+". "+q.quantity()+": "+q.words(q.Bands[i])+".", at...)
	}
}

// keyNote explains the shares in the strip "none", if there will be any.
func (f *Bands) keyNote(edges []float64) string {
	for i := range f.Panels {
		for s, v := range f.Panels[i].Bands {
			if s < len(f.Seasons) && f.Panels[i].Kind == Log && zeroLabel(v.Zero, edges[1]-edges[0]) != "" {
				return keyNone
			}
		}
	}
	return ""
}

// zeroLabel writes the share of runs without any; "" where it is not worth
// saying or has no room.
func zeroLabel(share, width float64) string {
	if !finite(share) || share < 0.005 {
		return ""
	}
	if label := fmt.Sprintf("%.0f%%", 100*share); tick.width(label) <= width-10 {
		return label
	}
	return ""
}

// bandPanel draws one panel over seasons. What a season came to stands in the middle of its
// column, over what was done; the state before the first at its left edge.
func (p *paper) bandPanel(f *frame, q *Panel, edges []float64) {
	p.shadeSeasons(edges, f.y0, f.y1)
	p.yAxis(f, true)
	p.line(rule, 1, nil, dot{f.x0, f.y1}, dot{f.x1, f.y1})
	if q.empty() {
		p.text((f.x0+f.x1)/2, (f.y0+f.y1)/2, middle, quiet, "no values")
		return
	}
	xs, bands := make([]float64, len(edges)-1), q.Bands
	for i := range xs {
		xs[i] = (edges[i] + edges[i+1]) / 2
	}
	switch {
	case q.Each:
		p.blocks(f, edges, q.Bands, q.Hue)
	case q.Start != nil:
		xs, bands = append([]float64{edges[0]}, xs...), append([]Spread{*q.Start}, q.Bands...)
		fallthrough
	default:
		p.band(f, xs, bands, q.Hue)
	}
	p.zeroShares(f, q, edges)
	p.threshold(f, q.Threshold, xs, bands)
	p.endLabel(f, bands[:min(len(bands), len(xs))], q)
}

// endLabel writes the last median beside the end of its line.
func (p *paper) endLabel(f *frame, s []Spread, q *Panel) {
	if len(s) == 0 {
		return
	}
	v := s[len(s)-1].P50
	y, ok := f.y.at(v)
	if !ok {
		return
	}
	l := plain.bolder().in(q.Hue.text())
	p.text(f.x1+6, y+textSize*0.36, left, l, q.write(v))
}

// write gives a value of a panel in words.
func (q *Panel) write(v float64) string {
	switch {
	case v == 0 && q.Kind == Log:
		return "none"
	case q.Kind == Percent && finite(v):
		if p := 100 * v; p == 0 || p >= 1 {
			return short(p) + "%"
		}
		return "<1%"
	}
	return short(v)
}

// endRoom is the width of the last median of n, written beside the panel.
func (q *Panel) endRoom(s []Spread, n int) float64 {
	if n = min(n, len(s)); n == 0 {
		return 0
	}
	return 6 + plain.bolder().width(q.write(s[n-1].P50))
}

// zeroShares writes into the strip "none" how many runs have none, where the
// columns are wide enough.
func (p *paper) zeroShares(f *frame, q *Panel, edges []float64) {
	if !f.y.none {
		return
	}
	for i := range min(len(q.Bands), len(edges)-1) {
		p.text(edges[i+1]-5, f.y.noneAt()+smallSize*0.35, right, small, zeroLabel(q.Bands[i].Zero, edges[i+1]-edges[i]))
	}
}
