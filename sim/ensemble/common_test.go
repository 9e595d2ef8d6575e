package ensemble_test

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat"

	"rundown/sim"
	"rundown/sim/ensemble"
	"rundown/sim/simtest"
)

func pair(t *testing.T, n int, a, b string) (x, y *ensemble.Outcome) {
	t.Helper()
	o, err := ensemble.Run(context.Background(), []*sim.Model{model(t, a), model(t, b)}, ensemble.Options{Replicates: n, Seed: 21})
	if err != nil {
		t.Fatal(err)
	}
	return o[0], o[1]
}

// Plans that differ in one cultivation stay correlated: log seed return, at one
// seed per m² on 1,000 m² and on 1 ha, above 0.9. (One stream per process
// instead of addressed draws gave 0.0–0.07 in a prototype.)
func TestCommonRandomNumbers(t *testing.T) {
	simtest.NotRacing(t)
	const plan = `field: {name: Pair, area_ha: %v, soil: clay, climate: east-lowland}
weed: {species: black-grass, start: 2026-08-01, seedbank_per_m2: {0-5: 1}}
seasons:
  - crop: winter-wheat
    cultivate: %s
    spray_off: [{days_before_drilling: 1}]
    drill: {date: 28 Sep, latest: 30 Nov, with: tine-drill}
    herbicides: []
`
	for _, area := range []float64{0.1, 1} {
		a, b := pair(t, 1500,
			fmt.Sprintf(plan, area, "[{date: 25 Aug, with: shallow-disc}, {date: 10 Sep, with: shallow-disc}]"),
			fmt.Sprintf(plan, area, "[{date: 25 Aug, with: shallow-disc}]"))
		var x, y []float64
		for r, v := range a.Column(sim.SeedReturn, 0) {
			if w := b.Column(sim.SeedReturn, 0)[r]; v > 0 && w > 0 {
				x, y = append(x, math.Log(v)), append(y, math.Log(w))
			}
		}
		if c := stat.Correlation(x, y, nil); c < 0.9 {
			t.Errorf("on %v ha log seed returns correlate %.3f over %d pairs, expected above 0.9", area, c, len(x))
		} else {
			t.Logf("on %v ha: %.3f over %d pairs", area, c, len(x))
		}
	}
}

// A plan with another crop in year 5 agrees to the byte before it.
func TestSamePastWhateverComes(t *testing.T) {
	p := newPlanner(14)
	head := p.plan(4, 1)
	tail := "  - {crop: winter-oilseed-rape, drill: {date: 15 Sep, latest: 1 Oct}}\n"
	a, b := pair(t, 60, head, head+tail)
	for s := range 4 {
		for k := sim.Metric(0); k < sim.MetricCount; k++ {
			for r, x := range a.Column(k, s) {
				if y := b.Column(k, s)[r]; math.Float64bits(x) != math.Float64bits(y) {
					t.Fatalf("%s, season %d, replicate %d: %v against %v in the longer plan\n%s", sim.Metrics[k].Name, s, r, x, y, strings.TrimSpace(head))
				}
			}
		}
	}
}
