package sim_test

import (
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"rundown/params/date"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/bands"
)

// The slow suite: RUNDOWN_VERIFY=DIR go test ./sim -run Verify -timeout 60m
// repeats the published outcomes at high counts and writes pictures into DIR,
// each with its reading as right or wrong. A wrong one fails.

// verifyDir is where the pictures go; without it the slow suite is skipped.
func verifyDir(t *testing.T) string {
	t.Helper()
	dir := os.Getenv("RUNDOWN_VERIFY")
	if dir == "" {
		t.Skip("slow suite: RUNDOWN_VERIFY=DIR runs it")
	}
	return dir
}

// The published outcomes, one line each: the accepted range and what comes out.
func TestVerifyPublished(t *testing.T) {
	dir := verifyDir(t)
	got := measure(t, 4000)
	judge(t, "outcomes.csv", gaps, got)
	all := outcomes(t, "outcomes.csv")
	p := picture{title: "Published outcomes, 4,000 replicates",
		x: scale{label: "from the low (0) to the high end (1) of the accepted range", lo: -1.5, hi: 2.5, ticks: evenly(-1, 2, 0.5, "%g")},
		y: scale{lo: 0, hi: float64(len(all)) + 1}, legends: []string{"bar: accepted range", "dot: this version", "grey: used to set a default",
			"open gaps are named"}}
	inside, gapped := 0, 0
	for i, o := range all {
		y := float64(len(all) - i)
		low, high := o.low, o.high
		if math.IsInf(high, 1) {
			high = 2 * low
		}
		p.between(y, 0, 1)
		x := (got[o.name] - low) / (high - low)
		colour := "#1f4e9c"
		in := got[o.name] >= o.low && got[o.name] <= o.high
		switch {
		case o.set:
			colour = "#777"
		case gaps[o.name]:
			gapped++
			colour = "#b00020"
		case in:
			inside++
		}
		p.dot(x, y, colour)
		p.word(-1.48, y-0.2, fmt.Sprintf("%s %.3f", strings.ReplaceAll(o.name, "_", " "), got[o.name]), "start")
	}
	p.write(t, dir, "published.svg", !t.Failed(), fmt.Sprintf("%d outcomes in their ranges, %d named gaps (red), the rest used to set a default", inside, gapped))
}

// ribbons draws the 90 % and the 50 % ribbon and the median of columns of
// replicates, and gives their means.
func (p *picture) ribbons(x []float64, columns [][]float64, colour string) (means []float64) {
	var q [5][]float64
	for _, c := range columns {
		s := bands.Summarise(c)
		for i, v := range [5]float64{s.P05, s.P25, s.P50, s.P75, s.P95} {
			q[i] = append(q[i], v)
		}
		means = append(means, s.Mean)
	}
	p.ribbon(x, q[0], q[4], colour, 0.18)
	p.ribbon(x, q[1], q[3], colour, 0.28)
	p.line(x, q[2], colour, false)
	return means
}

