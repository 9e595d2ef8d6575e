package findings

import (
	"fmt"

	"rundown/cmd/internal/figure"
	"rundown/cmd/internal/report"
	"rundown/sim"
	"rundown/sim/bands"
	"rundown/sim/decide"
)

const noPromise = "A forecast is a spread, not a promise."

// pictures are the sweep at a glance, the parts it is made of, and how the best
// date moves with the infestation.
func (s *sweep) pictures() []report.Picture {
	onward, missed := spreadsOf(s.perAll(s.Onward)), make([]figure.Spread, len(s.Dates))
	for i := range s.GoesInShare {
		p := 1 - s.GoesInShare[i]
		missed[i] = figure.Spread{P05: p, P25: p, P50: p, P75: p, P95: p}
	}
	money := perArea(s.Run.Calendar)
	year := fmt.Sprintf("harvest %d", s.Run.Calendar.Seasons[s.Season()].HarvestYear)
	glance := s.figure("when to drill "+s.crop,
		figure.Panel{Name: "Weed heads, " + s.meanOf(), Unit: "per m²", Kind: axis(sim.Heads), Hue: figure.Vermilion, Bands: spreadsOf(s.Heads)},
		figure.Panel{Name: "Yield, " + year, Unit: tonnesPer(s.area()), Kind: figure.Linear, Hue: figure.Blue, Bands: s.spreads(sim.Yield)},
		figure.Panel{Name: "Margin, " + s.horizon(), Unit: s.money(), Kind: figure.Linear, Hue: figure.Green, Bands: onward},
		figure.Panel{Name: "Not drilled in time", Kind: figure.Percent, Hue: figure.Blue, Bands: missed})
	parts := s.figure("what the drilling date changes, "+year,
		figure.Panel{Name: "Weed plants", Unit: "per m²", Kind: axis(sim.Plants), Hue: figure.Vermilion, Bands: s.spreads(sim.Plants)},
		figure.Panel{Name: "Seed set", Unit: "per m²", Kind: axis(sim.SeedReturn), Hue: figure.Vermilion, Bands: s.spreads(sim.SeedReturn)},
		figure.Panel{Name: "Yield lost to the date", Kind: figure.Percent, Hue: figure.Blue, Bands: spreadsOf(s.DateLoss)},
		figure.Panel{Name: "Yield lost to the weed", Kind: axis(sim.YieldLoss), Hue: figure.Vermilion, Bands: s.spreads(sim.YieldLoss)},
		figure.Panel{Name: "Margin of the season", Unit: money, Kind: figure.Linear, Hue: figure.Green, Bands: s.spreads(sim.Margin)})
	out := []report.Picture{{Name: "drilling", Figure: glance}, {Name: "drilling-parts", Figure: parts}}
	if len(s.Sides) > 0 {
		out = append(out, report.Picture{Name: "drilling-infestation", Figure: s.infestationPicture()})
	}
	return out
}

// meanOf says which harvests the heads of a date are the mean of, as in the answer.
func (s *sweep) meanOf() string {
	if len(s.Seasons) == 1 {
		return s.harvests()
	}
	return "mean of " + s.harvests()
}

// infestationPicture is what each date earns more than the planned one, at
// three infestations.
func (s *sweep) infestationPicture() *figure.Sweep {
	at, names := s.Planned, s.sideNames()
	hues := []figure.Hue{figure.Green, figure.Blue, figure.Vermilion}
	var panels []figure.Panel
	for i, x := range s.Sides {
		q := figure.Panel{Name: names[i], Unit: s.money(), Kind: figure.Linear, Hue: hues[i%len(hues)]}
		for _, m := range x.Margins {
			q.Bands = append(q.Bands, spreadOf(perAll(s.area(), decide.Differences(m, x.Margins[at]))))
		}
		panels = append(panels, q)
	}
	f := s.figure(fmt.Sprintf("margin against drilling on %s", dayOfYear(s.Dates[at])), panels...)
	f.From, f.To = 0, 0
	f.Marks = []figure.Mark{{Value: float64(s.Dates[at]), Name: s.plannedName(at)}}
	fewer := s.Run
	fewer.Replicates = s.SideReplicates
	f.Subtitle = forecastSubtitle(fewer)
	f.Note = fmt.Sprintf("Difference run by run, mean of %s. %s", s.horizon(), noPromise)
	return f
}

// plannedName is what the swept date next to the planned one is called.
func (s *sweep) plannedName(at int) string {
	if s.Dates[at] == s.Run.Calendar.Seasons[s.Season()].Courses[0].Drill.On {
		return "planned"
	}
	return dayOfYear(s.Dates[at])
}

// ofRuns says what the bands are of.
func (s *sweep) ofRuns() string {
	return "Yield is of the runs that grew " + s.crop + ", all else of every run, whatever it grew. " + noPromise
}

// figure is an empty picture of the sweep with some panels.
func (s *sweep) figure(what string, panels ...figure.Panel) *figure.Sweep {
	f := &figure.Sweep{
		Caption: figure.Caption{Title: s.Run.Calendar.Name + ": " + what, Subtitle: forecastSubtitle(s.Run), Note: s.ofRuns(), Provenance: provenanceLine(s.Run)},
		X:       figure.Scale{Name: "Drilling planned for", Kind: figure.Dates}, Panels: panels,
	}
	if at := s.Best.Best; at >= 0 {
		f.Marks = []figure.Mark{{Value: float64(s.Dates[at]), Name: "best that goes in"}}
	}
	for _, d := range s.Dates {
		f.At = append(f.At, float64(d))
	}
	if at := s.Planned; at != s.Best.Best {
		f.Marks = append(f.Marks, figure.Mark{Value: float64(s.Dates[at]), Name: "planned"})
	}
	if s.Best.From < s.Best.To {
		f.From, f.To = float64(s.Dates[s.Best.From]), float64(s.Dates[s.Best.To])
		f.Note = "Shaded: dates as good as the best. " + s.ofRuns()
	}
	return f
}

func (s *sweep) spreads(m sim.Metric) []figure.Spread {
	var out []figure.Spread
	for _, o := range s.Outcomes {
		x := o.Column(m, s.Season())
		if overLand(m) {
			x = perAll(s.area(), x)
		}
		out = append(out, spreadOf(x))
	}
	return out
}

// perAll are columns of money as they are shown.
func (s *sweep) perAll(columns [][]float64) [][]float64 {
	var out [][]float64
	for _, x := range columns {
		out = append(out, perAll(s.area(), x))
	}
	return out
}

func spreadsOf(columns [][]float64) []figure.Spread {
	var out []figure.Spread
	for _, x := range columns {
		out = append(out, spreadOf(x))
	}
	return out
}

func spreadOf(x []float64) figure.Spread {
	b := bands.Summarise(x)
	return figure.Spread{P05: b.P05, P25: b.P25, P50: b.P50, P75: b.P75, P95: b.P95, Zero: b.Zero}
}
