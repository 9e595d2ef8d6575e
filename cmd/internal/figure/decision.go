package figure

import (
	"fmt"
	"image/color"
	"strings"
)

// Decision sets two outcomes of several plans against each other, such as
// margin against the final seedbank: a cloud of runs for each plan, and over it
// a cross for half and for nine in ten of the runs with a dot at the medians.
// Up to eight plans.
type Decision struct {
	Caption
	X, Y    Scale
	Choices []Choice
}

// Choice is one plan of a Decision.
type Choice struct {
	Name string
	X, Y Spread
	Runs [][2]float64 // (x, y) of the runs; thinned evenly when there are many
}

// cloud is the number of dots drawn over all plans together at most.
const cloud = 900

func (f *Decision) caption() Caption {
	var out []string
	for _, q := range f.Choices {
		out = append(out, fmt.Sprintf("%s: %s %s, %s %s", q.Name, short(q.X.P50), f.X.Unit, short(q.Y.P50), f.Y.Unit))
	}
	return f.or(fmt.Sprintf("%s against %s", f.Y.Name, lowered(f.X.Name)),
		fmt.Sprintf("%s against %s for %d plans. Medians: %s.", f.Y.Name, lowered(f.X.Name), len(f.Choices),
			strings.Join(out, "; ")))
}

func (f *Decision) draw(p *paper) float64 {
	c := f.caption()
	y := p.head(c)
	var xs, ys []float64
	shown := make([][][2]float64, len(f.Choices))
	for i, q := range f.Choices {
		shown[i] = thin(q.Runs, cloud/max(len(f.Choices), 1))
		xs, ys = append(xs, flatten([]Spread{q.X})...), append(ys, flatten([]Spread{q.Y})...)
	}
	if _, _, ok := reach(xs, anything); !ok {
		return p.foot(c, p.nothing(y, "no plan to show"))
	}
	for _, runs := range shown { // the axes span what is drawn
		for _, r := range runs {
			xs, ys = append(xs, r[0]), append(ys, r[1])
		}
	}
	ya, xa := newAxis(f.Y.Kind, ys, 6), newAxis(f.X.Kind, xs, 5)
	y = p.panelHead(edge, y, p.width-2*edge, f.Y.Name, unitOn(f.Y.Unit, f.Y.Kind), heading)
	area := box{edge + gutter(&ya), y, p.width - edge, y + 320}
	ya.lay(area.y1, area.y0+4)
	xa.depth = noneWidth
	xa.lay(area.x0, area.x1-8)
	fr := &frame{area, ya}
	if xa.none {
		p.rect(box{area.x0, area.y0, area.x0 + xa.depth, area.y1}, noneFill)
	}
	p.yAxis(fr, true)
	for _, t := range xa.ticks {
		if at, ok := xa.at(t.value); ok {
			p.line(grid, 1, nil, dot{at, area.y0}, dot{at, area.y1})
		}
	}
	p.line(rule, 1, nil, dot{area.x0, area.y1}, dot{area.x1, area.y1})
	p.clouds(shown, &xa, &ya)
	f.crosses(p, &xa, &ya, area)
	y = p.xLabels(&xa, area, area.y1, f.X)
	y += 6 + smallSize*inkAscent
	y = p.lines(edge, y, left, tick, tick.wrap("dot: medians; thick bar: half of the runs; thin line: 9 in 10 runs", p.width-2*edge, 2))
	return p.foot(c, y-tick.lead()+smallSize*inkDrop)
}

// thin takes at most n runs, evenly.
func thin(runs [][2]float64, n int) [][2]float64 {
	if len(runs) <= n {
		return runs
	}
	out := make([][2]float64, 0, n)
	for k := range n {
		out = append(out, runs[k*len(runs)/n])
	}
	return out
}

