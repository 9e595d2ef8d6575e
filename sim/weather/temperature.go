package weather

import (
	"math"

	"rundown/sim/tabled"
)

// leastRangeC is the least that Tmax stands above Tmin.
const leastRangeC = 0.5

// spread is how the variance of one temperature is shared out over the months:
// day by day by the autoregression, and month by month by anomalies at the
// mid-months with straight lines between them.
type spread struct {
	daySD     [12]float64
	anomalySD [12]float64
}

// shareOut finds both from what is asked: daySD, of single days about the
// long-term mean of their date, and yearSD, of the month's mean between years.
// The autoregression alone makes monthly means vary (by factor c[m] of its
// variance), so anomalies add only what is missing; where it gives too much
// already, none are added and the means vary more than asked. shift is what wet
// and dry days differ by.
func shareOut(daySD, yearSD, shift [12]float64, rain *[12]rainMonth, c [12]float64) (s spread) {
	w := weights()
	var day, month [12]float64 // variances asked, less what wet and dry days make
	for m := range 12 {
		n, r := monthLength(m), rain[m]
		day[m] = daySD[m]*daySD[m] - shift[m]*shift[m]*r.wet*(1-r.wet)
		month[m] = yearSD[m]*yearSD[m] - shift[m]*shift[m]*r.wetDayVariance(n)/(n*n)
	}
	var node [12]float64 // variances of the anomalies
	for range 120 {
		inDay, inMonth := anomalyVariance(w, &node)
		for m := range 12 {
			rest := max(0.1*day[m], day[m]-inDay[m], 1e-6)
			s.daySD[m] = math.Sqrt(rest)
			node[m] = max(0, node[m]+month[m]-rest*c[m]-inMonth[m])
		}
	}
	for m := range 12 {
		s.anomalySD[m] = math.Sqrt(node[m])
	}
	return s
}

// anomalyVariance is what independent anomalies at the mid-months give single
// days (mean over the month) and monthly means.
func anomalyVariance(w *[yearDays]weight, node *[12]float64) (day, month [12]float64) {
	i := 0
	for m, n := range monthDays {
		var share [3]float64 // mean weight of the node before, of this and of the next month
		for range n {
			x := w[i]
			k := x.left - m // 0 before the middle of the month, 1 after
			l, r := 1-x.right, x.right
			day[m] += (l*l*node[(x.left+11)%12] + r*r*node[x.left%12]) / float64(n)
			share[k] += l / float64(n)
			share[k+1] += r / float64(n)
			i++
		}
		for k, x := range share {
			month[m] += x * x * node[(m+11+k)%12]
		}
	}
	return day, month
}

// nodeVariances are the variances of independent anomalies at the mid-months
// that give monthly means the variances asked.
func nodeVariances(month [12]float64) (node [12]float64) {
	w := weights()
	for range 120 {
		_, got := anomalyVariance(w, &node)
		for m := range 12 {
			node[m] = max(0, node[m]+month[m]-got[m])
		}
	}
	return node
}

// widened is the mean range Tmax − Tmin to aim at, so that after days closer
// than leastRangeC have been moved apart the mean is the one asked. The range
// of a day is taken as normal about a mean that differs between wet and dry.
func widened(asked, sd, wet, shift float64) float64 {
	got := func(m float64) float64 {
		return wet*meanAbove(m+(1-wet)*shift, sd, leastRangeC) +
			(1-wet)*meanAbove(m-wet*shift, sd, leastRangeC)
	}
	if sd <= 0 || asked <= leastRangeC {
		return asked
	}
	m := asked
	for range 50 {
		before := m
		m += asked - got(m)
		if m == before { // and would stay
			break
		}
	}
	return m
}

// widenedYear is widened on every day of the year, of what widened asks for.
func widenedYear(of *[yearDays][4]float64) (year [yearDays]float64) {
	all := make([]float64, 0, len(of)*len(of[0]))
	for i := range of {
		all = append(all, of[i][:]...)
	}
	tabled.Of(tabled.Key("widened", all...), year[:], func(to []float64) {
		for i, x := range of {
			to[i] = widened(x[0], x[1], x[2], x[3])
		}
	})
	return year
}

// meanAbove is E max(X, least) of a normal X.
func meanAbove(mean, sd, least float64) float64 {
	z := (mean - least) / sd
	density := math.Exp(-z*z/2) / math.Sqrt(2*math.Pi)
	return least + (mean-least)*math.Erfc(-z/math.Sqrt2)/2 + sd*density
}
