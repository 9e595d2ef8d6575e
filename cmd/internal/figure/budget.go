package figure

import (
	"fmt"
	"image/color"
	"math"
)

// Budget shows where the seeds of each season came from and went: for every
// season a bar that grows from the middle, what came in to the left, what
// became of it to the right. What was in the soil at the start and what is left
// at the end stand back to back in the middle. Up to about 20 seasons.
type Budget struct {
	Caption
	Seasons []BudgetSeason
}

// BudgetSeason is the seed ledger of one season, in seeds per m²; negative and
// non-finite members and those below 1e-12 count as 0.
type BudgetSeason struct {
	Season
	Start, Shed, BroughtIn                                 float64 // in
	End, Emerged, SproutedTooDeep, Died, Eaten, CarriedOff float64 // out
}

// flow is one part of a budget's bar.
type flow struct {
	name string
	fill color.RGBA
	of   func(*BudgetSeason) float64
}

// Both lists run from the middle outwards.
var (
	budgetIn = []flow{
		{"in the soil at the start", mix(Slate.colour(), white, 0.30), func(s *BudgetSeason) float64 { return s.Start }},
		{"set by the weed", Vermilion.colour(), func(s *BudgetSeason) float64 { return s.Shed }},
		{"brought in", Purple.colour(), func(s *BudgetSeason) float64 { return s.BroughtIn }},
	}
	budgetOut = []flow{
		{"in the soil at the end", mix(Slate.colour(), white, 0.30), func(s *BudgetSeason) float64 { return s.End }},
		{"came up", Green.colour(), func(s *BudgetSeason) float64 { return s.Emerged }},
		{"sprouted too deep", mix(Green.colour(), white, 0.55), func(s *BudgetSeason) float64 { return s.SproutedTooDeep }},
		{"died", Blue.colour(), func(s *BudgetSeason) float64 { return s.Died }},
		{"eaten", mix(Sky.colour(), white, 0.35), func(s *BudgetSeason) float64 { return s.Eaten }},
		{"carried off", mix(Ochre.colour(), white, 0.25), func(s *BudgetSeason) float64 { return s.CarriedOff }},
	}
)

func (fl flow) amount(s *BudgetSeason) float64 {
	if v := fl.of(s); finite(v) && v > 1e-12 {
		return v
	}
	return 0
}

func sum(flows []flow, s *BudgetSeason) float64 {
	t := 0.0
	for _, fl := range flows {
		t += fl.amount(s)
	}
	return t
}

func (f *Budget) caption() Caption {
	desc := fmt.Sprintf("Seed budget of %s, bars to both sides of a middle line: seed that came in to the left, where it went to the right.",
		countOf(len(f.Seasons), "season"))
	if n := len(f.Seasons); n > 0 {
		s := &f.Seasons[n-1]
		desc += fmt.Sprintf(" In the last season %s seeds per m² in the soil at the start, %s shed, %s left at the end.",
			short(s.Start), short(s.Shed), short(s.End))
	}
	return f.or("Where the seeds of each season went", desc)
}

// Rows of a budget.
const (
	budgetRow = 41.0 // of one season
	budgetBar = 20.0
	unequal   = 12.0 // totals further apart than this are shown as shares
)

func (f *Budget) draw(p *paper) float64 {
	c := f.caption()
	y := p.head(c)
	top, least := 0.0, math.Inf(1)
	for i := range f.Seasons {
		s := &f.Seasons[i]
		t := math.Max(sum(budgetIn, s), sum(budgetOut, s))
		top = math.Max(top, t)
		if t > 0 {
			least = math.Min(least, t)
		}
	}
	if top == 0 {
		return p.foot(c, p.nothing(y, "no seeds in any season"))
	}
	shares := top > unequal*least
	y = p.budgetKey(y)
	area := box{edge, y, p.width - edge, y + budgetRow*float64(len(f.Seasons)) + 4}
	scale := newBudgetScale(area, top, shares)
	scale.draw(p, area)
	for i := range f.Seasons {
		p.budgetRow(&f.Seasons[i], scale, area, area.y0+budgetRow*float64(i))
	}
	y = area.y1 + 4 + smallSize*inkAscent
	for _, t := range scale.ticks {
		for _, side := range []float64{-1, 1} {
			if t.value > 0 || side > 0 {
				p.text(scale.mid+side*t.value*scale.perUnit, y, middle, tick, t.label)
			}
		}
	}
	unit := "seeds per m²"
	if shares {
		unit = "share of the season’s seeds; their number per m² stands above each bar"
	}
	y = p.lines(p.width/2, y+tick.lead()+1, middle, tick, tick.balanced(unit, p.width-2*edge, 3)) - tick.lead()
	return p.foot(c, y+smallSize*inkDrop)
}

// budgetScale is the mirrored axis of the bars.
type budgetScale struct {
	mid, perUnit float64
	shares       bool
	ticks        []tickMark
}

