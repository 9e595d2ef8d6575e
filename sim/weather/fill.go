package weather

import (
	"math"
	"math/rand/v2"
	"time"

	"rundown/params/date"
	"rundown/sim/random"
)

// Days is weather day by day. The caller allocates; all slices have the same
// length.
type Days struct {
	Start  date.Day  // a 1 January
	TmaxC  []float64 // °C
	TminC  []float64 // °C; at least 0.5 °C below Tmax when generated
	RainMM []float64 // mm; 0, or at least 1 when generated
	MeanC  []float64 // °C; half of Tmax + Tmin
	ET0MM  []float64 // mm; reference evapotranspiration after Hargreaves
}

// NewDays allocates n days.
func NewDays(start date.Day, n int) *Days {
	all := make([]float64, 5*n)
	part := func(i int) []float64 { return all[i*n : (i+1)*n : (i+1)*n] }
	return &Days{start, part(0), part(1), part(2), part(3), part(4)}
}

// part is the days from..to, sharing memory.
func (d *Days) part(from, to int) Days {
	return Days{d.Start + date.Day(from), d.TmaxC[from:to], d.TminC[from:to],
		d.RainMM[from:to], d.MeanC[from:to], d.ET0MM[from:to]}
}

// Addresses of draws below the key of a year. They are part of every result.
const (
	anomalyTag = 1
	startTag   = 2
)

// carried is the state that one year hands to the next.
type carried struct {
	wet  uint32  // 1 after a wet day
	x, y float64 // residuals of Tmax and Tmin
}

// Fill makes the weather of d. Every calendar year has its own stream, keyed by
// its number: the draws of a year are the same whatever the start and the
// horizon, and each day takes two. What carries over the New Year is the state
// of the chain and of the autoregression; before the first year it is drawn
// from their long-run laws, which the days forget within two weeks.
func (g *Generator) Fill(d *Days, key random.Key) { g.FillSwitched(d, key, key, d.Start) }

// FillSwitched does so with one key before a day and another from it on: the state
// carries over, and the anomalies of the mid-months before that day stay.
func (g *Generator) FillSwitched(d *Days, key, next random.Key, turn date.Day) {
	year := d.Start.Year()
	first := key
	if turn <= d.Start {
		first = next
	}
	k := first.With(uint64(year)).With(startTag)
	s := carried{
		x: g.normal.normal(bits32(k.Uniform(0))),
		y: g.normal.normal(bits32(k.Uniform(1))),
	}
	s.y = g.correlation*s.x + math.Sqrt(1-g.correlation*g.correlation)*s.y
	if k.Uniform(2) < float64(g.days[0].wetAfter[0])/(1<<32) {
		s.wet = 1
	}
	for from := 0; from < len(d.RainMM); year++ {
		to := min(from+yearLength(year), len(d.RainMM))
		part := d.part(from, to)
		cut := min(max(int(turn-part.Start), 0), to-from)
		if cut > 0 {
			an := g.anomalies(year, key, key, turn)
			g.fillYear(&part, 0, cut, year, key, &an, &s)
		}
		if cut < to-from {
			an := g.anomalies(year, key, next, turn)
			g.fillYear(&part, cut, to-from, year, next, &an, &s)
		}
		from = to
	}
}

// anomalies are the departures at the fourteen mid-months that a year touches, with
// how far each goes to the next; the last two are room that the mask of the inner loop asks for.
type anomalies [16]struct {
	tmax, toMax  float64 // °C
	tmin, toMin  float64 // °C
	rain, toRain float64 // factor on amounts
}

// anomalies draws those of the mid-months before a day with one key and the
// others with another.
func (g *Generator) anomalies(year int, key, next random.Key, turn date.Day) (a anomalies) {
	rho := math.Sqrt(1 - g.correlation*g.correlation)
	for i := range 14 {
		m, y := (i+11)%12, year
		switch i {
		case 0:
			y--
		case 13:
			y++
		}
		k := key
		if date.Of(y, time.Month(m+1), middleOfMonth) >= turn {
			k = next
		}
		k = k.With(uint64(y)).With(anomalyTag)
		z := g.normal.normal(bits32(k.Uniform(uint64(3 * m))))
		e := g.normal.normal(bits32(k.Uniform(uint64(3*m + 1))))
		n := &a[i]
		n.tmax = g.maxAnomaly[m] * z
		n.tmin = g.minAnomaly[m] * (g.correlation*z + rho*e)
		n.rain = 1
		if s := g.rainAnomaly[m]; s > 0 {
			n.rain = math.Exp(s*g.normal.normal(bits32(k.Uniform(uint64(3*m+2)))) - s*s/2)
		}
	}
	for i := range 13 {
		n, next := &a[i], &a[i+1]
		n.toMax, n.toMin, n.toRain = next.tmax-n.tmax, next.tmin-n.tmin, next.rain-n.rain
	}
	return a
}

// middleOfMonth is the day of the month on which its anomaly stands, near enough.
const middleOfMonth = 15

func bits32(u float64) uint32 { return uint32(u * (1 << 32)) }

// fillYear makes the days from..to of a year, whose first day is d's.
func (g *Generator) fillYear(d *Days, from, to, year int, key random.Key, an *anomalies, s *carried) {
	var stream rand.PCG
	key.With(uint64(year)).Seed(&stream)
	for range 2 * from { // what the days before took
		stream.Uint64()
	}
	leap := date.Leap(year)
	tmax, tmin, rain, mean, et0 := d.TmaxC[:to], d.TminC[:to], d.RainMM[:to], d.MeanC[:to], d.ET0MM[:to]
	normal, wet, x, y := g.normal, s.wet, s.x, s.y
	for i := from; i < to; i++ {
		t := &g.days[calendarDay(i, leap)]
		n, r := &an[t.left&15], t.right // the mask tells the compiler that the index is below 16

		u := stream.Uint64()
		mm := 0.0
		if uint32(u>>32) < t.wetAfter[wet&1] {
			wet = 1
			factor := n.rain + r*n.toRain
			mm = wetFromMM + t.amount*factor*g.gamma[t.month].at(uint32(u))
		} else {
			wet = 0
		}

		u = stream.Uint64()
		// (g.normal.normal is too large to be inlined, and a call spills what is in registers.)
		e, f := signed(normal.at(uint32(u>>32)<<1), uint32(u>>32)), signed(normal.at(uint32(u)<<1), uint32(u))
		x, y = g.a11*x+g.a12*y+g.b11*e, g.a21*x+g.a22*y+g.b21*e+g.b22*f
		high := t.tmax[wet&1] + t.sdMax*x + n.tmax + r*n.toMax
		low := t.tmin + t.sdMin*y + n.tmin + r*n.toMin
		middle, half := (high+low)/2, (high-low)/2
		if half < leastRangeC/2 {
			half = leastRangeC / 2
		}
		warm := middle + 17.8
		if warm < 0 {
			warm = 0
		}

		rain[i] = mm
		tmax[i], tmin[i], mean[i] = middle+half, middle-half, middle
		et0[i] = t.hargreaves * warm * math.Sqrt(2*half)
	}
	s.wet, s.x, s.y = wet, x, y
}
