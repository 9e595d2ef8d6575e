package sim_test

import (
	"strings"
	"testing"

	"rundown/params/date"
	"rundown/sim"
)

// A burn-off planned the day before drilling goes with the drilling: where the
// crop slips by more than a week it is done again and paid for, so that more of
// what has come up is killed and less comes to head, than where the plan gives it
// a latest day of its own. Where the crop goes in within the week nothing differs.
// Both plans have the same luck, replicate by replicate.
func TestBurnOffFollowsTheDrill(t *testing.T) {
	with := strings.Replace(plannedFor("clay", "west-maritime", "25 Sep", "15 Dec"), "heads_per_m2: 1,", "heads_per_m2: 0.001,", 1)
	without := strings.Replace(with, "days_before_drilling: 1", "days_before_drilling: 1, latest: 26 Sep", 1)
	o := run(t, 300, nil, with, without)
	cost := o[0].Model.Calendar().Library.Find("herbicides", "spray-off").Value("cost").Central
	planned := float64(date.Of(2026, 9, 25))
	slipped, more, fewer := 0.0, 0.0, 0.0
	for r, on := range o[0].Column(sim.DrilledOn, 0) {
		a := func(m sim.Metric) float64 { return o[0].Column(m, 0)[r] }
		b := func(m sim.Metric) float64 { return o[1].Column(m, 0)[r] }
		switch {
		case on <= planned+1:
			if a(sim.Plants) != b(sim.Plants) || a(sim.Margin) != b(sim.Margin) {
				t.Fatalf("run %d, drilled in time: %v plants and %v, margins %v and %v", r, a(sim.Plants), b(sim.Plants), a(sim.Margin), b(sim.Margin))
			}
		case on > planned+9 && b(sim.DrilledOn) == on: // over a week after the last day of the other burn-off
			slipped++
			more += a(sim.PlantsKilled) - b(sim.PlantsKilled)
			fewer += b(sim.Heads) - a(sim.Heads)
			if paid := b(sim.Margin) - a(sim.Margin); paid < 0.9*cost { // the yield that it saves is next to nothing here
				t.Errorf("run %d: drilled over a week late, the burn-off costs %.1f more, a pass is %.1f", r, paid, cost)
			}
		}
	}
	t.Logf("slipped %.0f of 300: %.4f plants/m² more killed, %.4f heads/m² fewer, a pass costs %.0f", slipped, more/slipped, fewer/slipped, cost)
	if slipped < 20 || more <= 0 || fewer <= 0 {
		t.Errorf("in %.0f runs that slipped %.3f plants/m² more are killed and %.3f heads/m² fewer stand", slipped, more/slipped, fewer/slipped)
	}
}
