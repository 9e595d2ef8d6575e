package findings

import (
	"io"

	"rundown/cmd/internal/report"
	"rundown/sim"
	"rundown/sim/decide"
)

func (s *sweep) document(warnings []report.Warning) report.Object {
	planned := s.Planned
	var dates []report.Object
	for i, d := range s.Dates {
		o := report.Object{{"date", d.String()}, {"not_drilled", s.Missed[i]}}
		for _, m := range swept {
			o = append(o, report.Member{sim.Metrics[m].Name, band(s.Outcomes[i].Column(m, s.Season()))})
		}
		dates = append(dates, append(o,
			report.Member{"heads_over_seasons_per_m2", band(s.Heads[i])},
			report.Member{"weed_free_yield_t_per_ha", band(decide.WeedFree(s.Outcomes[i], s.Season()))},
			report.Member{"date_loss_fraction", band(s.DateLoss[i])},
			report.Member{"onward_margin_per_ha", band(s.Onward[i])},
			report.Member{"goes_in_share", s.GoesInShare[i]}, report.Member{"own_latest_day", s.Beyond(d)}, report.Member{"as_good", s.AsGood(i)},
			report.Member{"against_planned", againstObject(s.Against[i])},
			report.Member{"onward_margin_against_planned", report.Object{{"difference", band(decide.Differences(s.Onward[i], s.Onward[planned]))}}}))
	}
	return s.Past.with(report.Object{
		{"format", DrillingFormat}, {"plan", s.Run.Calendar.Name}, {"answer", s.answer().Object()}, {"seed", s.Run.Seed}, {"replicates", s.Run.Replicates},
		{"side_replicates", s.SideReplicates},
		{"version", s.Provenance.Version}, {"provenance", s.Provenance.Object()}, {"units", s.units()}, {"warnings", report.WarningObjects(warnings)},
		{"season", s.Run.Calendar.Seasons[s.Season()].HarvestYear}, {"crop", s.Run.Calendar.Seasons[s.Season()].Courses[0].Crop.Name},
		{"seasons_moved", s.years()}, {"goes_in_asked", s.GoesIn}, {"work_moves_along", !s.Alone}, {"planned",
			s.Run.Calendar.Seasons[s.Season()].Courses[0].Drill.On.String()}, {"against", s.Dates[planned].String()},
		{"best", s.optimum(s.Best, s.Onward)}, {"best_that_goes_in", s.goesInDate()}, {"best_this_season", s.optimum(s.Now, s.now())},
		{"dates", dates}, {"work", s.workObjects()}, {"infestation_unit", s.infestationUnit()}, {"infestations", s.infestations()}, {"crossover", s.crossover()},
	}, s.Outcomes[planned])
}

// workObjects are what became of the work, with the planned date and with the best.
func (s *sweep) workObjects() []report.Object {
	out := []report.Object{}
	for _, w := range s.Work {
		seasons := []report.Object{}
		for i := range w.Seasons {
			seasons = append(seasons, report.Object{{"harvest_year", w.Seasons[i].HarvestYear}, {"work", workObjects(&w.Seasons[i])}})
		}
		out = append(out, report.Object{{"date", s.Dates[w.Date].String()}, {"seasons", seasons}})
	}
	return out
}

func (s *sweep) units() report.Object {
	return append(units(s.Run.Calendar), report.Member{"weed_free_yield_t_per_ha", unit(s.Run.Calendar, sim.Yield)}, report.Member{"date_loss_fraction",
		unit(s.Run.Calendar, sim.YieldLoss)}, report.Member{"heads_over_seasons_per_m2", unit(s.Run.Calendar, sim.Heads)},
		report.Member{"onward_margin_per_ha", s.unitOfOnward()})
}

// unitOfOnward is the unit of the margin from the season on, per hectare as in all data.
func (s *sweep) unitOfOnward() string {
	if s.onlyTheLast() {
		return unit(s.Run.Calendar, sim.Margin)
	}
	return unit(s.Run.Calendar, sim.Margin) + " a year"
}

