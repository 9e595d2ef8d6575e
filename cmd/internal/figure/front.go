package figure

import (
	"fmt"
	"strings"
)

// Front sets rotations against each other on two counts, right and down being better: those
// that no other beats, each with the error of its means, all that was tried behind them as a
// cloud of dots, and what is done today. Up to a dozen points.
type Front struct {
	Caption
	X, Y   Scale
	Points []FrontPoint // by falling X
	Cloud  [][2]float64 // (x, y) of all that was tried; thinned evenly when there are many
	Today  *FrontPoint  // nil: not known
}

// FrontPoint is a rotation with the error of its means.
type FrontPoint struct {
	Name           string // a number, mostly
	X, Y           float64
	X0, X1, Y0, Y1 float64 // 95 % interval of the means
	Best           bool    // it is set off
}

// cloudDots is how many of all that was tried are drawn.
const cloudDots = 2500

func (f *Front) caption() Caption {
	var out []string
	for _, q := range f.Points {
		out = append(out, fmt.Sprintf("%s: %s %s, %s %s", q.Name, short(q.X), f.X.Unit, short(q.Y), f.Y.Unit))
	}
	return f.or(fmt.Sprintf("%s against %s", f.Y.Name, lowered(f.X.Name)),
		fmt.Sprintf("%s against %s: %d rotations that no other beats. Means: %s.", f.Y.Name, lowered(f.X.Name), len(f.Points), strings.Join(out, "; ")))
}

// all are the points that are named.
func (f *Front) all() []FrontPoint {
	if f.Today == nil {
		return f.Points
	}
	return append(append([]FrontPoint{}, f.Points...), *f.Today)
}

func (f *Front) draw(p *paper) float64 {
	c := f.caption()
	y := p.head(c)
	var xs, ys []float64
	for _, q := range f.all() {
		xs, ys = append(xs, q.X0, q.X1), append(ys, q.Y0, q.Y1)
	}
	if _, _, ok := reach(xs, anything); !ok {
		return p.foot(c, p.nothing(y, "no rotation to show"))
	}
	dots := thin(f.Cloud, cloudDots)
	for _, r := range dots {
		xs, ys = append(xs, r[0]), append(ys, r[1])
	}
	ya, xa := newAxis(f.Y.Kind, ys, 10), newAxis(f.X.Kind, xs, 6)
	unit := unitOn(f.Y.Unit, f.Y.Kind)
	y = p.panelHead(edge, y, p.width-2*edge, f.Y.Name, unit, heading)
	tall := 320.0
	if p.width > 600 {
		tall = 260 // on paper a table stands below it
	}
	area := box{edge + gutter(&ya), y, p.width - edge, y + tall}
	ya.lay(area.y1, area.y0+4)
	xa.depth = noneWidth
	xa.lay(area.x0, area.x1-8)
	p.yAxis(&frame{area, ya}, true)
	for _, t := range xa.ticks {
		if at, ok := xa.at(t.value); ok {
			p.line(grid, 1, nil, dot{at, area.y0}, dot{at, area.y1})
		}
	}
	p.line(rule, 1, nil, dot{area.x0, area.y1}, dot{area.x1, area.y1})
	for _, r := range dots {
		at, okX := xa.at(r[0])
		up, okY := ya.at(r[1])
		if okX && okY {
			p.disc(dot{at, up}, 1.6, mix(rule, white, 0.35))
		}
	}
	f.points(p, &xa, &ya, area)
	y = p.xLabels(&xa, area, area.y1, f.X)
	y += 6 + smallSize*inkAscent
	grey := "all that"
	if len(dots) < len(f.Cloud) {
		grey = "some of what"
	}
	key := "numbered: no other rotation beats these, with the 95 % interval of their means; largest: worth most; grey: " + grey +
		" was tried, of few runs and with the search's luck"
	if f.Today != nil {
		key += "; square: today's plan"
	}
	y = p.lines(edge, y, left, tick, tick.wrap(key, p.width-2*edge, 5))
	return p.foot(c, y-tick.lead()+smallSize*inkDrop)
}

// points draws the front, its line, and today's plan.
func (f *Front) points(p *paper, xa, ya *axis, area box) {
	var line []dot
	for _, q := range f.Points {
		x, okX := xa.at(q.X)
		y, okY := ya.at(q.Y)
		if okX && okY {
			line = append(line, dot{x, y})
		}
	}
	if len(line) > 1 {
		p.line(mix(Blue.colour(), white, 0.4), 1.5, []float64{4, 3}, line...)
	}
	var names []named
	var inTheWay []box
	for i, q := range f.all() {
		x, okX := xa.at(q.X)
		y, okY := ya.at(q.Y)
		if !okX || !okY {
			continue
		}
		hue, size := Blue, 5.0
		today := i == len(f.Points)
		if today {
			hue = Vermilion
		}
		if q.Best {
			size = 7.5
		}
		bar := func(from, to dot) {
			p.line(white, 3.4, nil, from, to)
			p.line(hue.colour(), 1.6, nil, from, to)
		}
		if a, ok := xa.at(q.X0); ok {
			if b, ok := xa.at(q.X1); ok {
				bar(dot{a, y}, dot{b, y})
			}
		}
		if a, ok := ya.at(q.Y0); ok {
			if b, ok := ya.at(q.Y1); ok {
				bar(dot{x, a}, dot{x, b})
			}
		}
		if today {
			p.rect(box{x - 7, y - 7, x + 7, y + 7}, white)
			p.rect(box{x - 5.5, y - 5.5, x + 5.5, y + 5.5}, hue.colour())
		} else {
			p.disc(dot{x, y}, size+1.5, white)
			p.disc(dot{x, y}, size, hue.colour())
		}
		inTheWay = append(inTheWay, box{x - 8, y - 8, x + 8, y + 8})
		names = append(names, named{dot{x, y}, q.Name, hue})
		p.says(box{x - 14, y - 14, x + 14, y + 14}, fmt.Sprintf("%s. %s: %s %s (%s to %s). %s: %s %s (%s to %s).", q.Name, f.X.Name, short(q.X), f.X.Unit,
			short(q.X0), short(q.X1), f.Y.Name, short(q.Y), f.Y.Unit, short(q.Y0), short(q.Y1)), dot{x, y})
	}
	p.names(names, area, inTheWay)
}

func (f *Front) data() []Data {
	d := Data{Title: "The rotations of the front", Head: []string{"rotation", f.X.Name, "from", "to", f.Y.Name, "from", "to"}}
	for _, q := range f.all() {
		d.Rows = append(d.Rows, []string{q.Name, short(q.X), short(q.X0), short(q.X1), short(q.Y), short(q.Y0), short(q.Y1)})
	}
	return []Data{d}
}
