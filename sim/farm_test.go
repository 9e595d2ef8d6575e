package sim_test

import (
	"math"
	"strings"
	"testing"

	"rundown/params/sheet"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/ensemble"
	"rundown/sim/random"
	"rundown/sim/simtest"
)

// among is a model of the plan of a field among others.
func among(t *testing.T, name, field string) *sim.Model {
	t.Helper()
	const plan = `field: {area_ha: 4, %FIELD%}
weed: {species: black-grass, start: 2026-08-01, heads_per_m2: {low: 5, high: 50}, resistance: {2: {survived: {low: 0.1, high: 0.4}}}, evolve: yes}
seasons: [{crop: winter-wheat}, {crop: spring-barley}]
`
	var m sheet.Mistakes
	p := rotations.Read("plan.yaml", []byte(strings.Replace(plan, "%FIELD%", field, 1)), &m)
	c := p.Resolve(simtest.Library(t), &m)
	if m.Len() > 0 {
		t.Fatal(&m)
	}
	c.Among = name
	x, err := sim.New(c)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// Of the values that a run draws those of weed, crops, prices and work are one for all
// fields of a farm, attempt by attempt; those that are the field's own are not.
func TestValuesOfAFarm(t *testing.T) {
	own := map[string]bool{"weed.heads_per_m2": true, "weed.resistance.2.survived": true, "weeds/black-grass/site_dormancy": true,
		"weeds/black-grass/site_residual": true,
		"soils/clay/workable_site":        true}
	near, far := among(t, "Near Piece", "soil: clay, climate: east-lowland"), among(t, "Far Piece", "soil: clay, climate: east-lowland")
	a, err := near.NewWorker()
	if err != nil {
		t.Fatal(err)
	}
	b, err := far.NewWorker()
	if err != nil {
		t.Fatal(err)
	}
	values := near.Calendar().Space.Values
	x, y := make([]float64, len(values)), make([]float64, len(values))
	found := 0
	for luck := range uint32(20) {
		a.DrawTheta(3, luck, x)
		b.DrawTheta(3, luck, y)
		for i, v := range values {
			if (x[i] != y[i]) != own[v.Path] {
				t.Errorf("run %d: %s is %v in one field and %v in the other; the field's own: %v", luck, v.Path, x[i], y[i], own[v.Path])
			}
			if own[v.Path] {
				found++
			}
		}
	}
	if found != 20*len(own) {
		t.Errorf("%d values of the fields' own drawn, expected %d", found, 20*len(own))
	}
}

// Fields of one climate meet the same weather, whatever their soil; those of another
// climate share nothing of it: the rain of their months does not correlate (400 months; a
// correlation beyond 0.2 would come by chance once in 15,000).
func TestWeatherOfAFarm(t *testing.T) {
	sky := func(name, field string) []float64 {
		m := among(t, name, field)
		var months []float64
		s := m.NewSky()
		for luck := range uint32(12) {
			s.FillFor(m, &sim.Replicate{Seed: 5, Streams: sim.StreamsOf(luck)})
			for from := 0; from+30 <= len(s.Days.RainMM); from += 30 {
				sum := 0.0
				for _, x := range s.Days.RainMM[from : from+30] {
					sum += x
				}
				months = append(months, sum)
			}
		}
		return months
	}
	here := sky("A", "soil: clay, climate: east-lowland")
	same := sky("B", "soil: silty-clay-loam, climate: east-lowland")
	other := sky("A", "soil: clay, climate: "+otherClimate(t))
	for i := range here {
		if here[i] != same[i] {
			t.Fatalf("month %d: %v and %v mm of rain in one climate", i, here[i], same[i])
		}
	}
	if r := correlation(here, other); math.Abs(r) > 0.2 || len(here) < 400 {
		t.Errorf("rain of two climates correlates %.2f over %d months", r, len(here))
	}
}

func otherClimate(t *testing.T) string {
	for _, name := range simtest.Library(t).Names("climates") {
		if name != "east-lowland" {
			return name
		}
	}
	t.Fatal("the library has one climate")
	return ""
}

func correlation(x, y []float64) float64 {
	var mx, my, xx, yy, xy float64
	n := float64(len(x))
	for i := range x {
		mx, my = mx+x[i]/n, my+y[i]/n
	}
	for i := range x {
		a, b := x[i]-mx, y[i]-my
		xx, yy, xy = xx+a*a, yy+b*b, xy+a*b
	}
	return xy / math.Sqrt(xx*yy)
}

// With weather, seasons and values held at one draw fields differ by chance alone, each
// by its own: money in two of them does not correlate (400 runs; beyond 0.2 once in
// 15,000). With all of it drawn it does.
func TestFieldsShareTheirYears(t *testing.T) {
	for _, frozen := range []bool{true, false} {
		o := ensemble.Options{Replicates: 400, Seed: 2, Keep: []sim.Metric{sim.Margin}}
		if frozen {
			o.Freeze = [random.Kinds]bool{random.Weather: true, random.Season: true, random.Parameters: true}
		}
		var money [2][]float64
		for i, name := range []string{"Near Piece", "Far Piece"} {
			money[i] = runAlone(t, o, among(t, name, "soil: clay, climate: east-lowland")).Column(sim.Margin, 0)
		}
		r := correlation(money[0], money[1])
		t.Logf("frozen %v: correlation %.2f", frozen, r)
		if frozen && math.Abs(r) > 0.2 || !frozen && r < 0.3 {
			t.Errorf("all luck but chance frozen: %v; money of two fields correlates %.2f", frozen, r)
		}
	}
}

func runAlone(t *testing.T, o ensemble.Options, m *sim.Model) *ensemble.Outcome {
	t.Helper()
	out, err := ensemble.Run(t.Context(), []*sim.Model{m}, o)
	if err != nil {
		t.Fatal(err)
	}
	return out[0]
}
