package sim_test

import (
	"math"
	"testing"
	"time"

	"rundown/params/date"
	"rundown/sim"
	"rundown/sim/random"
)

// A plan that decides on all that can be seen: what stood, heads, plants, seedlings, the
// ground, what was drilled; for crops, sprays, covers and work in the soil.
const allSeen = ruledField + `
seasons:
  - {crop: winter-wheat, drill: {date: 5 Oct}, otherwise: spring-oats}
  - choose:
      - if: {any: [{heads_per_m2: {above: 40}}, {ground: wet}], drilled_by: 20 Oct}
        crop: spring-barley
        cover: {mix: mustard, sow: 6 Sep, destroy: 25 Jan, if: {ground: dry}}
        drill: {date: 20 Mar}
      - if: {plants_per_m2: {above: 0.6}}
        crop: spring-beans
        drill: {date: 12 Mar}
      - crop: winter-wheat
        cultivate: [{date: 12 Sep, with: shallow-disc, if: {seed_per_m2: {above: 300}}}]
        drill: {date: 6 Oct}
        herbicides:
          - {programme: autumn-residual-stack, days_after_drilling: 6, if: {ground: dry, seen_days_before: 1}}
          - {programme: spring-contact, date: 10 Mar, if: {plants_per_m2: {above: 4}}}
    decide: 1 Sep
repeat: 3
`

// Nothing looks ahead: of two worlds that agree up to the day before a decision and differ
// from that day on (weather, season effects and chance switch to others), every decision up
// to and on that day is the same. A model that looks a day later is found out.
func TestNothingLooksAhead(t *testing.T) {
	if n := lookedAhead(t, model(t, allSeen), 0); n > 0 {
		t.Errorf("%d decisions hang on what comes after them", n)
	}
	peeking := model(t, allSeen)
	peeking.Peek()
	if n := lookedAhead(t, peeking, 1); n < 5 {
		t.Errorf("a model that looks a day ahead was found out %d times only", n)
	}
}

// lookedAhead counts decisions that differ between a world and one that is another from the
// day on which the decision is taken, or from so many days before it.
func lookedAhead(t *testing.T, m *sim.Model, before date.Day) (wrong int) {
	t.Helper()
	w, err := m.NewWorker()
	if err != nil {
		t.Fatal(err)
	}
	sky, rec := m.NewSky(), m.NewRecord(0)
	run := func(r sim.Replicate) []sim.Decided {
		sky.FillFor(m, &r)
		list, err := w.RunDeciding(r, sky, rec)
		if err != nil {
			t.Fatal(err)
		}
		return list
	}
	taken := 0
	for k := range uint32(12) {
		r := sim.Replicate{Seed: 5, Streams: sim.StreamsOf(k), Theta: m.Calendar().Space.Central()}
		w.DrawTheta(r.Seed, k, r.Theta)
		world := run(r)
		for i, d := range world {
			r.Switch = sim.Switch{Day: d.Day - before, Streams: sim.StreamsOf(1000 + k)}
			other := run(r)
			taken++
			if len(other) <= i || other[i] != d {
				wrong++
			}
		}
	}
	if taken < 100 {
		t.Errorf("%d decisions only", taken)
	}
	return wrong
}

// Two branches whose conditions exclude each other, swapped, give every bit but the number of
// the branch. A model whose chances hang on that number is found out.
func TestOrderOfBranchesIsNoLuck(t *testing.T) {
	const high = "if: {heads_per_m2: {above: 30}}\n" + springBranch
	const low = "if: {heads_per_m2: {below: 12}}\n" + "crop: winter-barley\ndrill: {date: 28 Sep}"
	plan := func(a, b string) string {
		return ruledField + "seasons:\n" + inList(2, wheatBranch) + choice("", a, b, wheatBranch) + choice("", a, b, wheatBranch)
	}
	one, two := model(t, plan(high, low)), model(t, plan(low, high))
	took := map[float64]int{}
	for _, stub := range []bool{false, true} {
		differ := 0
		for k := range uint32(40) {
			a, b := oneRun(t, one, k, stub), oneRun(t, two, k, stub)
			for s := range a.Seasons {
				took[a.Seasons[s][sim.Branch]]++
				for i := range a.Seasons[s] {
					if sim.Metric(i) != sim.Branch && math.Float64bits(a.Seasons[s][i]) != math.Float64bits(b.Seasons[s][i]) {
						differ++
						break
					}
				}
			}
		}
		if stub == (differ == 0) {
			t.Errorf("chances by branch %v: %d seasons differ", stub, differ)
		}
	}
	for branch := range 3 {
		if took[float64(branch)] == 0 {
			t.Errorf("branch %d was never taken: %v", branch, took)
		}
	}
}

func oneRun(t *testing.T, m *sim.Model, k uint32, stub bool) *sim.Record {
	t.Helper()
	w, err := m.NewWorker()
	if err != nil {
		t.Fatal(err)
	}
	r := sim.Replicate{Seed: 5, Streams: sim.StreamsOf(k), Theta: m.Calendar().Space.Central()}
	w.DrawTheta(r.Seed, k, r.Theta)
	sky, rec := m.NewSky(), m.NewRecord(0)
	sky.FillFor(m, &r)
	if stub {
		err = w.RunKeyedByBranch(r, sky, rec)
	} else {
		err = w.Run(r, sky, nil, rec)
	}
	if err != nil {
		t.Fatal(err)
	}
	return rec
}

