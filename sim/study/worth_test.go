package study

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"rundown/sim/decide"
	"rundown/sim/simtest"
)

// Two acts, of which one earns slope × density − cost and the other nothing; densities are
// gamma, a count of some area is Poisson about them. The rule acts above a threshold.
const (
	gammaShape, gammaRate = 0.5, 0.1 // mean 5 per m², very uneven
	gainSlope, gainCost   = 12.0, 60.0
	mostCounted           = 400
)

// acts are made-up runs: the gain of acting, and what was counted on an area.
type acts struct{ gain, counted []float64 }

func makeActs(r *rand.Rand, n int, area float64) acts {
	var a acts
	for range n {
		density := gamma(r, gammaShape) / gammaRate
		a.gain = append(a.gain, gainSlope*density-gainCost)
		a.counted = append(a.counted, float64(poisson(r, density*area)))
	}
	return a
}

// gamma draws by sums of squares of normals for shapes of halves: a chi-square halved.
func gamma(r *rand.Rand, shape float64) float64 {
	sum := 0.0
	for range int(2*shape + 0.5) {
		z := r.NormFloat64()
		sum += z * z
	}
	return sum / 2
}

func poisson(r *rand.Rand, mean float64) int {
	n := 0
	for t := r.ExpFloat64(); t < mean; t += r.ExpFloat64() {
		n++
	}
	return n
}

// options are the values of acting above each threshold, always and never among them.
func (a acts) options() (all, hold [][]float64) {
	for x := -1.0; x < 60; x++ {
		var v []float64
		for k := range a.gain {
			if a.counted[k] > x {
				v = append(v, a.gain[k])
			} else {
				v = append(v, 0)
			}
		}
		all = append(all, v)
	}
	all = append(all, make([]float64, len(a.gain)))
	return all, [][]float64{all[0], all[len(all)-1]}
}

// sampled is the value of looking, chosen on some runs and valued on others.
func sampled(choose, value acts) Estimate {
	all, hold := choose.options()
	on, none := value.options()
	return estimate(decide.Differences(on[pick(all)], none[pick(hold)]))
}

// exactValue is the expected value of sample information of a count on an area: counts are
// negative binomial, and the density behind a count n has mean (shape + n)/(rate + area)
// (Raiffa & Schlaifer 1961, conjugate analysis; from memory), so that it is a sum.
func exactValue(area float64) float64 {
	sum, p := 0.0, math.Pow(gammaRate/(gammaRate+area), gammaShape)
	for n := range mostCounted {
		gain := gainSlope*(gammaShape+float64(n))/(gammaRate+area) - gainCost
		sum += p * math.Max(gain, 0)
		p *= (gammaShape + float64(n)) / float64(n+1) * area / (gammaRate + area)
	}
	return sum - math.Max(gainSlope*gammaShape/gammaRate-gainCost, 0)
}

// The estimator's 95 % interval holds the sum in at least 17 of 20 seeds (were it exact, fewer
// would come in 16 of 1,000 such tests).
func TestSampleInformationIsTheSum(t *testing.T) {
	for _, area := range []float64{0.5, 2} {
		want, held := exactValue(area), 0
		for seed := range uint64(20) {
			r := rand.New(rand.NewPCG(seed, 77))
			got := sampled(makeActs(r, 1500, area), makeActs(r, 1500, area))
			if math.Abs(got.Mean-want) <= got.Error {
				held++
			}
		}
		t.Logf("%g m²: %.2f, held in %d of 20", area, want, held)
		if want < 5 || held < 17 {
			t.Errorf("%g m²: the interval holds %.2f in %d of 20 seeds", area, want, held)
		}
	}
}

