package sim_test

import (
	"strings"
	"testing"

	"rundown/sim"
)

// Every metric has a row: a name of its own, a unit, words, and a form to be written in; a
// share is told in per cent, a density on a log axis.
func TestMetricTable(t *testing.T) {
	names := map[string]sim.Metric{}
	for m, x := range sim.Metrics {
		if x.Name == "" || x.Unit == "" || x.Label == "" || x.Short == "" || x.Form.Digits < 1 || x.Form.Least <= 0 {
			t.Errorf("metric %d: %+v", m, x)
		}
		if other, there := names[x.Name]; there {
			t.Errorf("metrics %d and %d are both %s", other, m, x.Name)
		}
		names[x.Name] = sim.Metric(m)
		if share := x.Unit == "fraction"; share != (x.Form.Axis == sim.AxisShare) {
			t.Errorf("%s, in %s, has the axis %d", x.Name, x.Unit, x.Form.Axis)
		}
		if density := strings.HasSuffix(x.Unit, "/m²") && !x.Ledger; density != (x.Form.Axis == sim.AxisLog) {
			t.Errorf("%s, in %s, has the axis %d", x.Name, x.Unit, x.Form.Axis)
		}
	}
}
