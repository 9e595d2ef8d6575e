package drivers

import (
	"math"
	"slices"

	"rundown/params"
)

// Evidence is on what the inputs rest, weighed by what they make of the spread.
//
// The weight of an input is its total index. Inputs without an index of their own
// have one together; it is dealt out among them by the mean square of their
// elementary effects. The share of a grade is its weight in that of all inputs.
type Evidence struct {
	Share map[params.Grade]float64 // 0..1; "" is what the plan gives; they add up to 1
	Error map[params.Grade]float64 // standard error, over rows drawn again
}

// Grades are the grades of the library, best first.
var Grades = []params.Grade{params.Published, params.Grey, params.Memory, params.Derived, params.Assumed}

// weights are by place in Grades, what the plan gives last: in a list, since sums
// in the order of a map would differ in their last digit from run to run.
type weights [6]float64

func place(g params.Grade) int {
	if i := slices.Index(Grades, g); i >= 0 {
		return i
	}
	return len(Grades)
}

// Evidence weighs the grades of the inputs in the season that inputs are ranked
// by. Nothing can be weighed where nothing varies: nil.
func (a *Analysis) Evidence() *Evidence {
	x := a.Seasons[a.Season]
	if math.IsNaN(x.Variance) {
		return nil
	}
	var total []float64
	for _, e := range x.Total {
		total = append(total, e.Value)
	}
	rest := a.restByGrade()
	whole := a.byGrade(total, &rest)
	var sum, square weights
	n := 0.0
	for i := range x.draws {
		if math.IsNaN(x.draws[i].variance) {
			continue
		}
		n++
		for g, share := range a.byGrade(x.draws[i].total, &rest) {
			sum[g] += share
			square[g] += share * share
		}
	}
	e := &Evidence{Share: map[params.Grade]float64{}, Error: map[params.Grade]float64{}}
	for k, g := range append(slices.Clone(Grades), "") {
		mean := sum[k] / math.Max(n, 1)
		e.Share[g] = whole[k]
		e.Error[g] = math.Sqrt(math.Max(0, square[k]/math.Max(n, 1)-mean*mean))
	}
	return e
}

// restByGrade deals out the inputs without an index of their own; the shares add up to 1.
func (a *Analysis) restByGrade() (rest weights) {
	own := make([]bool, len(a.Inputs.List))
	for _, b := range a.Blocks {
		if b.Group == OneInput {
			own[b.Input] = true
		}
	}
	all := 0.0
	for i, effect := range a.Effects {
		if square := effect.Root * effect.Root; !own[i] && square > 0 {
			rest[place(a.Inputs.List[i].Grade)] += square
			all += square
		}
	}
	for k := range rest {
		rest[k] /= math.Max(all, math.SmallestNonzeroFloat64)
	}
	return rest
}

// byGrade shares out the totals of the blocks.
func (a *Analysis) byGrade(total []float64, rest *weights) (share weights) {
	all := 0.0
	for k, b := range a.Blocks {
		switch b.Group {
		case OneInput:
			share[place(a.Inputs.List[b.Input].Grade)] += total[k]
			all += total[k]
		case OtherInput:
			for g, part := range rest {
				share[g] += part * total[k]
				all += part * total[k]
			}
		}
	}
	for k := range share {
		share[k] /= math.Max(all, math.SmallestNonzeroFloat64)
	}
	return share
}
