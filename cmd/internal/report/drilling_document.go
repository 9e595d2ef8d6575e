package report

import (
	"io"

	"rundown/sim"
	"rundown/sim/decide"
)

func (s *sweep) document(warnings []Warning) Object {
	planned := s.Planned
	var dates []Object
	for i, d := range s.Dates {
		o := Object{{"date", d.String()}, {"not_drilled", s.Missed[i]}}
		for _, m := range swept {
			o = append(o, Member{sim.Metrics[m].Name, band(s.Outcomes[i].Column(m, s.Season()))})
		}
		dates = append(dates, append(o,
			Member{"weed_free_yield_t_per_ha", band(decide.WeedFree(s.Outcomes[i], s.Season()))},
			Member{"date_loss_fraction", band(s.DateLoss[i])},
			Member{"onward_margin_per_ha", band(s.Onward[i])},
			Member{"goes_in_share", s.GoesInShare[i]}, Member{"own_latest_day", s.Beyond(d)}, Member{"as_good", s.AsGood(i)},
			Member{"against_planned", againstObject(s.Against[i])},
			Member{"onward_margin_against_planned", Object{{"difference", band(decide.Differences(s.Onward[i], s.Onward[planned]))}}}))
	}
	return s.Past.with(Object{
		{"format", DrillingFormat}, {"plan", s.Run.Calendar.Name}, {"answer", s.answer().Object()}, {"seed", s.Run.Seed}, {"replicates", s.Run.Replicates},
		{"side_replicates", s.SideReplicates},
		{"version", s.Provenance.Version}, {"provenance", s.Provenance.Object()}, {"units", s.units()}, {"warnings", warningObjects(warnings)},
		{"season", s.Run.Calendar.Seasons[s.Season()].HarvestYear}, {"crop", s.Run.Calendar.Seasons[s.Season()].Courses[0].Crop.Name},
		{"seasons_moved", s.years()}, {"goes_in_asked", s.GoesIn}, {"work_moves_along", !s.Alone}, {"planned",
			s.Run.Calendar.Seasons[s.Season()].Courses[0].Drill.On.String()}, {"against", s.Dates[planned].String()},
		{"best", s.optimum(s.Best, s.Onward)}, {"best_that_goes_in", s.goesInDate()}, {"best_this_season", s.optimum(s.Now, s.now())},
		{"dates", dates}, {"infestation_unit", s.infestationUnit()}, {"infestations", s.infestations()}, {"crossover", s.crossover()},
	}, s.Outcomes[planned])
}

func (s *sweep) units() Object {
	return append(units(s.Run.Calendar), Member{"weed_free_yield_t_per_ha", unit(s.Run.Calendar, sim.Yield)}, Member{"date_loss_fraction",
		unit(s.Run.Calendar, sim.YieldLoss)},
		Member{"onward_margin_per_ha", s.money()})
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
	return Object{{"date", s.Dates[b.Best].String()}, {"flat_from", s.Dates[b.From].String()}, {"flat_to", s.Dates[b.To].String()}, {"median",
		median(columns[b.Best])}, {"mean", b.Means[b.Best]}}
}

// infestations are the sweeps at other infestations.
func (s *sweep) infestations() []Object {
	out := []Object{}
	for _, x := range s.Sides {
		var medians []float64
		for _, m := range x.Margins {
			medians = append(medians, median(m))
		}
		out = append(out, Object{{"infestation", x.Infestation}, {"best", s.optimum(x.Best, x.Margins)}, {"onward_margin_medians", medians},
			{"onward_margin_means", x.Best.Means}})
	}
	return out
}

// crossover is where two dates change places.
func (s *sweep) crossover() any {
	if len(s.Sides) == 0 {
		return nil
	}
	o := Object{{"earlier", s.Dates[s.Early].String()}, {"later", s.Dates[s.Late].String()}, {"clean_ground_difference", s.CleanGain}}
	switch c := s.Cross; c.Verdict {
	case decide.First:
		return append(o, Member{"better", "earlier"}, Member{"infestation", nil}, Member{"from", nil}, Member{"to", nil})
	case decide.Second:
		return append(o, Member{"better", "later"}, Member{"infestation", nil}, Member{"from", nil}, Member{"to", nil})
	default:
		return append(o, Member{"better", "earlier below, later above"}, Member{"infestation", c.Density}, Member{"from", c.Low}, Member{"to",
			finite(c.High)})
	}
}

// DrillingCSV writes the sweep tidily.
func DrillingCSV(w io.Writer, d DrillingRun) error {
	s := newSweep(d)
	out := newCSV(w)
	_ = out.Write([]string{"drilling_date", "metric", "unit", "quantile", "estimate"}) // errors come at Error below
	for i, d := range s.Dates {
		for _, m := range swept {
			bandRows(out, []string{d.String(), sim.Metrics[m].Name, unit(s.Run.Calendar, m)}, band(s.Outcomes[i].Column(m, s.Season())))
		}
		bandRows(out, []string{d.String(), "weed_free_yield_t_per_ha", unit(s.Run.Calendar, sim.Yield)}, band(decide.WeedFree(s.Outcomes[i], s.Season())))
		bandRows(out, []string{d.String(), "date_loss_fraction", unit(s.Run.Calendar, sim.YieldLoss)}, band(s.DateLoss[i]))
		bandRows(out, []string{d.String(), "onward_margin_per_ha", s.money()}, band(s.Onward[i]))
		_ = out.Write([]string{d.String(), "not_drilled", "share", "mean", cell(s.Missed[i])})
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
