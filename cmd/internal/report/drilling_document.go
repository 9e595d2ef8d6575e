package report

import (
	"io"
	"math"

	"rundown/sim"
	"rundown/sim/decide"
)

func (s *sweep) document(warnings []Warning) Object {
	planned := s.planned()
	var dates []Object
	for i, d := range s.Dates {
		o := Object{{"date", d.String()}, {"not_drilled", decide.Missed(s.Outcomes[i], s.Season)}}
		for _, m := range swept {
			o = append(o, Member{sim.Metrics[m].Name, band(s.Outcomes[i].Column(m, s.Season))})
		}
		dates = append(dates, append(o,
			Member{"weed_free_yield_t_per_ha", band(decide.WeedFree(s.Outcomes[i], s.Season))},
			Member{"date_loss_fraction", band(s.dateLoss[i])},
			Member{"onward_margin_per_ha", band(s.onward[i])},
			Member{"onward_margin_against_planned", Object{{"difference", band(decide.Differences(s.onward[i], s.onward[planned]))}}}))
	}
	return s.Past.with(Object{
		{"format", DrillingFormat}, {"plan", s.Calendar.Name}, {"seed", s.Seed}, {"replicates", s.Replicates}, {"side_replicates", s.SideReplicates},
		{"version", s.Provenance.Version}, {"provenance", s.Provenance.Object()}, {"units", s.units()}, {"warnings", warningObjects(warnings)},
		{"season", s.Calendar.Seasons[s.Season].HarvestYear}, {"crop", s.Calendar.Seasons[s.Season].Courses[0].Crop.Name},
		{"planned", s.Calendar.Seasons[s.Season].Courses[0].Drill.On.String()}, {"against", s.Dates[planned].String()},
		{"best", s.optimum(s.best)}, {"best_that_goes_in", s.goesInDate()}, {"best_this_season", s.optimum(s.season)},
		{"dates", dates}, {"infestation_unit", s.infestationUnit()}, {"infestations", s.infestations()}, {"crossover", s.crossover()},
	}, s.Outcomes[planned])
}

func (s *sweep) units() Object {
	return append(units(s.Calendar), Member{"weed_free_yield_t_per_ha", unit(s.Calendar, sim.Yield)}, Member{"date_loss_fraction", unit(s.Calendar, sim.YieldLoss)},
		Member{"onward_margin_per_ha", s.money()})
}

func (s *sweep) infestationUnit() string {
	if s.Calendar.HasSeedbank {
		return "times the plan's seedbank"
	}
	return "heads/m²"
}

// optimum is a best date with its flat part.
func (s *sweep) optimum(b decide.Optimum) Object {
	return Object{{"date", s.Dates[b.Best].String()}, {"flat_from", s.Dates[b.From].String()}, {"flat_to", s.Dates[b.To].String()}, {"median", b.Medians[b.Best]}}
}

// infestations are the sweeps at other infestations.
func (s *sweep) infestations() []Object {
	out := []Object{}
	for _, x := range s.Sides {
		margins := s.margins(x.Outcomes)
		b := decide.Best(margins)
		out = append(out, Object{{"infestation", x.Infestation}, {"best", s.optimum(b)}, {"onward_margin_medians", b.Medians}})
	}
	return out
}

// crossover is where two dates change places.
func (s *sweep) crossover() any {
	if len(s.Sides) == 0 {
		return nil
	}
	finite := func(x float64) any {
		if math.IsInf(x, 0) {
			return nil
		}
		return x
	}
	o := Object{{"earlier", s.Dates[s.early].String()}, {"later", s.Dates[s.late].String()}, {"clean_ground_difference", s.clean}}
	switch c := s.cross; c.Verdict {
	case decide.First:
		return append(o, Member{"better", "earlier"}, Member{"infestation", nil}, Member{"from", nil}, Member{"to", nil})
	case decide.Second:
		return append(o, Member{"better", "later"}, Member{"infestation", nil}, Member{"from", nil}, Member{"to", nil})
	default:
		return append(o, Member{"better", "earlier below, later above"}, Member{"infestation", c.Density}, Member{"from", c.Low}, Member{"to", finite(c.High)})
	}
}

// DrillingCSV writes the sweep tidily.
func DrillingCSV(w io.Writer, d DrillingSweep) error {
	s := newSweep(d)
	out := newCSV(w)
	_ = out.Write([]string{"date", "metric", "unit", "quantile", "value"}) // errors come at Error below
	for i, d := range s.Dates {
		for _, m := range swept {
			bandRows(out, []string{d.String(), sim.Metrics[m].Name, unit(s.Calendar, m)}, band(s.Outcomes[i].Column(m, s.Season)))
		}
		bandRows(out, []string{d.String(), "weed_free_yield_t_per_ha", unit(s.Calendar, sim.Yield)}, band(decide.WeedFree(s.Outcomes[i], s.Season)))
		bandRows(out, []string{d.String(), "date_loss_fraction", unit(s.Calendar, sim.YieldLoss)}, band(s.dateLoss[i]))
		bandRows(out, []string{d.String(), "onward_margin_per_ha", s.money()}, band(s.onward[i]))
		_ = out.Write([]string{d.String(), "not_drilled", "share", "mean", cell(decide.Missed(s.Outcomes[i], s.Season))})
	}
	out.Flush()
	return out.Error()
}

// goesInDate is the best date on which the crop mostly goes in; null for none.
func (s *sweep) goesInDate() any {
	if at := s.usable(); at >= 0 {
		return s.Dates[at].String()
	}
	return nil
}
