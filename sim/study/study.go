// Package study answers questions by runs, without a word. Each question is a
// request with two pure halves: Runs says which replicates to make, as values,
// from what earlier rounds gave; Find makes a typed result of their outcomes: bands,
// chances, optima, verdicts, and warnings as codes with numbers. Between the two
// stands whoever makes runs. What is said of a result is not decided here.
//
// Money that counts the seed left behind is a Value: run a calendar that is
// Continued(rotations.Behind{}), keep at least Margin and TakenByWeeds, and
// ValueOf(calendar, outcome) gives by replicate the value a year and its parts.
// outcome.FirstSeasons(n) is, to the bit, what the plan alone would have given.
package study

import (
	"math"

	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/bands"
	"rundown/sim/decide"
	"rundown/sim/ensemble"
	particles "rundown/sim/update"
)

// Band summarises one quantity over the replicates.
type Band = bands.Band

// Round says what replicates are for.
type Round uint8

// Rounds.
const (
	Main       Round = iota // the question itself
	Sides                   // the same at other infestations
	Between                 // two choices at many infestations
	Screening               // every input, one after the other
	Indices                 // the rows of a design
	Sweeping                // one value, point by point
	Still                   // the question, with resistance held still
	Afterwards              // the same with other seasons behind
	Choosing                // what is then valued on other runs
	DateAlone               // another date with the work before it left on its day
)

// Runs are replicates to make: of every calendar the same ones, under the same luck.
type Runs struct {
	Round      Round
	Calendars  []*rotations.Calendar
	Replicates int
	First      int // index of the first replicate
	Seed       uint64
	Keep       []sim.Metric         // what is kept of every season; nil: every metric
	Work       bool                 // keep what became of every piece of work
	Past       *particles.Posterior // whose histories they go on from; nil: from the start
	Own        bool                 // Past is of counts let in by this very study: it fits
	Design     Design               // what every replicate is made with; nil: as drawn
}

// Design replaces the draw of replicates' values and luck: it is given a replicate with
// the luck of its index and central values, and makes of it what it will, from index and
// worker alone.
type Design interface {
	Replicate(w *sim.Worker, index int, r *sim.Replicate)
}

// Outcomes are what Runs gave, one for each calendar.
type Outcomes []*ensemble.Outcome

// Request is a question. Runs gives the runs to make next, nothing when all are
// made; given are the outcomes of those asked for before, in order.
type Request interface {
	Runs(given []Outcomes) ([]Runs, error)
}

func band(x []float64) Band { return bands.Summarise(x) }

// difference summarises x − y, run by run.
func difference(x, y []float64) Band { return band(decide.Differences(x, y)) }

func median(x []float64) float64 { return decide.Median(x) }

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

// share is how large a part of n runs a condition holds in.
func share(n int, holds func(k int) bool) float64 {
	count := 0
	for k := range n {
		if holds(k) {
			count++
		}
	}
	return float64(count) / float64(n)
}

func scaled(x []float64, by float64) []float64 {
	out := make([]float64, len(x))
	for i := range x {
		out[i] = x[i] * by
	}
	return out
}

// WorthSaying is the difference in margin a year, per ha, below which no way of farming is
// said to be better: sentences give money to the ten, and this is half of it (assumed).
const WorthSaying = 5.0

// Rounded10 is money to the ten that sentences give.
func Rounded10(x float64) float64 { return math.Round(x/10) * 10 }
