package findings

import (
	"math"
	"rundown/cmd/internal/report"
	"rundown/sim/study"

	"rundown/sim"
)

func (u *updated) document(warnings []report.Warning) report.Object {
	o := report.Object{
		{"format", UpdateFormat}, {"plan", u.Calendar.Name}, {"answer", u.answer().Object()}, {"counts", u.CountsFile.Name}, {"seed", u.Seed},
		{"replicates", u.Replicates},
		{"version", u.Provenance.Version}, {"provenance", u.Provenance.Object()}, {"units", units(u.Calendar)}, {"warnings", report.WarningObjects(warnings)},
		{"last_count", u.Result.Posterior.Last.String()}, {"zones", u.Zones},
		{"method", report.Object{{"name", scheme}, {"references", schemeReferences}}},
		{"effective_sample_size", report.Object{{"least", u.LeastESS}, {"end", u.Result.Effective}, {"families", u.Result.Families}}},
		{"counted", u.countObjects()}, {"seasons", u.seasonObjects()}, {"moved", u.movedObjects()}, {"steps", u.stepObjects()},
	}
	if u.Learnt != nil {
		o = append(o, report.Member{Key: "resistance", Value: u.learntObject()})
	}
	return o
}

func (u *updated) countObjects() []report.Object {
	var out []report.Object
	for i := range u.Counts {
		c, s := &u.Counts[i], &u.Result.Seen[i]
		var depth any
		if c.Watch.DepthCM > 0 {
			depth = c.Watch.DepthCM
		}
		out = append(out, report.Object{{"date", c.Watch.Day.String()}, {"kind", c.Kind}, {"depth_cm", depth}, {"quadrats", s.Counted.Quadrats},
			{"area_m2", s.Counted.AreaM2},
			{"counted_per_m2", ends(s.Counted.MeanPerM2)}, {"before", report.Band(s.Prior)}, {"after", report.Band(s.Posterior)},
			{"expected_mean_of_quadrats", report.Band(s.Expected)},
			{"lower_forecasts_fraction", s.PriorTail}, {"lower_after_earlier_counts_fraction", s.BeforeTail}})
	}
	return out
}

func (u *updated) seasonObjects() []report.Object {
	var out []report.Object
	for i := range u.after {
		o := report.Object{{"harvest_year", u.after[i].HarvestYear}, {"crop", u.after[i].Crop}}
		for _, x := range []struct {
			key string
			s   *study.Season
		}{{"before", &u.before[i]}, {"after", &u.after[i]}} {
			bands := report.Object{}
			for _, m := range shownMetrics {
				bands = append(bands, report.Member{sim.Metrics[m].Name, x.s.Bands[m]})
			}
			o = append(o, report.Member{x.key, append(bands, report.Member{"extinct_fraction", x.s.Extinct})})
		}
		out = append(out, append(o, report.Member{"work", workObjects(&u.after[i])}))
	}
	return out
}

func (u *updated) movedObjects() []report.Object {
	out := []report.Object{}
	for _, m := range u.Result.Moved {
		out = append(out, report.Object{{"value", m.Value.Path}, {"label", valueName(m.Value)}, {"short", shortValue(m.Value)}, {"unit", m.Value.Unit},
			{"grade", string(m.Value.Grade)},
			{"before", report.Band(m.Prior)}, {"after", report.Band(m.Posterior)}, {"shift_sd", m.Shift}, {"shift_error", m.Error}, {"narrower_fraction", m.Narrowed}})
	}
	return out
}

func (u *updated) stepObjects() []report.Object {
	var out []report.Object
	for _, s := range u.Result.Steps {
		share := func(x float64) any {
			if math.IsNaN(x) {
				return nil
			}
			return x
		}
		out = append(out, report.Object{{"date", u.dates()[s.Date].String()}, {"let_in_fraction", s.Let}, {"effective_sample_size", s.Effective},
			{"drawn_anew", s.Drawn},
			{"values_moved_fraction", share(s.Values)}, {"luck_moved_fraction", share(s.Luck)}})
	}
	return out
}
