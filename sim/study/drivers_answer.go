package study

import (
	"fmt"
	"math"
	"strings"

	"rundown/params"
	"rundown/sim/drivers"
)

// DriversVerdict says what a spread is made of.
type DriversVerdict string

// Verdicts of an analysis.
const (
	MostlyLuck   DriversVerdict = "luck"    // mostly weather, seasons and chance
	MostlyValues DriversVerdict = "values"  // mostly what nobody knows exactly
	NeitherMost  DriversVerdict = "neither" // the runs cannot tell
	NoSpread     DriversVerdict = "nothing" // there is none
)

// DriversAnswer is what an analysis owes first.
type DriversAnswer struct {
	Verdict DriversVerdict
	First   []int            // the blocks that most hangs on, by total
	Open    []int            // places in First that the runs cannot tell from the next
	Luck    drivers.Estimate // what weather, seasons and chance make by themselves
	Share   float64          // its value within 0 and 1
	Unknown drivers.Estimate // what the values that nobody knows exactly make by themselves
	Heavier Heavier
}

// Heavier says whether not knowing or luck makes more of a spread.
type Heavier uint8

// Ways of it.
const (
	CannotTell     Heavier = iota
	AboutTheSame           // both are known well, and lie together
	UnknownHeavier         // beyond the intervals
	LuckHeavier
)

// answerFirst is how many values an answer names.
const answerFirst = 3

// oftenInstead is in what share of the runs another crop is worth a word.
const oftenInstead = 0.05

// sameWeight is how well both must be known, and how near they must lie, to be about the same.
const sameWeight = 0.1

func (f *Drivers) answer() *DriversAnswer {
	a := &DriversAnswer{Verdict: NoSpread}
	if f.Empty() {
		return a
	}
	a.First = f.Ranking[:min(answerFirst, len(f.Ranking))]
	for k, b := range a.First {
		for _, pair := range f.Doubts.Tied {
			if pair[0] == b {
				a.Open = append(a.Open, k)
			}
		}
	}
	a.Luck, a.Unknown = f.Last.First[f.Block(drivers.Luck)], f.Last.First[f.Block(drivers.Parameters)]
	a.Share = math.Min(1, math.Max(0, a.Luck.Value))
	a.Verdict = NeitherMost
	switch {
	case a.Luck.Low > 0.5:
		a.Verdict = MostlyLuck
	case a.Luck.High < 0.5:
		a.Verdict = MostlyValues
	}
	switch {
	case a.Unknown.Half() < sameWeight && a.Luck.Half() < sameWeight && math.Abs(a.Unknown.Value-a.Luck.Value) < sameWeight:
		a.Heavier = AboutTheSame
	case a.Unknown.Low > a.Luck.High:
		a.Heavier = UnknownHeavier
	case a.Luck.Low > a.Unknown.High:
		a.Heavier = LuckHeavier
	}
	return a
}

// Grade is that of the evidence of a block; "" for groups.
func (f *Drivers) Grade(block int) params.Grade {
	b := f.Blocks[block]
	if b.Group != drivers.OneInput {
		return ""
	}
	return f.Inputs.List[b.Input].Grade
}

// Weak tells whether a block's evidence is judgement or memory.
func (f *Drivers) Weak(block int) bool {
	g := f.Grade(block)
	return g == params.Assumed || g == params.Memory
}

// Leading are the first of the ranking, by which it is judged.
func (f *Drivers) Leading() []int { return f.Ranking[:min(drivers.Leading, len(f.Ranking))] }

// Warnings of an analysis.
const (
	NothingVaries Code = "nothing-varies"
	RowsLeftOut   Code = "rows-left-out"  // X: so many of Y rows have a run without a value
	OtherCrop     Code = "other-crop"     // Instead was grown, in at least the share X of the runs
	OrderOpen     Code = "order-open"     // Doubts.Tied: neighbours whose order is not told
	NegativeIndex Code = "negative-index" // Impossible names them
)

func (f *Drivers) warnings() []Warning {
	var out []Warning
	if f.Inputs.Own != nil {
		out = append(out, Warning{Code: OwnReturn, Own: f.Inputs.Own})
	}
	if f.Empty() {
		return append(out, Warning{Code: NothingVaries})
	}
	if left := f.Rows - f.Last.Rows; left > 0 {
		out = append(out, Warning{Code: RowsLeftOut, X: float64(left), Y: float64(f.Rows)})
	}
	instead := 0.0
	for _, g := range f.Instead {
		instead += g.Share
	}
	if instead > oftenInstead {
		out = append(out, Warning{Code: OtherCrop, X: instead})
	}
	if len(f.Doubts.Tied) > 0 {
		out = append(out, Warning{Code: OrderOpen})
	}
	if len(f.Impossible()) > 0 {
		out = append(out, Warning{Code: NegativeIndex})
	}
	return out
}

// Impossible is a first-order index that cannot be what it comes out as.
type Impossible struct {
	Block int
	Above bool // its total; else below 0
}

// Impossible are those of the season that inputs are ranked by: too few rows.
func (f *Drivers) Impossible() []Impossible {
	var odd []Impossible
	for _, b := range f.Doubts.Negative {
		odd = append(odd, Impossible{Block: b})
	}
	for _, b := range f.Shown() {
		first, total := f.Last.First[b].Value, f.Last.Total[b].Value
		if first > total && first > 0 && hundredths(first) != hundredths(total) {
			odd = append(odd, Impossible{b, true})
		}
	}
	return odd
}

// hundredths is an index as it is told: one above another by less is not told apart.
func hundredths(x float64) string { return strings.Replace(fmt.Sprintf("%.2f", x), "-0.00", "0.00", 1) }
