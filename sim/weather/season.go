package weather

import (
	"sync"

	"rundown/params/date"
	"rundown/sim/tabled"
)

// A calendar day is an index 0..365 of a leap year, so that a date has one
// index in every year; common years skip leapDay.
const (
	yearDays = 366
	leapDay  = 59 // 29 February
)

var monthDays = [12]int{31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}

// monthLength is the mean length of a month over the four-year cycle, which is
// what a monthly total or count refers to.
func monthLength(m int) float64 {
	if m == 1 {
		return 28.25
	}
	return float64(monthDays[m])
}

// calendarDay is the calendar day of the i-th day of a year, counted from 0.
func calendarDay(i int, leap bool) int {
	if i >= leapDay && !leap {
		return i + 1
	}
	return i
}

// yearLength is the number of days of a year.
func yearLength(year int) int {
	if date.Leap(year) {
		return 366
	}
	return 365
}

// weight says how a calendar day lies between two mid-months: left is the node
// before it, 0 for mid-December of the year before up to 12 for mid-December
// (node 13 is mid-January of the next year), and right the weight of the next.
type weight struct {
	left  int
	right float64
}

// monthOf is the month of a calendar day, 0..11.
func monthOf(day int) int {
	for m, n := range monthDays {
		if day < n {
			return m
		}
		day -= n
	}
	return 11
}

// weights lists the interpolation of every calendar day.
var weights = sync.OnceValue(func() *[yearDays]weight {
	w := new([yearDays]weight)
	var mid [14]float64
	start := 0.0
	for m, n := range monthDays {
		mid[m+1] = start + float64(n-1)/2
		start += float64(n)
	}
	mid[0], mid[13] = mid[12]-yearDays, mid[1]+yearDays
	node := 0
	for i := range w {
		for float64(i) >= mid[node+1] {
			node++
		}
		w[i] = weight{node, (float64(i) - mid[node]) / (mid[node+1] - mid[node])}
	}
	return w
})

// course draws a smooth year through twelve monthly means: straight lines
// between mid-months, whose nodes are chosen so that the mean of every month is
// the one asked for (a plain line through the means would flatten the year).
func course(monthly [12]float64) (year [yearDays]float64) {
	w := weights()
	var nodes [12]float64
	tabled.Of(tabled.Key("course", monthly[:]...), nodes[:], func(to []float64) {
		found := courseNodes(w, monthly)
		copy(to, found[:])
	})
	return lines(w, nodes)
}

func courseNodes(w *[yearDays]weight, monthly [12]float64) (nodes [12]float64) {
	nodes = monthly
	for range 60 { // contracts by about a third each round
		year := lines(w, nodes)
		before := nodes
		for m, mean := range monthMeans(&year) {
			nodes[m] += monthly[m] - mean
		}
		if nodes == before { // and would stay
			break
		}
	}
	return nodes
}

func lines(w *[yearDays]weight, nodes [12]float64) (year [yearDays]float64) {
	for i, x := range w {
		l, r := nodes[(x.left+11)%12], nodes[x.left%12]
		year[i] = l + x.right*(r-l)
	}
	return year
}

func monthMeans(year *[yearDays]float64) (mean [12]float64) {
	i := 0
	for m, n := range monthDays {
		for range n {
			mean[m] += year[i] / float64(n)
			i++
		}
	}
	return mean
}

// bounded is course for quantities that must stay between two limits.
func bounded(monthly [12]float64, low, high float64) [yearDays]float64 {
	year := course(monthly)
	for i := range year {
		year[i] = min(high, max(low, year[i]))
	}
	return year
}
