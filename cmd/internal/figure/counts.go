package figure

import (
	"fmt"
	"strings"
)

// Counts shows quadrat counts: every quadrat as a dot, set side by side within
// its group, and beside the dots their mean with its interval. A group is one
// zone on one date.
type Counts struct {
	Caption
	Y      Scale // Linear, or Log with a strip for the quadrats without any
	Groups []CountGroup
}

// CountGroup is the quadrats of one zone on one date.
type CountGroup struct {
	Date   string // "12 Jun 2026"; groups of one date stand together when they follow each other
	Zone   string // "north"; may be empty
	Counts []float64
	Mean   Interval // in the unit of the counts
}

func (f *Counts) caption() Caption {
	var out []string
	for _, g := range f.Groups {
		out = append(out, fmt.Sprintf("%s %s: %d quadrats, mean %s (%s to %s)",
			g.Date, g.Zone, len(g.Counts), short(g.Mean.Value), short(g.Mean.Low), short(g.Mean.High)))
	}
	return f.or(f.Y.Name+" in each quadrat",
		fmt.Sprintf("%s %s, one dot a quadrat, with mean and interval. %s.", f.Y.Name, f.Y.Unit, strings.Join(out, "; ")))
}

func (f *Counts) draw(p *paper) float64 {
	c := f.caption()
	y := p.head(c)
	var values []float64
	for _, g := range f.Groups {
		values = append(values, g.Counts...)
		values = append(values, g.Mean.Value, g.Mean.Low, g.Mean.High)
	}
	if _, _, ok := reach(values, anything); !ok {
		return p.foot(c, p.nothing(y, "no quadrat counted"))
	}
	ya := newAxis(f.Y.Kind, values, 5)
	y = p.panelHead(edge, y, p.width-2*edge, f.Y.Name, unitOn(f.Y.Unit, f.Y.Kind), heading)
	y = p.countsKey(y)
	area := box{edge + gutter(&ya), y, p.width - edge, y + 250}
	ya.lay(area.y1, area.y0+4)
	fr := &frame{area, ya}
	edges := columnEdges(area, len(f.Groups))
	zones := f.zones()
	p.yAxis(fr, true)
	p.line(rule, 1, nil, dot{area.x0, area.y1}, dot{area.x1, area.y1})
	for i := range f.Groups {
		f.group(p, fr, &f.Groups[i], zones[f.Groups[i].Zone], edges[i], edges[i+1])
	}
	return p.foot(c, f.labels(p, area, edges, zones))
}

// zones gives every zone its hue, in order of appearance.
func (f *Counts) zones() map[string]Hue {
	hues := map[string]Hue{}
	for _, g := range f.Groups {
		if _, known := hues[g.Zone]; !known {
			hues[g.Zone] = Hue(len(hues))
		}
	}
	return hues
}

// countsKey explains dots and means.
func (p *paper) countsKey(y float64) float64 {
	base := y + smallSize*inkAscent
	mid := base - smallSize*0.36
	p.disc(dot{edge + 5, mid}, 3, Blue.inner())
	x := p.after(edge+14, base, "one quadrat")
	p.line(Blue.colour(), 1.8, nil, dot{x + 6, mid - 7}, dot{x + 6, mid + 7})
	p.line(Blue.colour(), 3, nil, dot{x, mid}, dot{x + 12, mid})
	p.after(x+18, base, "mean with its interval")
	return base + smallSize*inkDrop + 9
}

func (f *Counts) group(p *paper, fr *frame, g *CountGroup, h Hue, x0, x1 float64) {
	width := x1 - x0
	from, room := x0+width*0.06, width*0.38
	for k, v := range g.Counts {
		if y, ok := fr.y.at(v); ok {
			p.disc(dot{from + room*golden(k), y}, min(3, width/9), h.inner())
		}
	}
	p.says(box{x0, fr.y0, x1, fr.y1}, fmt.Sprintf("%s: %d quadrats, mean %s %s.", strings.TrimSpace(g.Date+" "+g.Zone), len(g.Counts), g.Mean.words(), f.Y.Unit))
	x := x0 + width*0.56
	reach := min(7, width*0.085)
	lo, okL := fr.y.at(g.Mean.Low)
	hi, okH := fr.y.at(g.Mean.High)
	if okL && okH {
		p.line(h.colour(), 1.8, nil, dot{x, lo}, dot{x, hi})
	}
	if y, ok := fr.y.at(g.Mean.Value); ok {
		p.line(h.colour(), 3.2, nil, dot{x - reach, y}, dot{x + reach, y})
		l := small.bolder().in(h.text())
		if label := short(g.Mean.Value); l.width(label) < x1-x-reach-5 {
			p.text(x+reach+4, y+smallSize*0.36, left, l, label)
		}
	}
}

// labels writes the zone of every column, and under them the dates, one for
// each run of columns of the same date.
func (f *Counts) labels(p *paper, area box, edges []float64, zones map[string]Hue) float64 {
	y := area.y1 + 9 + smallSize*inkAscent
	upright, deep := false, 0.0
	for i, g := range f.Groups {
		upright = upright || small.width(g.Zone) > edges[i+1]-edges[i]-4
		deep = max(deep, min(small.width(g.Zone), 110))
	}
	for i, g := range f.Groups {
		l := small.bolder().in(zones[g.Zone].text())
		mid := (edges[i] + edges[i+1]) / 2
		if upright {
			p.textUp(mid+smallSize*0.36, area.y1+9, right, l, l.fit(g.Zone, 110))
			continue
		}
		p.text(mid, y, middle, l, g.Zone)
	}
	switch {
	case upright:
		y = area.y1 + deep + 17
	case deep > 0:
		y += smallSize*inkDrop + 6
	default:
		y = area.y1 + 9
	}
	foot := y
	for i := 0; i < len(f.Groups); {
		j := i
		for j < len(f.Groups) && f.Groups[j].Date == f.Groups[i].Date {
			j++
		}
		x0, x1 := edges[i]+3, edges[j]-3
		p.line(rule, 1, nil, dot{x0, y}, dot{x1, y})
		lines := tick.wrap(f.Groups[i].Date, x1-x0+2, 3)
		foot = max(foot, p.lines((x0+x1)/2, y+5+smallSize*inkAscent, middle, tick, lines)-tick.lead()+smallSize*inkDrop)
		i = j
	}
	return foot
}