// Seedlings through the season against the published calendar.
func TestVerifyEmergence(t *testing.T) {
	dir := verifyDir(t)
	from, to := date.Of(2026, 8, 3), date.Of(2027, 6, 29)
	w := watchDaily(from, to, 1, sim.WatchEmerged)
	o := run(t, 2000, w, trial(t, "shallow-disc", "start: 2026-08-01, heads_per_m2: 40, trend: 1", sown("winter-wheat", "25 Sep", "tine-drill", disc)))[0]
	year := o.Watched(len(w) - 1)
	mark := map[date.Day][2]float64{date.Of(2026, 9, 30): {0.12, 0.35}, date.Of(2026, 10, 31): {0.48, 0.72}, date.Of(2026, 12, 31): {0.70, 0.90}}
	p := picture{title: "Seedlings up by date, share of the year's",
		x: scale{label: "date", lo: float64(from), hi: float64(to)}, y: scale{label: "share", lo: 0, hi: 1, ticks: evenly(0, 1, 0.2, "%.1f")},
		legends: []string{"line: median", "ribbons: half and nine in ten of 2,000 replicates", "dashed: mean", "bars: accepted"}}
	var x, means []float64
	var columns [][]float64
	right := true
	reading := "mean:"
	for k := range w {
		c := make([]float64, len(year))
		for r := range c {
			c[r] = o.Watched(k)[r] / year[r]
		}
		x, columns = append(x, float64(w[k].Day)), append(columns, c)
		m := mean(o.Watched(k)) / mean(year)
		means = append(means, m)
		if bar, ok := mark[w[k].Day]; ok {
			right = right && m >= bar[0] && m <= bar[1]
			reading += fmt.Sprintf(" %.2f by %s (%.2f–%.2f)", m, w[k].Day.Short()[:6], bar[0], bar[1])
		}
		if _, _, day := w[k].Day.Date(); day == 1 {
			p.x.ticks = append(p.x.ticks, tick{float64(w[k].Day), w[k].Day.Short()[2:5]})
		}
	}
	p.ribbons(x, columns, "#1f4e9c")
	p.line(x, means, "#333", true)
	for day, bar := range mark {
		p.accepted(float64(day), bar[0], bar[1])
	}
	p.write(t, dir, "emergence-ribbon.svg", right, reading)
}

// Plants by drilling date against 25 September, field by field.
func TestVerifyDrilling(t *testing.T) {
	dir := verifyDir(t)
	const n = 1000
	days := []string{"11 Sep", "18 Sep", "25 Sep", "2 Oct", "9 Oct", "16 Oct", "23 Oct", "31 Oct", "7 Nov", "14 Nov", "21 Nov"}
	at := []float64{-14, -7, 0, 7, 14, 21, 28, 36, 43, 50, 57}
	var plants [][]float64
	for _, d := range days {
		o := run(t, n, nil, trial(t, "shallow-disc", "start: 2026-08-15, heads_per_m2: 15", sown("winter-wheat", d, "tine-drill", disc)))[0]
		plants = append(plants, o.Column(sim.Plants, 0))
	}
	p := picture{title: "Plants by drilling date, against 25 September in the same field and year",
		x: scale{label: "days from 25 September", lo: -14, hi: 57, ticks: evenly(-14, 56, 14, "%.0f")},
		y: scale{label: "plants, ratio", lo: 0, hi: 1.6, ticks: evenly(0, 1.6, 0.2, "%.1f")}, legends: []string{"line: median",
			"ribbons: half and nine in ten of 1,000 replicates", "bar: accepted on 31 October (Lutman et al. 2013)"}}
	var columns [][]float64
	for _, c := range plants {
		ratio := make([]float64, n)
		for r := range ratio {
			ratio[r] = c[r] / plants[2][r]
		}
		columns = append(columns, ratio)
	}
	means := p.ribbons(at, columns, "#1f4e9c")
	p.accepted(36, 0.35, 0.60)
	p.write(t, dir, "drilling-ribbon.svg", means[7] >= 0.35 && means[7] <= 0.60,
		fmt.Sprintf("on 31 October %.2f of the plants of 25 September (accepted 0.35–0.60)", means[7]))
}

// A cultivated bank without rain of seed, over three years.
func TestVerifyDecline(t *testing.T) {
	dir := verifyDir(t)
	o := fallowRun(t, 2000)
	left := [][]float64{make([]float64, o.Replicates)}
	for r := range left[0] {
		left[0][r] = 1
	}
	for s := range 3 {
		c := slices.Clone(o.Column(sim.SeedbankJune, s))
		for r := range c {
			c[r] /= o.Column(sim.LedgerStart, 0)[r]
		}
		left = append(left, c)
	}
	p := picture{title: "Bank left of a cultivated field without rain of seed", x: scale{label: "years", lo: 0, hi: 3.1, ticks: evenly(0, 3, 1, "%.0f")},
		y:       scale{label: "share left", lo: 0.003, hi: 1, log: true, ticks: decades(0.01, 1)},
		legends: []string{"line: median", "ribbons: half and nine in ten of 2,000 replicates", "bars: 60–83 % lost in the year, from the mean of the year before"}}
	means := p.ribbons([]float64{0, 1, 2, 3}, left, "#1f4e9c")
	right, reading := true, "lost a year on the mean:"
	for y := 1; y <= 3; y++ {
		lost := 1 - means[y]/means[y-1]
		p.accepted(float64(y), means[y-1]*0.17, means[y-1]*0.40)
		right = right && lost >= 0.60 && lost <= 0.83
		reading += fmt.Sprintf(" %.2f", lost)
	}
	p.write(t, dir, "decline-ribbon.svg", right, reading+" (accepted 0.60–0.83)")
}

