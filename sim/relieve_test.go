package sim_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"rundown/params/date"
	"rundown/sim"
)

// Plants that are killed after the count compete until then: at low density, where
// the loss is in proportion to plants, all of them killed on a day leave the share of
// the loss that lies before it, of the days from 1 April to 30 June (arithmetic of
// the rule; spraying later than May is for this test alone), and of those that it
// waited for a dry day. Margin: 1 % of the loss without a spray.
func TestPlantsKilledAfterTheCountCostLess(t *testing.T) {
	lib := t.TempDir()
	for _, kind := range []string{"herbicides", "weeds"} {
		if err := os.MkdirAll(filepath.Join(lib, kind), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	// No plant dies by itself after the count, which would cost the crop no more either.
	if err := os.WriteFile(filepath.Join(lib, "weeds", "wild-oat.yaml"), []byte("name: wild-oat\nvalues:\n"+whole("survival_spring", 1)), 0o644); err != nil {
		t.Fatal(err)
	}
	text := "name: spring-contact\nvalues:\n" + whole("kill_below_one_leaf", 1) + whole("kill_two_leaves_to_six_tillers", 1) + whole("kill_beyond_six_tillers", 1)
	if err := os.WriteFile(filepath.Join(lib, "herbicides", "spring-contact.yaml"), []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	loss := func(sprays string) (lost, waited float64) {
		o := run(t, 200, nil, plot(lib, "wild-oat", "start: 2026-08-01, heads_per_m2: 0.02, trend: 1",
			fmt.Sprintf("  - crop: winter-wheat\n    cultivate: [%s]\n    spray_off: [{days_before_drilling: 1}]\n    drill: {date: 25 Sep, latest: 31 Dec, "+
				"with: tine-drill}\n    herbicides: [%s]\n", disc, sprays)))[0]
		return mean(o.Column(sim.YieldLoss, 0)), mean(o.Column(sim.WaitedDays, 0))
	}
	whole, waited := loss("")
	if whole < 1e-4 {
		t.Fatalf("the weed costs %v of the yield; nothing to be tested", whole)
	}
	days := float64(date.Of(2027, 6, 30) - date.Of(2027, 4, 1))
	for day, on := range map[string]date.Day{"20 Apr": date.Of(2027, 4, 20), "16 May": date.Of(2027, 5, 16), "10 Jun": date.Of(2027, 6, 10)} {
		lost, more := loss("{programme: spring-contact, date: " + day + "}")
		got, want := lost/whole, (float64(on-date.Of(2027, 4, 1))+more-waited)/days
		t.Logf("all plants killed on %s leave %.3f of the loss, of the days %.3f", day, got, want)
		if math.Abs(got-want) > 0.01 {
			t.Errorf("all plants killed on %s leave %.3f of the loss, expected %.3f", day, got, want)
		}
	}
	if early, _ := loss("{programme: spring-contact, date: 30 Mar}"); early > 0.1*whole {
		t.Errorf("all plants killed two days before the count leave %.3f of the loss", early/whole)
	}
}
