package decide_test

import (
	"context"
	"math"
	"slices"
	"testing"

	"rundown/params/date"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/bands"
	"rundown/sim/decide"
	"rundown/sim/ensemble"
	"rundown/sim/simtest"
)

// calendar resolves a plan; with trial set work waits for nothing, as in trials.
func calendar(t testing.TB, text string, trial bool) *rotations.Calendar {
	t.Helper()
	lib := simtest.Library(t)
	c := simtest.Calendar(t, lib, text)
	c.WorkOnItsDay = trial
	return c
}

func run(t testing.TB, n int, seed uint64, calendars ...*rotations.Calendar) []*ensemble.Outcome {
	t.Helper()
	var models []*sim.Model
	for _, c := range calendars {
		m, err := sim.New(c)
		if err != nil {
			t.Fatal(err)
		}
		models = append(models, m)
	}
	o, err := ensemble.Run(context.Background(), models, ensemble.Options{Replicates: n, Seed: seed})
	if err != nil {
		t.Fatal(err)
	}
	return o
}

func moved(t testing.TB, c *rotations.Calendar, day string) *rotations.Calendar {
	t.Helper()
	d, err := date.ParseDay(day)
	if err != nil {
		t.Fatal(err)
	}
	out, err := c.WithDrilling(0, d)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func mean(x []float64) float64 {
	sum, n := 0.0, 0.0
	for _, v := range x {
		if !math.IsNaN(v) {
			sum, n = sum+v, n+1
		}
	}
	return sum / n
}

const heavyWheat = `field: {name: Trial, area_ha: 1, soil: clay, climate: east-lowland, history: shallow-disc}
weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 40, resistance: {2: 0.6}}
seasons:
  - crop: winter-wheat
    cultivate: [{date: 20 Aug, with: shallow-disc}]
    spray_off: [{days_before_drilling: 1}]
    drill: {date: 15 Sep, latest: 31 Oct, with: tine-drill}
    otherwise: spring-barley
repeat: 4
`

// Two plans that differ in one cultivation: the ratio says truly how much worse
// independent runs are. The variance of the difference between truly independent
// runs over that of the paired ones must agree within 4 standard errors of the log
// ratio of two variances, √(2·2/n) at least (false alarm below 1 in 1,000).
func TestPairedAgainstIndependent(t *testing.T) {
	const one = `field: {name: Pair, area_ha: 1, soil: clay, climate: east-lowland}
weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 40}
seasons:
  - crop: winter-wheat
    cultivate: [{date: 25 Aug, with: shallow-disc}]
    drill: {date: 28 Sep, latest: 30 Nov, with: tine-drill}
`
	const two = `field: {name: Pair, area_ha: 1, soil: clay, climate: east-lowland}
weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 40}
seasons:
  - crop: winter-wheat
    cultivate: [{date: 25 Aug, with: shallow-disc}, {date: 10 Sep, with: shallow-disc}]
    drill: {date: 28 Sep, latest: 30 Nov, with: tine-drill}
`
	const n = 600
	a, b := calendar(t, one, false), calendar(t, two, false)
	paired := run(t, n, 4, a, b)
	logs := func(o *ensemble.Outcome) []float64 { return decide.Logs(o.Column(sim.Heads, 0)) }
	x, y := logs(paired[0]), logs(paired[1])
	ratio := decide.VarianceRatio(x, y)
	other := logs(run(t, n, 5, b)[0])
	real := variance(decide.Differences(x, other)) / variance(decide.Differences(x, y))
	t.Logf("variance ratio %.1f, with truly independent runs %.1f", ratio, real)
	if ratio < 5 {
		t.Errorf("pairing is worth %.1f times the runs, expected at least 5 for one cultivation", ratio)
	}
	if math.Abs(math.Log(real/ratio)) > 4*math.Sqrt(4.0/n) {
		t.Errorf("the ratio is %.2f, but truly independent runs are %.2f times worse", ratio, real)
	}
}

func variance(x []float64) float64 {
	m, v := mean(x), 0.0
	for _, a := range x {
		v += (a - m) * (a - m)
	}
	return v / float64(len(x)-1)
}

// More control than was needed to stand still is the same as a seedbank that
// falls over the season, in every replicate.
func TestControlNeeded(t *testing.T) {
	o := run(t, 200, 7, calendar(t, heavyWheat, false))[0]
	for i := range 4 {
		gone, needed := decide.Controls(o, i)
		start, end := o.Column(sim.LedgerStart, i), o.Column(sim.LedgerEnd, i)
		for k := range gone {
			if math.IsNaN(needed[k]) || needed[k] == 0 {
				continue
			}
			if (gone[k] > needed[k]) != (end[k] < start[k]) && math.Abs(gone[k]-needed[k]) > 1e-12 {
				t.Fatalf("season %d, replicate %d: %.4f gone of %.4f needed, but the bank went from %v to %v", i, k, gone[k], needed[k], start[k], end[k])
			}
			if gone[k] < 0 || gone[k] > 1 || needed[k] > 1 {
				t.Fatalf("season %d, replicate %d: gone %v, needed %v", i, k, gone[k], needed[k])
			}
		}
	}
}

// halfWidth is 1.96 standard errors of the mean of x.
func halfWidth(x []float64) float64 { return 1.96 * math.Sqrt(variance(x)/float64(len(x))) }

// Fewer weed plants for each week of delay: 9–15 % between 25 September and 31
// October, less before (Lutman, Moss, Cook & Welham 2013, Weed Research
// 53:299–313). Trial plots are taken as sown on their date and not sprayed after it
// (assumed). Here through the drilling sweep itself: the date of one plan is moved,
// the disc 15 days and the spray one day before it along with it. A week's fall is
// that of the mean ratio; both must hold by 1.96 standard errors of the mean log
// ratio of 400 pairs of plots (less before: two-sided 5 %, the seed is fixed).
func TestSweepShowsThePublishedFall(t *testing.T) {
	c := calendar(t, `field: {name: Trial, area_ha: 1, soil: clay, climate: east-lowland, history: shallow-disc}
weed: {species: black-grass, start: 2026-08-15, heads_per_m2: 15}
seasons:
  - crop: winter-wheat
    cultivate: [{date: 10 Sep, with: shallow-disc}]
    spray_off: [{days_before_drilling: 1}]
    drill: {date: 25 Sep, latest: 31 Dec, with: tine-drill}
    herbicides: []
`, true)
	days := []string{"2026-09-11", "2026-09-18", "2026-09-25", "2026-10-31"}
	var moves []*rotations.Calendar
	for _, d := range days {
		moves = append(moves, moved(t, c, d))
	}
	o := run(t, 400, 11, moves...)
	logs := func(a, b int) []float64 { // paired, as a trial would pair its plots
		x, y := o[a].Column(sim.Plants, 0), o[b].Column(sim.Plants, 0)
		r := make([]float64, len(x))
		for k := range x {
			r[k] = math.Log(y[k] / x[k])
		}
		return r
	}
	ratio := func(r []float64) float64 {
		e := make([]float64, len(r))
		for k := range r {
			e[k] = math.Exp(r[k])
		}
		return mean(e)
	}
	early, late := logs(0, 2), logs(2, 3)
	week, before := 1-math.Pow(ratio(late), 7.0/36), 1-math.Pow(ratio(early), 0.5)
	faster := make([]float64, len(late)) // log fall a week after less that before
	for k := range late {
		faster[k] = early[k]/2 - late[k]*7/36
	}
	t.Logf("fall a week: %.3f from 11 to 25 September, %.3f from 25 September to 31 October; the later faster by %.3f ± %.3f (log)",
		before, week, mean(faster), halfWidth(faster))
	if week < 0.09 || week > 0.15 {
		t.Errorf("%.3f fewer plants a week between 25 September and 31 October, published 0.09–0.15", week)
	}
	if mean(faster) < halfWidth(faster) {
		t.Errorf("%.3f fewer plants a week before 25 September, not less than the %.3f after", before, week)
	}
}

// Waiting for weather is paid for: the same plan on ground that carries a drill
// on any day, under the same luck and with hardly a weed. Where the crop went in on
// its day the yields agree; where it had to wait it never yields more, and less
// after more than a week; where it waited the margin is lower on average, and so it
// is where the crop was missed and the fallback grown (1.96 standard errors each).
func TestWaitingIsPaidFor(t *testing.T) {
	const plan = `field: {name: Trial, area_ha: 1, soil: clay, climate: east-lowland}
weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 0.001}
seasons:
  - crop: winter-wheat
    cultivate: []
    spray_off: []
    drill: {date: 25 Oct, latest: 15 Dec, with: tine-drill}
    herbicides: []
    otherwise: spring-barley
`
	real, ideal := run(t, 400, 5, calendar(t, plan, false))[0], run(t, 400, 5, calendar(t, plan, true))[0]
	waited, course := real.Column(sim.WaitedDays, 0), real.Column(sim.Course, 0)
	yields, without := real.Column(sim.Yield, 0), ideal.Column(sim.Yield, 0)
	paid := decide.Differences(ideal.Column(sim.Margin, 0), real.Column(sim.Margin, 0))
	var lost, late, missed []float64
	onTime := 0
	for k := range waited {
		less := 1 - yields[k]/without[k]
		switch {
		case course[k] > 0:
			missed = append(missed, paid[k])
			continue
		case waited[k] == 0:
			onTime++
			less = math.Abs(less) - 0.002
		default:
			lost, late = append(lost, less), append(late, paid[k])
			less = -less
		}
		if less > 1e-9 || (waited[k] > 7 && less > -0.001) {
			t.Errorf("replicate %d waited %v days and yields %.3f t/ha, on ground that carries a drill on any day %.3f", k, waited[k], yields[k], without[k])
		}
	}
	t.Logf("on time in %d of 400, late in %d, which costs %.3f of the yield and %.0f ± %.0f a ha; missed in %d, which costs %.0f ± %.0f a ha",
		onTime, len(late), mean(lost), mean(late), halfWidth(late), len(missed), mean(missed), halfWidth(missed))
	if onTime < 20 || len(late) < 20 || len(missed) < 20 {
		t.Fatal("too few of one kind to tell")
	}
	if mean(late) < halfWidth(late) || mean(missed) < halfWidth(missed) {
		t.Error("waiting is not paid for")
	}
}

// Spring cropping lowers density, with large variance (Freckleton, Hicks et al.
// 2018, Pest Manag. Sci. 74:2287–2295; qualitative). Large is taken as: nine fields
// in ten lie in a range of more than tenfold, and in some the fall is missed.
func TestSpringCroppingLowersDensityWithLargeVariance(t *testing.T) {
	const spring = `field: {name: Trial, area_ha: 1, soil: clay, climate: east-lowland, history: shallow-disc}
weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 40, resistance: {2: 0.6}}
seasons:
  - crop: spring-barley
    cultivate: [{date: 25 Aug, with: shallow-disc}]
    spray_off: [10 Oct, {days_before_drilling: 1}]
    drill: {date: 18 Mar, latest: 25 Apr, with: tine-drill, seeds_per_m2: 400}
`
	o := run(t, 600, 13, calendar(t, spring, false), calendar(t, heavyWheat, false))
	x, y := o[0].Column(sim.Heads, 0), o[1].Column(sim.Heads, 0)
	r := make([]float64, len(x))
	lower := 0
	for k := range x {
		r[k] = math.Log(x[k] / y[k])
		if r[k] < 0 {
			lower++
		}
	}
	slices.Sort(r)
	low, high := bands.Quantile(r, 0.05), bands.Quantile(r, 0.95)
	t.Logf("heads in spring barley over those in wheat: median %.2f, nine in ten %.2f–%.2f, lower in %d of %d",
		math.Exp(decide.Median(r)), math.Exp(low), math.Exp(high), lower, len(r))
	if decide.Median(r) > math.Log(0.5) || float64(lower) < 0.9*float64(len(r)) {
		t.Errorf("spring barley has %.2f of the heads in wheat (median), fewer in %d of %d", math.Exp(decide.Median(r)), lower, len(r))
	}
	if high-low < math.Log(10) {
		t.Errorf("nine in ten ratios lie within a factor of %.1f, expected more than 10", math.Exp(high-low))
	}
}

// Direction: over the plan, late drilling earns more on an infested field,
// early on clean ground, both by 1.96 standard errors of the mean difference.
func TestEarlyOrLate(t *testing.T) {
	c := calendar(t, heavyWheat, false)
	gain := func(heads float64) (onward, now []float64) {
		o := run(t, 300, 2, moved(t, c.WithInfestation(heads), "2026-09-15"), moved(t, c.WithInfestation(heads), "2026-10-15"))
		return decide.Differences(decide.MeanMargin(o[1], 0), decide.MeanMargin(o[0], 0)), decide.Differences(o[1].Column(sim.Margin, 0), o[0].Column(sim.Margin, 0))
	}
	infested, infestedNow := gain(60)
	clean, cleanNow := gain(0)
	t.Logf("15 October less 15 September, a year: infested %.1f ± %.1f (%.0f in the season), clean %.1f ± %.1f (%.0f)",
		mean(infested), halfWidth(infested), mean(infestedNow), mean(clean), halfWidth(clean), mean(cleanNow))
	if mean(infested) < halfWidth(infested) {
		t.Errorf("late drilling earns %.1f ± %.1f a year on an infested field", mean(infested), halfWidth(infested))
	}
	if mean(clean) > -halfWidth(clean) {
		t.Errorf("late drilling earns %.1f ± %.1f a year on clean ground", mean(clean), halfWidth(clean))
	}
}

// Winter barley loses 0.43 % of its yield a day from early September to
// mid-November (Green, Furmston & Ivins 1985, J. Agric. Sci.): what the sweep calls
// lost to the date is the label's number again (consistency, not a test).
func TestWinterBarleyLosesItsLabel(t *testing.T) {
	c := calendar(t, `field: {name: Trial, area_ha: 1, soil: clay, climate: east-lowland}
weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 0.01}
seasons:
  - crop: winter-barley
    drill: {date: 20 Sep, latest: 30 Nov, with: tine-drill}
`, true)
	o := run(t, 200, 3, moved(t, c, "2026-09-20"), moved(t, c, "2026-10-15"), moved(t, c, "2026-11-10"))
	lost := decide.DateLosses(o, 0)
	if m := decide.Median(lost[0]); m != 0 {
		t.Errorf("drilled first, barley loses %v to the date", m)
	}
	for i, days := range []float64{0, 25, 51} {
		if days == 0 {
			continue
		}
		if perDay := 100 * decide.Median(lost[i]) / days; math.Abs(perDay-0.43) > 0.05 {
			t.Errorf("%v days later barley loses %.3f %% a day, the label says 0.43", days, perDay)
		}
	}
	for k, y := range decide.WeedFree(o[0], 0) {
		if loss := o[0].Column(sim.YieldLoss, 0)[k]; loss < 0.01 && math.Abs(o[0].Column(sim.Yield, 0)[k]/y-1+loss) > 1e-12 {
			t.Errorf("replicate %d: weed-free yield %v", k, y)
		}
	}
}
