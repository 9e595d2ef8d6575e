package sim_test

import (
	"math"
	"testing"
)

// A pass kills seedlings below one leaf more surely than larger ones, but none where it does not stir; plants with
// many tillers root again, unless they are turned under.
func TestPassKillsBySize(t *testing.T) {
	m := model(t, trial(t, "shallow-disc", "start: 2026-08-15, heads_per_m2: 1", refSeasonText))
	for _, x := range []struct {
		name               string
		small, main, large float64 // in dry soil
	}{
		{"shallow-disc", 0.875, 0.75, 0.5625}, // half of the quarter that it spares; three quarters of 0.75
		{"tine-drill", 0.575, 0.45, 0.3375},   // of the 0.7 that it stirs
		{"disc-drill", 0.135, 0.12, 0.09},
		{"rolls", 0.05, 0.05, 0.0375}, // stirs nothing
		{"plough", 0.99, 0.98, 0.98},
	} {
		dry, err := m.PassKills(x.name, 0)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(dry.Small-x.small)+math.Abs(dry.Main-x.main)+math.Abs(dry.Large-x.large) > 1e-9 {
			t.Errorf("%s kills %.4f, %.4f and %.4f of small, middling and large plants in dry soil, expected %.4f, %.4f and %.4f",
				x.name, dry.Small, dry.Main, dry.Large, x.small, x.main, x.large)
		}
		wet, err := m.PassKills(x.name, 1)
		if err != nil {
			t.Fatal(err)
		}
		if wet.Small > dry.Small || wet.Main > dry.Main || wet.Large > dry.Large {
			t.Errorf("%s kills more in wet soil: %+v, dry %+v", x.name, wet, dry)
		}
	}
}
