package study_test

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/ensemble"
	"rundown/sim/simtest"
	"rundown/sim/study"
)

// What work and seed cost is, with the other inputs, the harvest and the margin, what the crop
// fetched, to the penny: costs are counted from what was done, margins by the model.
func TestCostsAddUpToTheMargin(t *testing.T) {
	const n = 40
	f, records := forecastOf(t, n, decemberPlough)
	for i := range f.Seasons {
		s := &f.Seasons[i]
		grown, output, margin, rest := 0, 0.0, 0.0, 0.0
		for _, rec := range records {
			v := rec.Seasons[i]
			margin += v[sim.Margin] / n
			c := &s.Courses[int(v[sim.Course])]
			if int(v[sim.Course]) == 0 {
				grown++
			}
			if x := v[sim.Yield]; !math.IsNaN(x) {
				output += x * c.Price.Central / n
			}
			usual := c.Crop.Value("seed_rate").Central * c.Crop.Value("thousand_seed_weight").Central / 100 * c.Crop.Value("seed_price").Central
			rest += (c.VariableCost.Central - usual + c.Crop.Value("harvest_cost").Central) / n
		}
		if grown < n { // the yield of what is grown instead is not recorded
			if i == 0 {
				t.Fatalf("%d of %d runs grew the first crop: nothing is tried", grown, n)
			}
			continue
		}
		if got, want := s.Costs().All(), output-rest-margin; math.Abs(got-want) > 1e-6*want {
			t.Errorf("season %d: work and seed cost %v, what is left over is %v", i+1, got, want)
		}
	}
}

const barleyAt = `field: {name: Far Piece, area_ha: 10, soil: clay, climate: east-lowland}
weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 60}
economics: {prices: {winter-wheat: PRICE}}
seasons:
`

// compared sets two plans against each other at a price of wheat.
func compared(t *testing.T, price, second string, n int) *study.Compare {
	t.Helper()
	lib := simtest.Library(t)
	var calendars []*rotations.Calendar
	var models []*sim.Model
	for _, seasons := range []string{
		"  - {crop: winter-wheat, drill: {date: 25 Sep}}\n  - {crop: winter-wheat, drill: {date: 25 Sep}}\n",
		second,
	} {
		c := simtest.Calendar(t, lib, strings.Replace(barleyAt, "PRICE", price, 1)+seasons)
		m, err := sim.New(c)
		if err != nil {
			t.Fatal(err)
		}
		calendars, models = append(calendars, c), append(models, m)
	}
	outcomes, err := ensemble.Run(context.Background(), models, ensemble.Options{Replicates: n, Seed: 5, Work: true})
	if err != nil {
		t.Fatal(err)
	}
	q := &study.CompareRequest{Calendars: calendars, Replicates: n, Seed: 5}
	return q.Find([]study.Outcomes{outcomes})
}

// At the price that is said to make two plans even, both earn the same: also where one chooses
// its crops by what is seen, which no price changes.
func TestBreakEvenPrice(t *testing.T) {
	const n = 150
	for name, second := range map[string]string{"fixed": "  - {crop: spring-barley}\n  - {crop: winter-wheat, drill: {date: 15 Oct}}\n",
		"chosen": "  - {crop: spring-barley}\n  - choose:\n      - {if: {heads_per_m2: {above: 30}}, crop: spring-barley}\n" +
			"      - {crop: winter-wheat, drill: {date: 15 Oct}}\n"} {
		at := compared(t, "180", second, n).Plans[1].Extra.EvenAt
		if math.IsNaN(at) {
			t.Fatalf("%s: no price makes the plans even: nothing is tried", name)
		}
		even := compared(t, fmt.Sprint(at), second, n)
		if more := even.Plans[1].Against.MarginYear; math.Abs(more) > 2 { // a fallback's wheat is not counted: half of a per cent of the runs
			t.Errorf("%s: at %v the second plan earns %v more", name, at, more)
		}
		if again := even.Plans[1].Extra.EvenAt; math.Abs(again-at) > 1 {
			t.Errorf("%s: at the price of %v the plans are even at %v", name, at, again)
		}
	}
}
