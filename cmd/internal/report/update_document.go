package report

import (
	"math"
	"rundown/sim/study"

	"rundown/sim"
)

func (u *updated) document(warnings []Warning) Object {
	return Object{
		{"format", UpdateFormat}, {"plan", u.Calendar.Name}, {"answer", u.answer().Object()}, {"counts", u.CountsFile.Name}, {"seed", u.Seed}, {"replicates", u.Replicates},
		{"version", u.Provenance.Version}, {"provenance", u.Provenance.Object()}, {"units", units(u.Calendar)}, {"warnings", warningObjects(warnings)},
		{"last_count", u.Result.Posterior.Last.String()}, {"zones", u.Zones},
		{"method", Object{{"name", scheme}, {"references", schemeReferences}}},
		{"effective_sample_size", Object{{"least", u.LeastESS}, {"end", u.Result.Effective}, {"families", u.Result.Families}}},
		{"counted", u.countObjects()}, {"seasons", u.seasonObjects()}, {"moved", u.movedObjects()}, {"steps", u.stepObjects()},
	}
}

func (u *updated) countObjects() []Object {
	var out []Object
	for i := range u.Counts {
		c, s := &u.Counts[i], &u.Result.Seen[i]
		var depth any
		if c.Watch.DepthCM > 0 {
			depth = c.Watch.DepthCM
		}
		out = append(out, Object{{"date", c.Watch.Day.String()}, {"kind", c.Kind}, {"depth_cm", depth}, {"quadrats", s.Counted.Quadrats}, {"area_m2", s.Counted.AreaM2},
			{"counted_per_m2", ends(s.Counted.MeanPerM2)}, {"before", Band(s.Prior)}, {"after", Band(s.Posterior)}, {"expected_mean_of_quadrats", Band(s.Expected)},
			{"lower_forecasts_fraction", s.PriorTail}, {"lower_after_earlier_counts_fraction", s.BeforeTail}})
	}
	return out
}

func (u *updated) seasonObjects() []Object {
	var out []Object
	for i := range u.after {
		o := Object{{"harvest_year", u.after[i].HarvestYear}, {"crop", u.after[i].Crop}}
		for _, x := range []struct {
			key string
			s   *study.Season
		}{{"before", &u.before[i]}, {"after", &u.after[i]}} {
			bands := Object{}
			for _, m := range shownMetrics {
				bands = append(bands, Member{sim.Metrics[m].Name, x.s.Bands[m]})
			}
			o = append(o, Member{x.key, append(bands, Member{"extinct_fraction", x.s.Extinct})})
		}
		out = append(out, o)
	}
	return out
}

func (u *updated) movedObjects() []Object {
	out := []Object{}
	for _, m := range u.Result.Moved {
		out = append(out, Object{{"value", m.Value.Path}, {"label", valueName(m.Value)}, {"short", shortValue(m.Value)}, {"unit", m.Value.Unit}, {"grade", string(m.Value.Grade)},
			{"before", Band(m.Prior)}, {"after", Band(m.Posterior)}, {"shift_sd", m.Shift}, {"shift_error", m.Error}, {"narrower_fraction", m.Narrowed}})
	}
	return out
}

func (u *updated) stepObjects() []Object {
	var out []Object
	for _, s := range u.Result.Steps {
		share := func(x float64) any {
			if math.IsNaN(x) {
				return nil
			}
			return x
		}
		out = append(out, Object{{"date", u.dates()[s.Date].String()}, {"let_in_fraction", s.Let}, {"effective_sample_size", s.Effective}, {"drawn_anew", s.Drawn},
			{"values_moved_fraction", share(s.Values)}, {"luck_moved_fraction", share(s.Luck)}})
	}
	return out
}