func newBudgetScale(area box, top float64, shares bool) budgetScale {
	s := budgetScale{mid: (area.x0 + area.x1) / 2, shares: shares}
	if shares {
		top = 1
	}
	half := area.width()/2 - 18 // room for half a tick label
	s.perUnit = half / top
	s.ticks = linearTicks(0, top, 3, shares)
	return s
}

func (s budgetScale) draw(p *paper, area box) {
	for _, t := range s.ticks {
		for _, side := range []float64{-1, 1} {
			x := s.mid + side*t.value*s.perUnit
			p.line(grid, 1, nil, dot{x, area.y0}, dot{x, area.y1})
		}
	}
}

// budgetKey names the parts in two columns, as the bars have two sides.
func (p *paper) budgetKey(y float64) float64 {
	mid := p.width / 2.0
	base := y + headSize*inkAscent
	p.text(mid-12, base, right, heading, "came in")
	p.text(mid+12, base, left, heading, "went")
	p.arrow(mid-12-heading.width("came in")-8, base-headSize*0.36, 16)
	p.arrow(mid+12+heading.width("went")+24, base-headSize*0.36, 16)
	base += 1.4 * small.lead()
	for i, fl := range budgetIn {
		b := base + float64(i)*1.25*small.lead()
		p.rect(box{mid - 25, b - 10, mid - 12, b + 2}, fl.fill)
		p.text(mid-31, b, right, small, fl.name)
	}
	for i, fl := range budgetOut {
		b := base + float64(i)*1.25*small.lead()
		p.rect(box{mid + 12, b - 10, mid + 25, b + 2}, fl.fill)
		p.text(mid+31, b, left, small, fl.name)
	}
	return base + float64(len(budgetOut)-1)*1.25*small.lead() + smallSize*inkDrop + 10
}

// arrow points to the right, its tip at x.
func (p *paper) arrow(x, y, length float64) {
	p.line(ink, 1.5, nil, dot{x - length, y}, dot{x - 4, y})
	p.polygon([]dot{{x, y}, {x - 7, y - 4}, {x - 7, y + 4}}, ink)
}

// budgetRow draws one season: its name and total, and under them the bar.
func (p *paper) budgetRow(s *BudgetSeason, scale budgetScale, area box, y float64) {
	in, out := sum(budgetIn, s), sum(budgetOut, s)
	total := short(math.Max(in, out)) + " per m²"
	if in == 0 && out == 0 {
		total = "none"
	}
	base := y + smallSize*inkAscent + 3
	name := s.Crop
	if s.HarvestYear != 0 {
		name = fmt.Sprint(s.HarvestYear, " ", s.Crop)
	}
	l := small.bolder()
	room := area.width() - small.width(total) - 20
	w := l.width(l.fit(name, room))
	// grid lines do not cross the words
	p.rect(box{area.x0, base - smallSize, area.x0 + w + 4, base + 4}, white)
	p.rect(box{area.x1 - small.width(total) - 4, base - smallSize, area.x1, base + 4}, white)
	p.text(area.x0, base, left, l, l.fit(name, room))
	p.text(area.x1, base, right, small, total)
	bar := box{scale.mid, base + smallSize*inkDrop + 3, scale.mid, base + smallSize*inkDrop + 3 + budgetBar}
	p.stack(s, budgetIn, in, -1, scale, bar)
	p.stack(s, budgetOut, out, 1, scale, bar)
	p.line(white, 2, nil, dot{scale.mid, bar.y0}, dot{scale.mid, bar.y1})
	p.says(box{area.x0, bar.y0, scale.mid, bar.y1}, s.words()+": "+s.parts("came in", budgetIn, in))
	p.says(box{scale.mid, bar.y0, area.x1, bar.y1}, s.words()+": "+s.parts("went", budgetOut, out))
}

// parts says one side of the ledger in full.
func (s *BudgetSeason) parts(what string, flows []flow, total float64) string {
	said := what + ", seeds per m²: "
	first := true
	for _, fl := range flows {
		v := fl.amount(s)
		if v == 0 {
			continue
		}
		if !first {
			said += ", "
		}
		said, first = said+fmt.Sprintf("%s %s (%.0f %%)", fl.name, short(v), 100*v/total), false
	}
	if first {
		said += "none"
	}
	return said + "."
}

// stack draws one side of a bar from the middle outwards, with the share of
// each part where it is wide enough.
func (p *paper) stack(s *BudgetSeason, flows []flow, total, side float64, scale budgetScale, bar box) {
	x := scale.mid
	for _, fl := range flows {
		v := fl.amount(s)
		if v == 0 {
			continue
		}
		length := v * scale.perUnit
		if scale.shares {
			length /= total
		}
		b := box{math.Min(x, x+side*length), bar.y0, math.Max(x, x+side*length), bar.y1}
		p.rect(b, fl.fill)
		l := small.in(on(fl.fill))
		if label := fmt.Sprintf("%.0f%%", 100*v/total); l.width(label) < length-8 {
			p.text((b.x0+b.x1)/2, (b.y0+b.y1)/2+smallSize*0.36, middle, l, label)
		}
		x += side * length
	}
}