// Counts that were dealt from another run are worth nothing: over 20 seeds their mean value is
// not above 0 by more than two standard errors where thresholds are chosen on runs of their own,
// and it is where they are chosen on the runs that value them: the winner's curse.
func TestUselessCountsAreWorthNothing(t *testing.T) {
	deal := func(a acts, r *rand.Rand) acts {
		r.Shuffle(len(a.counted), func(i, j int) { a.counted[i], a.counted[j] = a.counted[j], a.counted[i] })
		return a
	}
	var apart, same []float64
	for seed := range uint64(20) {
		r := rand.New(rand.NewPCG(seed, 78))
		a, b := deal(makeActs(r, 8000, 2), r), deal(makeActs(r, 8000, 2), r)
		e := sampled(a, b)
		if e.Error > 5 {
			t.Errorf("seed %d: half-width %.1f, at most 5 wanted", seed, e.Error)
		}
		apart, same = append(apart, e.Mean), append(same, sampled(b, b).Mean)
	}
	error95 := func(x []float64) float64 { return decide.MeanError(x) / 1.96 }
	t.Logf("chosen apart %.2f, on the same runs %.2f", mean(apart), mean(same))
	if m := mean(apart); m > 2*error95(apart) {
		t.Errorf("useless counts are worth %.2f on the mean, more than two standard errors of %.2f", m, error95(apart))
	}
	if m := mean(same); m < 2*error95(same) {
		t.Errorf("on the runs that they were chosen on useless counts are worth %.2f: the curse is not seen", m)
	}
}

const worthPlan = `field: {name: invented, area_ha: 6, soil: clay, climate: east-lowland}
weed: {species: black-grass, start: 2026-08-01, heads_per_m2: {low: 1, high: 60}}
counting: {quadrats: 20, cost: 3, cost_per_quadrat: 0.5}
seasons:
  - crop: winter-wheat
    drill: {date: 12 Oct}
    herbicides:
      - {programme: autumn-residual-stack, days_after_drilling: 2}
      - {programme: spring-contact, date: 10 Mar, if: {plants_per_m2: {above: 3}, seen: 1 Mar}}
repeat: 3
`

// The value before the cost of counting never falls, beyond its error, as quadrats grow; less
// is told of fewer; and the whole costs at most 60 forecasts.
func TestWorthOfQuadrats(t *testing.T) {
	simtest.Stage(t, "long")
	c := simtest.Calendar(t, simtest.Library(t), worthPlan)
	q := &WorthRequest{Calendar: c, Replicates: 150, Choosing: 100, Seed: 1, Quadrats: []int{2, 20, 80}, Thresholds: []float64{0.5, 1, 2, 4, 8, 16}}
	given, _, err := Answer(context.Background(), q, 0)
	if err != nil {
		t.Fatal(err)
	}
	w := q.Find(given)
	for i, l := range w.By {
		t.Logf("%d quadrats, threshold %+v: %.2f ± %.2f, cost %.2f", l.Quadrats, l.Threshold, l.Value.Mean, l.Value.Error, l.Cost)
		if i > 1 && l.Value.Mean+l.Value.Error+w.By[i-1].Value.Error < w.By[i-1].Value.Mean {
			t.Errorf("%d quadrats are worth less than %d", l.Quadrats, w.By[i-1].Quadrats)
		}
	}
	if w.By[0].Value.Mean != 0 || w.By[0].Cost != 0 {
		t.Errorf("no look is worth %v and costs %v", w.By[0].Value.Mean, w.By[0].Cost)
	}
	if from, to := w.Flat(); w.Points[w.BestPoint].Less.Mean != 0 || from.Never {
		t.Errorf("best threshold %+v, flat from %+v to %+v", w.Points[w.BestPoint], from, to)
	}
}

// The usual question costs at most 60 forecasts of the same plan, in seasons run.
func TestWorthCosts(t *testing.T) {
	c := simtest.Calendar(t, simtest.Library(t), worthPlan)
	q := &WorthRequest{Calendar: c, Replicates: 1000, Choosing: 250, Seed: 1}
	rounds, err := q.Runs(nil)
	if err != nil {
		t.Fatal(err)
	}
	seasons := 0
	for _, x := range rounds[0].Calendars {
		seasons += len(x.Seasons) * q.Choosing
	}
	most := 2*(len(q.Quadrats)+1) + len(q.Thresholds) + 4 // what can be chosen, and valued
	seasons += most * (len(c.Seasons) + 4) * q.Replicates
	if forecast := 2000 * len(c.Seasons); seasons > 60*forecast {
		t.Errorf("%d seasons are run, %.0f times a forecast", seasons, float64(seasons)/float64(forecast))
	}
}
