package study

import (
	"context"
	"math"
	"strings"
	"testing"

	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/ensemble"
	"rundown/sim/simtest"
)

const valued = `
field: {area_ha: 5, soil: clay, climate: east-lowland}
weed: {species: black-grass, start: 2026-08-20, heads_per_m2: HEADS}
seasons: [{crop: winter-wheat}, {crop: spring-barley}]
MORE
`

func valuedPlan(t *testing.T, heads, more string) *rotations.Calendar {
	return simtest.Calendar(t, simtest.Library(t), strings.NewReplacer("HEADS", heads, "MORE", more).Replace(valued))
}

func outcomes(t *testing.T, replicates int, list ...*rotations.Calendar) []*ensemble.Outcome {
	t.Helper()
	var models []*sim.Model
	for _, c := range list {
		m, err := sim.New(c)
		if err != nil {
			t.Fatal(err)
		}
		models = append(models, m)
	}
	out, err := ensemble.Run(context.Background(), models, ensemble.Options{Replicates: replicates, Seed: 5, Work: true})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// What is grown afterwards moves nothing in the seasons of the plan: every metric of them, and
// what became of their work, to the bit.
func TestAfterwardsMoveNothing(t *testing.T) {
	c := valuedPlan(t, "{low: 20, high: 60}", "afterwards: [{crop: grass-ley, years: 2}, {crop: winter-oilseed-rape, harvest: {straw: removed}}]")
	more, err := c.Continued(rotations.Behind{})
	if err != nil {
		t.Fatal(err)
	}
	if more.After != 3 || more.Seasons[4].Courses[0].Crop.Name != "winter-oilseed-rape" {
		t.Fatalf("%d seasons afterwards, the last of %s", more.After, more.Seasons[len(more.Seasons)-1].Courses[0].Crop.Name)
	}
	got := outcomes(t, 40, c, more)
	whole, first := got[0], got[1].FirstSeasons(len(c.Seasons))
	if first.Seasons() != 2 {
		t.Fatalf("%d seasons", first.Seasons())
	}
	for m := range sim.MetricCount {
		for i := range c.Seasons {
			for k, x := range whole.Column(m, i) {
				if y := first.Column(m, i)[k]; math.Float64bits(x) != math.Float64bits(y) {
					t.Fatalf("%s of season %d, run %d: %v alone, %v with more behind it", sim.Metrics[m].Name, i+1, k, x, y)
				}
			}
		}
	}
	for i := range whole.Model.Work() {
		for k := range 40 {
			if x, y := whole.Done(i, k), first.Done(i, k); x.Day != y.Day || x.Why != y.Why {
				t.Fatalf("work %d of run %d: %+v alone, %+v with more behind it", i, k, x, y)
			}
		}
	}
}

// The value a year, worked out again as an annuity: its payments in the plan's years, and the
// plan's margins less what is lost afterwards, come to one sum at the end of all years. At a
// discount of 0 it is the plain mean.
func TestValueIsAnAnnuity(t *testing.T) {
	for _, discount := range []string{"0", "0.04", "0.2"} {
		c, err := valuedPlan(t, "60", "discount: "+discount).Continued(rotations.Behind{})
		if err != nil {
			t.Fatal(err)
		}
		if c.After != 4 {
			t.Fatalf("%d seasons afterwards", c.After)
		}
		o := outcomes(t, 20, c)[0]
		v := ValueOf(c, o)
		grows := 1 + c.Discount
		for k := range v.Year {
			earned, paid, left := 0.0, 0.0, 0.0
			for i := range c.Seasons { // money grows with interest until the last harvest
				earned, paid, left = earned*grows, paid*grows, left*grows
				if i < 2 {
					earned += o.Column(sim.Margin, i)[k]
					paid += v.Year[k]
				} else {
					left += o.Column(sim.TakenByWeeds, i)[k]
				}
			}
			if math.Abs(earned-left-paid) > 1e-9*(math.Abs(earned)+math.Abs(left)) {
				t.Errorf("discount %s, run %d: %v earned less %v left behind, %v paid", discount, k, earned, left, paid)
			}
			if now := left / math.Pow(grows, 6); math.Abs(v.Left[k]-now) > 1e-9*(1+now) || !(now > 0) {
				t.Errorf("discount %s, run %d: %v left behind, expected %v", discount, k, v.Left[k], now)
			}
			if mean := (o.Column(sim.Margin, 0)[k] + o.Column(sim.Margin, 1)[k]) / 2; discount == "0" && math.Abs(v.Margin[k]-mean) > 1e-9*math.Abs(mean) {
				t.Errorf("run %d: a margin of %v a year, the plain mean is %v", k, v.Margin[k], mean)
			}
		}
	}
}

// A field without weeds has nothing to leave behind.
func TestCleanGroundIsChargedNothing(t *testing.T) {
	c, err := valuedPlan(t, "0", "").Continued(rotations.Behind{Seasons: 2})
	if err != nil {
		t.Fatal(err)
	}
	v := ValueOf(c, outcomes(t, 10, c)[0])
	for k := range v.Left {
		if v.Left[k] != 0 || v.Year[k] != v.Margin[k] {
			t.Errorf("run %d is charged %v", k, v.Left[k])
		}
	}
}

// Other lengths and the plan's own course are cut from, or repeat, what is written.
func TestBehind(t *testing.T) {
	c := valuedPlan(t, "20", "")
	for _, x := range []struct {
		b     rotations.Behind
		crops string
	}{
		{rotations.Behind{}, "winter-wheat winter-wheat winter-wheat winter-wheat"},
		{rotations.Behind{Seasons: 2}, "winter-wheat winter-wheat"},
		{rotations.Behind{Own: true}, "winter-wheat spring-barley"},
		{rotations.Behind{Own: true, Seasons: 3}, "winter-wheat spring-barley winter-wheat"},
	} {
		more, err := c.Continued(x.b)
		if err != nil {
			t.Fatal(err)
		}
		var crops []string
		for _, s := range more.Seasons[2:] {
			crops = append(crops, s.Courses[0].Crop.Name)
		}
		if got := strings.Join(crops, " "); got != x.crops || more.After != len(crops) {
			t.Errorf("%+v: %s, %d of them counted; want %s", x.b, got, more.After, x.crops)
		}
	}
	dated := valuedPlan(t, "20", "afterwards: [{crop: winter-wheat, drill: {date: 2028-10-01}}]")
	if _, err := dated.Continued(rotations.Behind{}); err != nil {
		t.Error(err)
	}
	if _, err := dated.Continued(rotations.Behind{Seasons: 2}); err == nil || !strings.Contains(err.Error(), "2028-10-01 has a year") {
		t.Errorf("a date with a year is grown again: %v", err)
	}
}
