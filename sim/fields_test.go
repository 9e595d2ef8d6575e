package sim_test

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"rundown/sim"
	"rundown/sim/bands"
	"rundown/sim/simtest"
	"rundown/sim/stand"
	"rundown/sim/testfile"
)

// fieldFigures are the figures of testdata/fields/figures.csv, derived from open data.
func fieldFigures(t *testing.T) map[string]float64 {
	t.Helper()
	rows := testfile.Rows(t, "../testdata/fields/figures.csv")
	var err error
	all := map[string]float64{}
	for _, r := range rows[1:] {
		if all[r[0]], err = strconv.ParseFloat(r[1], 64); err != nil {
			t.Fatal(err)
		}
	}
	return all
}

// The form of patchiness: counts of frames over a field follow the negative binomial, which is the gamma that the yield loss takes densities
// from, counted. Chi-square of seven classes with mean and shape fitted: 4 degrees of freedom, 9.5 at one in twenty. A Poisson, of even
// fields, is out by thousands. The shape of one species lies below that of all weeds together and above the least of single species read, 0.17:
// the library's nine in ten must not leave that.
func TestCountsOfFramesAreNegativeBinomial(t *testing.T) {
	f := fieldFigures(t)
	k, mean := f["frames_k"], f["frames_mean"]
	var chi, even float64
	below := []float64{0, 20, 40, 60, 80, 120, 160, 5000}
	for i, name := range []string{"below_20", "below_40", "below_60", "below_80", "below_120", "below_160", "above"} {
		var want, poisson float64
		for x := below[i]; x < below[i+1]; x++ {
			a, _ := math.Lgamma(x + k)
			b, _ := math.Lgamma(k)
			c, _ := math.Lgamma(x + 1)
			want += f["frames"] * math.Exp(a-b-c+k*math.Log(k/(k+mean))+x*math.Log(mean/(k+mean)))
			poisson += f["frames"] * math.Exp(x*math.Log(mean)-mean-c)
		}
		got := f["frames_"+name]
		chi += (got - want) * (got - want) / want
		even += (got - poisson) * (got - poisson) / math.Max(poisson, 1e-3)
	}
	t.Logf("chi-square %.1f of a negative binomial, %.0f of a Poisson", chi, even)
	if chi > 9.5 || even < 100*chi {
		t.Errorf("chi-square %.1f of the negative binomial with k %.2f, at most 9.5 expected; %.0f of an even field", chi, k, even)
	}
	v := simtest.Library(t).Find("weeds", "black-grass").Value("patchiness_k")
	if low, high := v.Quantile(0.05), v.Quantile(0.95); low < 0.17/1.1 || high > 1.97 || v.Central > k {
		t.Errorf("patchiness_k %.2f (%.2f to %.2f): one species lies between 0.17 and what all weeds together have, %.2f (1.97 at most)", v.Central, low, high, k)
	}
}

// Seed of untreated rye-grass in the fifth wheat, when its stand is full: the median field lies among the medians of four
// sites, and the upper twentieth below the most of 87 points (100 replicates: the median has a standard error of some 6 %).
func TestSeedOfAFullStandOfRyeGrass(t *testing.T) {
	f := fieldFigures(t)
	wheat := strings.Replace(sown("winter-wheat", "25 Sep", "tine-drill", disc), "[{days_before_drilling: 1}]", "[]", 1)
	o := run(t, 100, nil, plot("", "italian-rye-grass", "start: 2026-08-01, heads_per_m2: 200", strings.Repeat(wheat, 5)))[0]
	viable := simtest.Library(t).Find("weeds", "italian-rye-grass").Value("viability").Central
	x := o.Column(sim.SeedReturn, 4)
	slices.Sort(x)
	s := [2]float64{bands.Quantile(x, 0.5) / viable, bands.Quantile(x, 0.95) / viable}
	t.Logf("%.0f seeds/m² in the median field, %.0f in the upper twentieth; read %.0f (sites %.0f to %.0f), most %.0f",
		s[0], s[1], f["seed_median"], f["seed_lowest_site"], f["seed_highest_site"], f["seed_most"])
	if s[0] < f["seed_lowest_site"] || s[0] > f["seed_highest_site"] {
		t.Errorf("%.0f seeds/m² in the median field, sites had %.0f to %.0f", s[0], f["seed_lowest_site"], f["seed_highest_site"])
	}
	if s[1] > f["seed_most"] {
		t.Errorf("%.0f seeds/m² in the upper twentieth, the most of 87 points is %.0f", s[1], f["seed_most"])
	}
	// At 5 to 10 seeds a spikelet a head holds 124 to 248: the library's nine in ten must reach that.
	v := simtest.Library(t).Find("weeds", "italian-rye-grass").Value("seeds_per_head")
	if high, low := v.Quantile(0.95), v.Quantile(0.05); high < 5*f["spikelets"] || low > 10*f["spikelets"] {
		t.Errorf("seeds per head %.0f to %.0f, the spikelets say %.0f to %.0f", low, high, 5*f["spikelets"], 10*f["spikelets"])
	}
}

// Loss in plots sown densely with black-grass, one stand without patches: the mean of the plots is reached at a density that stands bear (3,000
// heads are the most that an untreated field had), and none lost more than the library's largest loss may be.
func TestLossOfDensePlots(t *testing.T) {
	f := fieldFigures(t)
	e := simtest.Library(t).Find("weeds", "black-grass")
	most := e.Value("yield_loss_max")
	p := stand.Params{LossPerHead: e.Value("yield_loss_per_head").Central, MaxLoss: most.Central, PatchinessK: 1e6}
	heads := 100.0
	for heads < 1e5 && p.YieldLoss(heads, 1) < f["loss_mean"] {
		heads *= 1.01
	}
	even := p.YieldLoss(heads, 1)
	t.Logf("plots lost %.2f (%.2f to %.2f); the form loses that at %.0f heads/m², at most %.2f",
		f["loss_mean"], f["loss_least"], f["loss_most"], heads, most.Central)
	if heads < 300 || heads > 3000 {
		t.Errorf("the mean loss of the plots, %.2f, is reached at %.0f heads/m² (%.2f)", f["loss_mean"], heads, even)
	}
	if high := most.Quantile(0.95); f["loss_most"] > high || f["loss_most"] > most.Central {
		t.Errorf("a plot lost %.2f, the library's largest loss is %.2f (%.2f at the most)", f["loss_most"], most.Central, high)
	}
}

// How unlike populations are under one herbicide: the spread between fields that the library gives residual control (half of the variance
// of site and year) lies between the least and the most of three herbicides; ln weight and logit of the kill are alike where some half lives.
func TestPopulationsDiffer(t *testing.T) {
	f := fieldFigures(t)
	lib, n := simtest.Library(t), 0
	for _, name := range lib.Names("herbicides") {
		e := lib.Find("herbicides", name)
		v := e.Value("season_site_sd")
		if e.Text["role"] != "residual" || v == nil {
			continue
		}
		n++
		if site := v.Central * math.Sqrt(0.5); site < f["herbicide_c_sd"] || site > f["herbicide_b_sd"] {
			t.Errorf("%s: fields differ by %.2f, populations by %.2f to %.2f", v.Path, site, f["herbicide_c_sd"], f["herbicide_b_sd"])
		}
	}
	if n == 0 {
		t.Error("no residual herbicide was looked at")
	}
}