// clouds draws the runs of all plans by turns, so that no plan hides another.
func (p *paper) clouds(shown [][][2]float64, xa, ya *axis) {
	most := 0
	for _, runs := range shown {
		most = max(most, len(runs))
	}
	for k := range most {
		for i, runs := range shown {
			if k >= len(runs) {
				continue
			}
			x, okX := xa.at(runs[k][0])
			y, okY := ya.at(runs[k][1])
			if !okX || !okY {
				continue
			}
			if runs[k][0] == 0 && xa.none { // side by side inside the strip
				x += (xa.depth - 8) * (golden(k) - 0.5)
			}
			p.grain(i, dot{x, y}, mix(Hue(i).colour(), white, 0.45))
		}
	}
}

// grains are how many shapes the runs of plans have.
const grains = 4

// grain draws one run of a plan: a disc, a ring, a triangle or a cross, so that clouds are told
// apart by those who do not see their colours.
func (p *paper) grain(plan int, d dot, c color.RGBA) {
	const r = 2.7
	switch plan % grains {
	case 0:
		p.disc(d, 2.1, c)
	case 1:
		p.polygon([]dot{{d.x, d.y - r - 0.3}, {d.x + r, d.y + r - 0.8}, {d.x - r, d.y + r - 0.8}}, c)
	case 2:
		p.line(c, 1.3, nil, dot{d.x - r, d.y}, dot{d.x + r, d.y})
		p.line(c, 1.3, nil, dot{d.x, d.y - r}, dot{d.x, d.y + r})
	default:
		p.disc(d, r, c)
		p.disc(d, r*0.55, white)
	}
}

// golden spreads 0, 1, 2, … evenly over 0..1 (multiples of the golden section).
func golden(k int) float64 {
	const phi = 0.6180339887498949
	v := float64(k) * phi
	return v - float64(int(v))
}

// crosses draws the summary of every plan, then names them all.
func (f *Decision) crosses(p *paper, xa, ya *axis, area box) {
	var names []named
	var inTheWay []box
	for i, q := range f.Choices {
		x, okX := xa.at(q.X.P50)
		y, okY := ya.at(q.Y.P50)
		if !okX || !okY {
			continue
		}
		h := Hue(i)
		bar := func(lo, hi float64, a *axis, width float64, ends func(v float64) dot) {
			from, okF := a.at(lo)
			to, okT := a.at(hi)
			if okF && okT {
				p.line(white, width+2, nil, ends(from), ends(to))
				p.line(h.colour(), width, nil, ends(from), ends(to))
				a, b := ends(from), ends(to)
				inTheWay = append(inTheWay, box{min(a.x, b.x) - 2, min(a.y, b.y) - 2, max(a.x, b.x) + 2, max(a.y, b.y) + 2})
			}
		}
		along := func(v float64) dot { return dot{v, y} }
		upward := func(v float64) dot { return dot{x, v} }
		bar(q.X.P05, q.X.P95, xa, 1.2, along)
		bar(q.Y.P05, q.Y.P95, ya, 1.2, upward)
		bar(q.X.P25, q.X.P75, xa, 4, along)
		bar(q.Y.P25, q.Y.P75, ya, 4, upward)
		p.disc(dot{x, y}, 7, white)
		p.disc(dot{x, y}, 5.5, h.colour())
		p.grain(i, dot{x, y}, white) // as its runs are drawn
		inTheWay = append(inTheWay, box{x - 8, y - 8, x + 8, y + 8})
		names = append(names, named{dot{x, y}, q.Name, h})
		qx, qy := &Panel{Name: f.X.Name, Unit: f.X.Unit, Kind: f.X.Kind}, &Panel{Name: f.Y.Name, Unit: f.Y.Unit, Kind: f.Y.Kind}
		p.says(box{x - 14, y - 14, x + 14, y + 14}, fmt.Sprintf("%s. %s: %s. %s: %s.", q.Name, qx.quantity(), qx.words(q.X), qy.quantity(), qy.words(q.Y)), dot{x, y})
	}
	p.names(names, area, inTheWay)
}