// Heads under 97 % control with parameters free, constrained and frozen.
func TestVerifyBands(t *testing.T) {
	dir := verifyDir(t)
	m := model(t, controlled(t))
	p := picture{title: "Heads under 97 % control: parameters free, constrained, frozen",
		x:       scale{label: "season", lo: 1, hi: 6, ticks: evenly(1, 6, 1, "%.0f")},
		y:       scale{label: "heads/m²", lo: 0.005, hi: 300, log: true, ticks: decades(0.01, 100)},
		legends: []string{"nine in ten of 3,000 replicates: grey free, blue constrained, orange frozen", "lines: medians"}}
	x := []float64{1, 2, 3, 4, 5, 6}
	width, median := map[string]float64{}, map[string]float64{}
	for i, s := range spreads {
		colour := []string{"#777777", "#1f4e9c", "#c06000"}[i]
		var lo, mid, hi []float64
		for _, c := range sixSeasons(t, m, 3000, s) {
			q := bands.Summarise(c)
			lo, mid, hi = append(lo, q.P05), append(mid, q.P50), append(hi, q.P95)
		}
		p.ribbon(x, lo, hi, colour, 0.25)
		p.line(x, mid, colour, i == 0)
		width[s], median[s] = hi[5]/lo[5], mid[5]
	}
	ratio := median["constrained"] / median["frozen"]
	right := width["free"] >= 2000 && width["constrained"] <= 100 && math.Abs(math.Log(ratio)) <= math.Log(1.3)
	p.write(t, dir, "constraint-ribbon.svg", right, fmt.Sprintf("%.0f-fold free, %.0f-fold constrained, %.0f-fold frozen; constrained median %.2f of "+
		"the frozen", width["free"], width["constrained"], width["frozen"], ratio))
}

// kolmogorov is the bound that the largest distance of two empirical
// distributions of n each passes once in 10,000 when they are one.
func kolmogorov(n int) float64 { return math.Sqrt(-math.Log(1e-4/2)/2) * math.Sqrt(2/float64(n)) }

// Steps of one and of seven days give the same distribution of heads.
func TestVerifySteps(t *testing.T) {
	dir := verifyDir(t)
	const n = 3000
	m := model(t, string(rotations.Starter()))
	heads := func(every int, first uint32) (x []float64) {
		for _, s := range stepped(t, m, every, n, first) {
			if v := s[1][sim.Heads]; v > 0 {
				x = append(x, v)
			}
		}
		slices.Sort(x)
		return x
	}
	day, week := heads(1, 0), heads(7, n) // other luck: the two are independent
	k := min(len(day), len(week))
	eps := kolmogorov(k)
	p := picture{title: "Heads after two seasons of the starter plan: steps of seven days against one",
		x: scale{label: "heads/m², steps of one day", lo: 0.1, hi: 1000, log: true, ticks: decades(0.1, 1000)},
		y: scale{label: "heads/m², steps of seven days", lo: 0.1, hi: 1000, log: true, ticks: decades(0.1, 1000)}, legends: []string{"dots: quantiles",
			"ribbon: where two samples of one law lie, 9,999 in 10,000"}}
	far := qq(&p, day, week, eps)
	p.write(t, dir, "steps-qq.svg", far < eps, fmt.Sprintf("largest distance of the distributions %.3f, bound %.3f", far, eps))
}

