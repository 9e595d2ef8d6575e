package findings

import (
	"rundown/cmd/internal/report"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/study"
)

// ForecastFormat names the JSON that a forecast writes. Within a format keys
// are only added.
const ForecastFormat = "rundown.forecast/1"

// seasonMetrics are the bands of a season in forecast.json, in their order;
// waited_days stands before them.
var seasonMetrics = []sim.Metric{
	sim.Plants, sim.Heads, sim.SeedReturn, sim.SeedbankJune, sim.Seedbank, sim.YieldLoss, sim.Yield, sim.Margin,
}

// actionObject is the threshold as JSON; null for none.
func actionObject(a study.Action) any {
	if a.Heads == 0 {
		return nil
	}
	of := "library"
	if a.Own {
		of = "plan"
	}
	return report.Object{{"heads_per_m2", a.Heads}, {"of", of}, {"above", a.Over}}
}

func forecastDocument(r ForecastRun, warnings []report.Warning) report.Object {
	seasons, list := r.Found.Seasons, []report.Object{}
	for _, s := range seasons {
		o := seasonObject(s)
		if r.Calendar.Rules != nil {
			o = append(o, report.Member{"branches", branchObjects(&s)})
		}
		list = append(list, o)
	}
	document := report.Object{
		{"format", ForecastFormat},
		{"plan", r.Calendar.Name},
		{"answer", forecastAnswer(r).Object()},
		{"seed", r.Seed},
		{"replicates", r.Replicates},
		{"version", r.Provenance.Version},
		{"provenance", r.Provenance.Object()},
		{"units", units(r.Calendar)},
		{"warnings", report.WarningObjects(warnings)},
		{"seasons", list},
		{"threshold", actionObject(r.Found.Acts)},
		{"extinct_fraction", seasons[len(seasons)-1].Extinct},
	}
	if o := evolvingObject(r.Found.Evolves, r.Found.Seasons); o != nil {
		document = append(document, report.Member{Key: "resistance", Value: o})
	}
	return r.Past.with(document, r.Found.Outcome)
}

func units(c *rotations.Calendar) report.Object {
	o := report.Object{}
	for _, m := range seasonMetrics {
		if m == sim.Margin {
			o = append(o, report.Member{sim.Metrics[sim.WaitedDays].Name, unit(c, sim.WaitedDays)},
				report.Member{"ledger_per_m2", unit(c, sim.LedgerStart)})
		}
		o = append(o, report.Member{sim.Metrics[m].Name, unit(c, m)})
	}
	return o
}

func seasonObject(s study.Season) report.Object {
	shares := report.Object{}
	for _, g := range s.Grown {
		shares = append(shares, report.Member{g.Name, g.Share})
	}
	o := report.Object{
		{"harvest_year", s.HarvestYear},
		{"crop", s.Crop},
		{"grown", shares},
		{"drilled", drilledValue(s.Drilled)},
		{sim.Metrics[sim.WaitedDays].Name, s.Bands[sim.WaitedDays]},
	}
	for _, m := range seasonMetrics {
		o = append(o, report.Member{sim.Metrics[m].Name, s.Bands[m]})
	}
	ledger := report.Object{}
	for m := range sim.MetricCount {
		if sim.Metrics[m].Ledger {
			ledger = append(ledger, report.Member{sim.Metrics[m].Name, s.Ledger[m]})
		}
	}
	o = append(o, report.Member{"extinct_fraction", s.Extinct}, report.Member{"ledger_per_m2", ledger})
	if s.Work != nil {
		o = append(o, report.Member{"work", workObjects(&s)}, report.Member{"costs_per_ha", spentObject(s.Costs())})
	}
	return o
}

func drilledValue(d *study.Drilled) any {
	switch {
	case d == nil:
		return nil
	case d.Share == 0:
		return report.Object{{"share", 0.0}, {"p05", nil}, {"p50", nil}, {"p95", nil}}
	}
	return report.Object{{"share", d.Share}, {"p05", d.P05.String()}, {"p50", d.P50.String()}, {"p95", d.P95.String()}}
}

// ProvenanceDocument is provenance.json: what a folder of results was made
// from.
func (r Run) ProvenanceDocument(command string) report.Object {
	return report.Object{
		{"format", "rundown.provenance/1"},
		{"command", command},
		{"plan", r.Calendar.Name},
		{"seed", r.Seed},
		{"replicates", r.Replicates},
		{"version", r.Provenance.Version},
		{"provenance", r.Provenance.Object()},
	}
}
