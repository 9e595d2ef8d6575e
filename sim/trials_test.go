package sim_test

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"rundown/sim"
	"rundown/sim/bands"
	"rundown/sim/ensemble"
)

// trial is a plan on trial ground, where work waits for nothing: trials are sown
// on their date. start is what stands under weed: besides species.
func trial(t testing.TB, history, start, seasons string) string {
	return fmt.Sprintf("field: {name: Trial, area_ha: 1, soil: clay, climate: east-lowland, history: %s, work: on-its-day}\nweed: {species: "+
		"black-grass, %s}\nseasons:\n%s",
		history, start, seasons)
}

// sown is a season without herbicide in the crop, sprayed off the day before drilling.
func sown(name, drill, with, cultivate string) string {
	return fmt.Sprintf("  - crop: %s\n    cultivate: [%s]\n    spray_off: [{days_before_drilling: 1}]\n    drill: {date: %s, latest: %s, with: %s}\n  "+
		"  herbicides: []\n",
		name, cultivate, drill, map[bool]string{true: "30 Apr", false: "31 Dec"}[strings.HasSuffix(drill, "Mar")], with)
}

const disc = "{date: 25 Aug, with: shallow-disc}"

func run(t testing.TB, n int, w []sim.Watch, plans ...string) []*ensemble.Outcome {
	t.Helper()
	var ms []*sim.Model
	for _, p := range plans {
		ms = append(ms, model(t, p))
	}
	return runModels(t, ms, ensemble.Options{Replicates: n, Seed: 11, Watches: w})
}

func runModels(t testing.TB, ms []*sim.Model, options ensemble.Options) []*ensemble.Outcome {
	t.Helper()
	o, err := ensemble.Run(context.Background(), ms, options)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// falls are the paired falls 1 − a/b, sorted.
func falls(a, b []float64) []float64 {
	var r []float64
	for i := range a {
		if !math.IsNaN(a[i]) && b[i] > 0 {
			r = append(r, 1-a[i]/b[i])
		}
	}
	slices.Sort(r)
	return r
}

func mean(x []float64) float64 { return bands.Summarise(x).Mean }