// qq draws the quantiles of b against those of a, both sorted, with the ribbon
// of eps about a's distribution, and returns their largest distance.
func qq(p *picture, a, b []float64, eps float64) (far float64) {
	var x, lo, hi []float64
	for i := 1; i < 200; i++ {
		u := float64(i) / 200
		x = append(x, bands.Quantile(a, u))
		lo = append(lo, bands.Quantile(a, math.Max(u-eps, 0)))
		hi = append(hi, bands.Quantile(a, math.Min(u+eps, 1)))
	}
	p.ribbon(x, lo, hi, "#1f4e9c", 0.2)
	p.line([]float64{p.x.lo, p.x.hi}, []float64{p.y.lo, p.y.hi}, "#333", true)
	for i := range x {
		p.dot(x[i], bands.Quantile(b, float64(i+1)/200), "#a03000")
	}
	for _, v := range append(slices.Clone(a), b...) {
		far = math.Max(far, math.Abs(below(a, v)-below(b, v)))
	}
	return far
}

// below is the share of sorted values that are at most v.
func below(x []float64, v float64) float64 {
	i, _ := slices.BinarySearchFunc(x, v, func(e, target float64) int {
		if e <= target {
			return -1
		}
		return 1
	})
	return float64(i) / float64(len(x))
}

// Chance alone: seedlings from a Poisson number of old seeds are Poisson, since
// each seed meets its fate by itself.
func TestVerifyChance(t *testing.T) {
	dir := verifyDir(t)
	const n = 6000
	w := sim.Watch{Day: date.Of(2027, 6, 14), What: sim.WatchEmerged}
	huge := limitOf(t, 1000, "start: 2026-08-13, seedbank_per_m2: {0-5: 1}", refSeasonText).frozen(t, 16, w)
	small := limitOf(t, 0.01, "start: 2026-08-13, seedbank_per_m2: {0-5: 1}", refSeasonText).frozen(t, n, w)
	expected := mean(huge.Watched(0)) * 100
	counts := slices.Clone(small.Watched(0))
	for i := range counts {
		counts[i] = math.Round(counts[i] * 100)
	}
	slices.Sort(counts)
	eps := math.Sqrt(-math.Log(1e-4/2)/2) / math.Sqrt(n)
	most := counts[n-1] + 10
	p := picture{title: "Seedlings on 100 m² from old seed, chance alone, against the Poisson law",
		x: scale{label: fmt.Sprintf("Poisson quantile, mean %.1f", expected), lo: 0, hi: most, ticks: evenly(0, most, 10, "%.0f")},
		y: scale{label: "seedlings, quantile of 6,000 replicates",
			lo: 0, hi: most, ticks: evenly(0, most, 10, "%.0f")}, legends: []string{"dots: quantiles", "ribbon: where a sample of the law lies, 9,999 in 10,000"}}
	var law []float64 // cumulative
	term, sum := math.Exp(-expected), 0.0
	for k := 0.0; k <= most; k++ {
		sum += term
		law = append(law, sum)
		term *= expected / (k + 1)
	}
	inverse := func(u float64) float64 {
		i, _ := slices.BinarySearch(law, u)
		return float64(i)
	}
	var x, lo, hi []float64
	for i := 1; i < 200; i++ {
		u := float64(i) / 200
		x, lo, hi = append(x, inverse(u)), append(lo, inverse(math.Max(u-eps, 1e-9))), append(hi, inverse(math.Min(u+eps, 1-1e-9)))
	}
	p.ribbon(x, lo, hi, "#1f4e9c", 0.2)
	p.line([]float64{0, most}, []float64{0, most}, "#333", true)
	for i := range x {
		p.dot(x[i], bands.Quantile(counts, float64(i+1)/200), "#a03000")
	}
	far := 0.0
	for k, f := range law {
		far = math.Max(far, math.Abs(f-below(counts, float64(k))))
	}
	p.write(t, dir, "chance-qq.svg", far < eps, fmt.Sprintf("largest distance from the law %.4f, bound %.4f", far, eps))
}