func (s *sweep) infestationUnit() string {
	if s.Run.Calendar.HasSeedbank {
		return "times the plan's seedbank"
	}
	return "heads/m²"
}

// optimum is a best date with those as good; null for none. The mean is what it is best by.
func (s *sweep) optimum(b decide.Optimum, columns [][]float64) any {
	if b.Best < 0 {
		return nil
	}
	return report.Object{{"date", s.Dates[b.Best].String()}, {"flat_from", s.Dates[b.From].String()}, {"flat_to", s.Dates[b.To].String()}, {"median",
		median(columns[b.Best])}, {"mean", b.Means[b.Best]}}
}

// infestations are the sweeps at other infestations.
func (s *sweep) infestations() []report.Object {
	out := []report.Object{}
	for _, x := range s.Sides {
		var medians []float64
		for _, m := range x.Margins {
			medians = append(medians, median(m))
		}
		out = append(out, report.Object{{"infestation", x.Infestation}, {"best", s.optimum(x.Best, x.Margins)}, {"onward_margin_medians", medians},
			{"onward_margin_means", x.Best.Means}})
	}
	return out
}

// crossover is where two dates change places.
func (s *sweep) crossover() any {
	if len(s.Sides) == 0 {
		return nil
	}
	o := report.Object{{"earlier", s.Dates[s.Early].String()}, {"later", s.Dates[s.Late].String()}, {"clean_ground_difference", s.CleanGain}}
	switch c := s.Cross; c.Verdict {
	case decide.First:
		return append(o, report.Member{"better", "earlier"}, report.Member{"infestation", nil}, report.Member{"from", nil}, report.Member{"to", nil})
	case decide.Second:
		return append(o, report.Member{"better", "later"}, report.Member{"infestation", nil}, report.Member{"from", nil}, report.Member{"to", nil})
	default:
		return append(o, report.Member{"better", "earlier below, later above"}, report.Member{"infestation", c.Density}, report.Member{"from", c.Low},
			report.Member{"to",
				finite(c.High)})
	}
}

// DrillingCSV writes the sweep tidily.
func DrillingCSV(w io.Writer, d DrillingRun) error {
	s := newSweep(d)
	out := report.NewCSV(w)
	_ = out.Write([]string{"drilling_date", "metric", "unit", "quantile", "estimate"}) // errors come at Error below
	for i, d := range s.Dates {
		for _, m := range swept {
			bandRows(out, []string{d.String(), sim.Metrics[m].Name, unit(s.Run.Calendar, m)}, band(s.Outcomes[i].Column(m, s.Season())))
		}
		bandRows(out, []string{d.String(), "weed_free_yield_t_per_ha", unit(s.Run.Calendar, sim.Yield)}, band(decide.WeedFree(s.Outcomes[i], s.Season())))
		bandRows(out, []string{d.String(), "date_loss_fraction", unit(s.Run.Calendar, sim.YieldLoss)}, band(s.DateLoss[i]))
		bandRows(out, []string{d.String(), "onward_margin_per_ha", s.unitOfOnward()}, band(s.Onward[i]))
		_ = out.Write([]string{d.String(), "not_drilled", "share", "mean", report.Cell(s.Missed[i])})
	}
	out.Flush()
	return out.Error()
}

// goesInDate is the best date on which the crop goes in as often as is asked; null for none.
func (s *sweep) goesInDate() any {
	if at := s.Best.Best; at >= 0 {
		return s.Dates[at].String()
	}
	return nil
}

// now is the season's own margin, by date.
func (s *sweep) now() [][]float64 {
	var out [][]float64
	for _, o := range s.Outcomes {
		out = append(out, o.Column(sim.Margin, s.Season()))
	}
	return out
}

// years are the harvests whose crops are moved.
func (s *sweep) years() []float64 {
	var out []float64
	for _, i := range s.Seasons {
		out = append(out, float64(s.Run.Calendar.Seasons[i].HarvestYear))
	}
	return out
}