// A better look at the same field changes only what is seen: with more quadrats, up to the
// first decision that differs, every number of a run is the same; and where looking costs
// nothing and no threshold is near, all of them are.
func TestABetterLookChangesOnlyWhatIsSeen(t *testing.T) {
	plan := func(quadrats string, threshold string) string {
		return ruledField + "counting: {quadrats: " + quadrats + ", cost: 0}\n" + "seasons:\n" + inList(2, wheatBranch) +
			choice("", "if: {heads_per_m2: {above: "+threshold+"}}\n"+springBranch, wheatBranch) + inList(2, wheatBranch)
	}
	far := run(t, 24, nil, plan("1", "100000"))
	for _, n := range []string{"5", "80", "all"} {
		sameRuns(t, n+" quadrats, far threshold", run(t, 24, nil, plan(n, "100000"))[0], far[0])
	}
	few, truth := run(t, 200, nil, plan("2", "25"))[0], run(t, 200, nil, plan("all", "25"))[0]
	differ, alike := 0, 0
	for k := range few.Replicates {
		if few.Column(sim.Heads, 0)[k] != truth.Column(sim.Heads, 0)[k] {
			t.Fatalf("run %d: looking changed what was there", k)
		}
		if few.Column(sim.Branch, 1)[k] != truth.Column(sim.Branch, 1)[k] {
			differ++
		} else if few.Column(sim.Heads, 2)[k] != truth.Column(sim.Heads, 2)[k] {
			t.Errorf("run %d decided alike and went on otherwise", k)
		} else {
			alike++
		}
	}
	if differ < 10 || alike < 100 {
		t.Errorf("%d runs decided otherwise for two quadrats than for the truth, %d alike", differ, alike)
	}
}

// What is seen is negative binomial about what is there, with the size of so many quadrats:
// mean and variance over many runs of a field with one density, against the formulas
// (Johnson, Kotz & Kemp 1992, Univariate Discrete Distributions, from memory), within 4
// standard errors; and it comes from one uniform whatever the number of quadrats.
func TestWhatIsSeenIsNegativeBinomial(t *testing.T) {
	const density, area, k = 12.0, 0.25, 0.5
	for _, n := range []float64{1, 20, 80} {
		const draws = 40_000
		sum, squares := 0.0, 0.0
		last := int64(-1)
		for i := range draws {
			x := float64(random.NegativeBinomial((float64(i)+0.5)/draws, density*n*area, n*k))
			if int64(x) < last {
				t.Fatalf("%v quadrats: not monotone in the uniform", n)
			}
			last = int64(x)
			sum += x
			squares += x * x
		}
		mean, want := sum/draws, density*n*area
		variance := squares/draws - mean*mean
		if v := want + want*want/(n*k); math.Abs(mean/want-1) > 0.01 || math.Abs(variance/v-1) > 0.03 {
			t.Errorf("%v quadrats: mean %v, variance %v; expected %v, %v", n, mean, variance, want, v)
		}
	}
}

// A visit is paid for once a day whatever is counted, and whatever it leads to; quadrats are
// for the field.
func TestVisitsArePaidFor(t *testing.T) {
	plan := func(counting string) string {
		return ruledField + "counting: " + counting + "\nseasons:\n" + inList(2, `crop: winter-wheat
drill: {date: 5 Oct}
herbicides:
  - {programme: spring-contact, date: 10 Mar, if: {plants_per_m2: {above: 1000000}, seen: 1 Mar}}
  - {programme: spring-contact, date: 20 Mar, if: {plants_per_m2: {above: 900000}, seen: 1 Mar}}
otherwise: spring-oats`)
	}
	free := run(t, 20, nil, plan("{quadrats: 20, cost: 0}"))[0]
	paid := run(t, 20, nil, plan("{quadrats: 20, cost: 8, cost_per_quadrat: 3}"))[0]
	all := run(t, 20, nil, plan("{quadrats: all, cost: 8}"))[0]
	for k := range free.Replicates {
		want := 8 + 20*3/6.0 // the field has 6 ha
		if free.Column(sim.Course, 0)[k] != 0 {
			want = 0 // the wheat was not there to be looked at
		}
		if got := free.Column(sim.Margin, 0)[k] - paid.Column(sim.Margin, 0)[k]; math.Abs(got-want) > 1e-9 {
			t.Errorf("run %d paid %v for its visit, expected %v", k, got, want)
		}
		if free.Column(sim.Margin, 0)[k] != all.Column(sim.Margin, 0)[k] {
			t.Errorf("run %d: the truth costs something", k)
		}
	}
}

// A copied run goes on alike where it has decided and looked, every eleventh day.
func TestACopiedRunDecidesAlike(t *testing.T) {
	m := model(t, allSeen)
	r := sim.Replicate{Seed: 1, Streams: sim.StreamsOf(3), Theta: m.Calendar().Space.Central()}
	sky := m.NewSky()
	sky.FillFor(m, &r)
	want := oneRun(t, m, 3, false)
	worker := func() *sim.Worker {
		w, err := m.NewWorker()
		if err != nil {
			t.Fatal(err)
		}
		return w
	}
	r.Seed = 5
	worker().DrawTheta(r.Seed, 3, r.Theta)
	sky.FillFor(m, &r)
	donor, heir := worker(), worker()
	for day := date.Of(2026, time.August, 1); day < date.Of(2032, time.August, 1); day += 11 {
		rec, other := m.NewRecord(0), m.NewRecord(0)
		if err := donor.RunTo(day, r, sky, nil, rec); err != nil {
			t.Fatal(err)
		}
		heir.CopyFrom(donor, other)
		if err := heir.GoOn(); err != nil {
			t.Fatal(err)
		}
		for s := range want.Seasons {
			for i := range want.Seasons[s] {
				if math.Float64bits(want.Seasons[s][i]) != math.Float64bits(other.Seasons[s][i]) {
					t.Fatalf("copied on %v: %s of season %d is %v, expected %v", day, sim.Metrics[i].Name, s+1, other.Seasons[s][i], want.Seasons[s][i])
				}
			}
		}
	}
}
