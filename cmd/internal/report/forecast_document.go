package report

import (
	"rundown/rotations"
	"rundown/sim"
)

// ForecastFormat names the JSON that a forecast writes. Within a format keys
// are only added.
const ForecastFormat = "rundown.forecast/1"

// seasonMetrics are the bands of a season in forecast.json, in their order;
// waited_days stands before them.
var seasonMetrics = []sim.Metric{
	sim.Plants, sim.Heads, sim.SeedReturn, sim.SeedbankJune, sim.Seedbank, sim.YieldLoss, sim.Yield, sim.Margin,
}

// object is the threshold as JSON; null for none.
func (a action) object() any {
	if a.heads == 0 {
		return nil
	}
	of := "library"
	if a.own {
		of = "plan"
	}
	return Object{{"heads_per_m2", a.heads}, {"of", of}, {"above", a.over}}
}

func forecastDocument(r Run, seasons []season, warnings []Warning) Object {
	list := []Object{}
	for _, s := range seasons {
		list = append(list, seasonObject(s))
	}
	return r.Past.with(Object{
		{"format", ForecastFormat},
		{"plan", r.Calendar.Name},
		{"seed", r.Seed},
		{"replicates", r.Replicates},
		{"version", r.Provenance.Version},
		{"provenance", r.Provenance.Object()},
		{"units", units(r.Calendar)},
		{"warnings", warningObjects(warnings)},
		{"seasons", list},
		{"threshold", actsAbove(r, seasons).object()},
		{"extinct_fraction", seasons[len(seasons)-1].extinct},
	}, r.Outcome)
}

func units(c *rotations.Calendar) Object {
	o := Object{}
	for _, m := range seasonMetrics {
		if m == sim.Margin {
			o = append(o, Member{sim.Metrics[sim.WaitedDays].Name, unit(c, sim.WaitedDays)},
				Member{"ledger_per_m2", unit(c, sim.LedgerStart)})
		}
		o = append(o, Member{sim.Metrics[m].Name, unit(c, m)})
	}
	return o
}

func seasonObject(s season) Object {
	shares := Object{}
	for _, g := range s.grown {
		shares = append(shares, Member{g.name, g.share})
	}
	o := Object{
		{"harvest_year", s.HarvestYear},
		{"crop", s.crop},
		{"grown", shares},
		{"drilled", drilledValue(s.drilled)},
		{sim.Metrics[sim.WaitedDays].Name, s.bands[sim.WaitedDays]},
	}
	for _, m := range seasonMetrics {
		o = append(o, Member{sim.Metrics[m].Name, s.bands[m]})
	}
	ledger := Object{}
	for m := range sim.MetricCount {
		if sim.Metrics[m].Ledger {
			ledger = append(ledger, Member{sim.Metrics[m].Name, s.ledger[m]})
		}
	}
	return append(o, Member{"extinct_fraction", s.extinct}, Member{"ledger_per_m2", ledger})
}

func drilledValue(d *drilled) any {
	switch {
	case d == nil:
		return nil
	case d.share == 0:
		return Object{{"share", 0.0}, {"p05", nil}, {"p50", nil}, {"p95", nil}}
	}
	return Object{{"share", d.share}, {"p05", d.p05.String()}, {"p50", d.p50.String()}, {"p95", d.p95.String()}}
}

// ProvenanceDocument is provenance.json: what a folder of results was made
// from.
func (r Run) ProvenanceDocument(command string) Object {
	return Object{
		{"format", "rundown.provenance/1"},
		{"command", command},
		{"plan", r.Calendar.Name},
		{"seed", r.Seed},
		{"replicates", r.Replicates},
		{"version", r.Provenance.Version},
		{"provenance", r.Provenance.Object()},
	}
}
