package findings

import (
	"fmt"
	"math"
	"strings"

	"rundown/cmd/internal/figure"
	"rundown/cmd/internal/report"
	"rundown/params"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/drivers"
)

func (f *found) pictures() []report.Picture {
	return []report.Picture{{Name: "drivers", Figure: f.dots()}, {Name: "split", Figure: f.split()}}
}

func (f *found) caption(title string) figure.Caption {
	return figure.Caption{Title: title, Subtitle: f.subtitle(), Provenance: provenanceLine(f.Run)}
}

func (f *found) what() string {
	return fmt.Sprintf("%s at harvest %d", sim.Metrics[f.Analysis.Metric].Label, f.year(f.Analysis.Season))
}

// smallIndex is a total index below which, with all of its interval, the picture
// leaves out inputs that do not lead; tables have them.
const smallIndex = 0.02

// dots ranks the inputs; what rests on judgement or memory stands out.
func (f *found) dots() *figure.Dots {
	d := &figure.Dots{
		Caption: f.caption(fmt.Sprintf("%s: what moves %s", f.Calendar.Name, f.what())),
		X:       figure.Scale{Name: "Share of the variance", Unit: "index, 95 % interval", Kind: figure.Linear},
		Main:    "total index", Also: "first-order: by itself",
		Weak: []string{string(params.Memory), string(params.Assumed)},
		Bars: true,
	}
	d.Note = "Grey: the range that holds nine in ten draws. Triangles and open circles, in red, rest on memory or judgement: " +
		"where such a bar is long a better number would help most. " +
		f.scaleWords()
	for _, g := range gradeWords {
		d.Grades = append(d.Grades, string(g.grade))
	}
	left := 0
	for k, b := range f.Shown() {
		if k >= drivers.Leading && k < len(f.ranked) && f.x.Total[b].High < smallIndex {
			left++
			continue
		}
		also := interval(f.x.First[b])
		row := figure.DotRow{Name: f.shortKey(b), Main: interval(f.x.Total[b]), Also: &also, Grade: string(f.Grade(b))}
		if row.Grade != "" {
			x := f.input(b)
			row.Under = report.Minus(betweenIn(x.Unit, x.P05, x.P95, 2)) + unitAfter(x.Unit)
		}
		d.Rows = append(d.Rows, row)
	}
	switch left {
	case 0:
	case 1:
		d.Note += fmt.Sprintf(" One value more has a total index below %v.", smallIndex)
	default:
		d.Note += fmt.Sprintf(" %d values more have total indices below %v.", left, smallIndex)
	}
	return d
}

func interval(e drivers.Estimate) figure.Interval {
	return figure.Interval{Value: e.Value, Low: e.Low, High: e.High}
}

// split stacks the four kinds by themselves, and what they make together.
func (f *found) split() *figure.Split {
	s := &figure.Split{
		Caption: f.caption(fmt.Sprintf("%s: where the spread of %s comes from", f.Calendar.Name, sim.Metrics[f.Analysis.Metric].Label)),
		Name:    "Share of the variance", Unit: "by itself; the rest acting together",
		Seasons: cropStrip(f.Calendar),
	}
	s.Note = "By itself: the share of the variance that would go, on average, if that alone were known. What a spray or a pass does differs each time " +
		"and counts as season effects. " + f.scaleWords()
	together := figure.Part{Name: "acting together"}
	for _, b := range f.Kinds() {
		s.Parts = append(s.Parts, figure.Part{Name: f.name(b)})
	}
	var brought []string
	for season, x := range f.Splits {
		for k := range x.Kinds {
			s.Parts[k].Amounts = append(s.Parts[k].Amounts, x.Kinds[k])
		}
		together.Amounts = append(together.Amounts, x.Together)
		if math.Abs(x.All-1) > 0.005 {
			brought = append(brought, fmt.Sprint(f.year(season)))
		}
	}
	if len(brought) > 0 {
		s.Note += fmt.Sprintf(" Brought to 100 %%: %s (too few rows).", strings.Join(brought, ", "))
	}
	s.Parts = append(s.Parts, together)
	return s
}

// cropStrip is the planned crops and covers, for the foot of the season axis.
func cropStrip(c *rotations.Calendar) []figure.Season {
	var out []figure.Season
	for _, s := range c.Seasons {
		x := figure.Season{HarvestYear: s.HarvestYear, Crop: spoken(s.Courses[0].Crop.Name)}
		if s.Cover != nil {
			x.Cover = spoken(s.Cover.Mix.Name)
		}
		out = append(out, x)
	}
	return out
}
