package sim_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"
)

// Between the nodes of the reference year's grid over base temperature and base potential the yearly matrix is what
// it would be at a node: with the entry's own value in the middle of the grid, at two standard deviations of it
// either way. Bound: 2 % of the seed returned per seed shed.
func TestGridOfTheReferenceYearIsExact(t *testing.T) {
	lib := func(text string) string {
		dir := t.TempDir()
		if err := os.MkdirAll(filepath.Join(dir, "weeds"), 0o755); err != nil {
			t.Fatal(err)
		}
		if text != "" {
			if err := os.WriteFile(filepath.Join(dir, "weeds", "black-grass.yaml"), []byte("name: black-grass\nvalues:\n"+text), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		return dir
	}
	returns := func(text string, set map[string]float64) float64 {
		m := model(t, plot(lib(text), "black-grass", "start: 2026-08-01, seedbank_per_m2: {fresh: 1}", refSeasonText))
		l := &limit{m, m.Calendar().Space.Central()}
		for k, x := range set {
			l.set(t, k, x)
		}
		a, err := m.YearlyMatrix(l.theta)
		if err != nil {
			t.Fatal(err)
		}
		return a[0][0]
	}
	for _, x := range []struct {
		key   string
		value float64
	}{{"base_water_potential", -1.2}, {"base_water_potential", -1.8}, {"base_temperature", -1.4}, {"base_temperature", 1.4}} {
		between := returns("", map[string]float64{x.key: x.value})
		node := returns(fmt.Sprintf("  %s: {value: %g, spread: {normal: 0.1}, grade: assumed, source: \"assumed: a trial\"}\n", x.key, x.value), nil)
		t.Logf("%s %g: %.4f seeds returned between nodes, %.4f on one (%+.2f %%)", x.key, x.value, between, node, 100*(between/node-1))
		if math.Abs(between/node-1) > 0.02 {
			t.Errorf("%s %g: %.4f seeds returned per seed between the nodes of the grid, %.4f on a node", x.key, x.value, between, node)
		}
	}
}
