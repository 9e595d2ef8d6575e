package findings

import (
	"strings"

	"rundown/cmd/internal/report"
	"rundown/rotations"
	"rundown/sim"
)

// Money and yields are shown per hectare, or per acre where the plan asks for it
// (rotations.Area). What a study found, JSON and CSV are per hectare; whatever is shown of it
// goes through one of these.

// perArea is the unit of money over land.
func perArea(c *rotations.Calendar) string { return c.Currency + "/" + c.Area.Name }

// tonnesPer is the unit of a yield.
func tonnesPer(a rotations.Area) string { return "t/" + a.Name }

// sizeOf writes so many hectares: 9 ha, or 22.2 ac.
func sizeOf(a rotations.Area, ha float64) string { return a.Size(ha) }

// sizeAlone is sizeOf without its unit.
func sizeAlone(a rotations.Area, ha float64) string {
	return strings.TrimSuffix(a.Size(ha), " "+a.Name)
}

// overLand tells whether a metric is per hectare.
func overLand(m sim.Metric) bool { return strings.HasSuffix(sim.Metrics[m].Unit, "/ha") }

// shownUnit is the unit in which a metric is shown.
func shownUnit(c *rotations.Calendar, m sim.Metric) string {
	if overLand(m) {
		return strings.TrimSuffix(unit(c, m), "ha") + c.Area.Name
	}
	return unit(c, m)
}

// shown is a band of a metric as it is shown.
func shown(a rotations.Area, m sim.Metric, b report.Band) report.Band {
	if overLand(m) {
		return perBand(a, b)
	}
	return b
}

// perBand is a band of what is per hectare, per unit of land.
func perBand(a rotations.Area, b report.Band) report.Band {
	for _, x := range []*float64{&b.Mean, &b.P05, &b.P25, &b.P50, &b.P75, &b.P95} {
		*x = a.Per(*x)
	}
	return b
}

// perAll are values of what is per hectare, per unit of land.
func perAll(a rotations.Area, values []float64) []float64 {
	out := make([]float64, len(values))
	for i, x := range values {
		out[i] = a.Per(x)
	}
	return out
}

// told writes the band of a metric.
func told(a rotations.Area, m sim.Metric, b report.Band) string { return forms[m].Band(shown(a, m, b)) }

// perYield and perMargin write one number of them.
func perMargin(a rotations.Area, x float64) string { return forms[sim.Margin].Value(a.Per(x)) }
func perYield(a rotations.Area, x float64) string  { return forms[sim.Yield].Value(a.Per(x)) }
