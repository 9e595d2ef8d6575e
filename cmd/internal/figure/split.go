package figure

import (
	"fmt"
	"image/color"
	"math"
	"strings"
)

// Split shows of what a quantity was made up in every season, as columns that
// are all equally tall: which kind of chance the spread comes from. Up to about
// 20 seasons and eight parts.
type Split struct {
	Caption
	Name, Unit string // of the quantity that is split up
	Seasons    []Season
	Parts      []Part // drawn from the foot upwards
}

// Part is one part of a Split.
type Part struct {
	Name    string
	Amounts []float64 // one for each season, in any unit; negative and non-finite ones count as 0
}

func (q *Part) amount(season int) float64 {
	if season < len(q.Amounts) && finite(q.Amounts[season]) && q.Amounts[season] > 1e-200 {
		return q.Amounts[season]
	}
	return 0
}

func (f *Split) total(season int) float64 {
	t := 0.0
	for i := range f.Parts {
		t += f.Parts[i].amount(season)
	}
	return t
}

func (f *Split) caption() Caption {
	var out []string
	if last := len(f.Seasons) - 1; last >= 0 {
		for i := range f.Parts {
			if t := f.total(last); t > 0 {
				out = append(out, fmt.Sprintf("%s %.0f %%", f.Parts[i].Name, 100*f.Parts[i].amount(last)/t))
			}
		}
	}
	return f.or(fmt.Sprintf("Where the spread of %s comes from", lowered(f.Name)),
		fmt.Sprintf("%s split into %d parts over %s. In the last season: %s.",
			f.Name, len(f.Parts), countOf(len(f.Seasons), "season"), strings.Join(out, ", ")))
}

// partRoom is the width of the names right of the columns.
const partRoom = 118.0

func (f *Split) draw(p *paper) float64 {
	c := f.caption()
	y := p.head(c)
	total := 0.0
	for i := range f.Seasons {
		total += f.total(i)
	}
	if total == 0 {
		return p.foot(c, p.nothing(y, "nothing to split up"))
	}
	if f.Name != "" {
		y = p.panelHead(edge, y, p.width-2*edge, f.Name, f.Unit, heading)
	}
	ya := newAxis(Percent, []float64{0, 1}, 5)
	area := box{edge + math.Max(gutter(&ya), tick.width("harvest")+7), y + 4, p.width - edge - partRoom, y + 244}
	ya.lay(area.y1, area.y0)
	fr := &frame{area, ya}
	p.yAxis(fr, true)
	edges := columnEdges(area, len(f.Seasons))
	for s := range f.Seasons {
		f.column(p, fr, s, edges[s], edges[s+1])
		p.says(box{edges[s], area.y0, edges[s+1], area.y1}, f.words(s))
	}
	p.line(rule, 1, nil, dot{area.x0, area.y1}, dot{area.x1, area.y1})
	f.names(p, fr, edges[len(edges)-1])
	return p.foot(c, p.strip(newStrip(f.Seasons, edges[1]-edges[0]), area, edges))
}

// words says a season in full.
func (f *Split) words(season int) string {
	var parts []string
	for i := range f.Parts {
		parts = append(parts, f.Parts[i].Name+" "+f.share(i, season))
	}
	return f.Seasons[season].words() + ": " + strings.Join(parts, ", ") + "."
}

func (f *Split) column(p *paper, fr *frame, season int, x0, x1 float64) {
	total := f.total(season)
	if total == 0 {
		return
	}
	inset := math.Min(3, (x1-x0)/8)
	below := 0.0
	for i := range f.Parts {
		share := f.Parts[i].amount(season) / total
		foot, _ := fr.y.at(below)
		below += share
		top, _ := fr.y.at(below)
		fill := Hue(i).part()
		p.rect(box{x0 + inset, top, x1 - inset, foot}, fill)
		if i > 0 && share > 0 {
			p.line(white, 1, nil, dot{x0 + inset, foot}, dot{x1 - inset, foot})
		}
		l := small.in(on(fill))
		if label := fmt.Sprintf("%.0f%%", 100*share); l.width(label) < x1-x0-2*inset-4 && foot-top > smallSize+2 {
			p.text((x0+x1)/2, (foot+top)/2+smallSize*0.36, middle, l, label)
		}
	}
}

// part is the filling of a part: the hue, a little lighter.
func (h Hue) part() color.RGBA { return mix(h.colour(), white, 0.18) }

// names writes each part beside its piece of the last column that has any,
// with a line to it.
func (f *Split) names(p *paper, fr *frame, x float64) {
	last := len(f.Seasons) - 1
	total := f.total(last)
	at := make([]float64, len(f.Parts))
	below := 0.0
	for i := range f.Parts {
		share := 1 / float64(len(f.Parts))
		if total > 0 {
			share = f.Parts[i].amount(last) / total
		}
		at[i], _ = fr.y.at(below + share/2)
		below += share
	}
	two := 2 * small.lead()
	places := apart(at, two+1, fr.y0+small.lead(), fr.y1-small.lead())
	for i := range f.Parts {
		if total > 0 {
			p.line(Hue(i).part(), 2, nil, dot{x - 1, at[i]}, dot{x + 6, at[i]}, dot{x + 14, places[i]}, dot{x + 18, places[i]})
		}
		p.rect(box{x + 18, places[i] - 6, x + 28, places[i] + 6}, Hue(i).part())
		lines := small.wrap(f.Parts[i].Name, partRoom-34, 2)
		first := places[i] - float64(len(lines)-1)*small.lead()/2 + smallSize*0.36
		p.lines(x+33, first, left, small, lines)
	}
}
