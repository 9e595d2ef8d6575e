package findings

import (
	"testing"
	"time"

	"rundown/params/date"
	"rundown/rotations"
	"rundown/sim/decide"
	"rundown/sim/study"
)

// Where little weed and much of it have best dates that the runs tell apart, those are the answer; a
// crossing below what anyone could count is none.
func TestDensityWords(t *testing.T) {
	at := func(i int) decide.Optimum { return decide.Optimum{Best: i, From: i, To: i} }
	sides := func(a, b, c decide.Optimum) []study.Side {
		return []study.Side{{Infestation: 3, Best: a}, {Infestation: 58, Best: b}, {Infestation: 430, Best: c}}
	}
	wide := decide.Optimum{Best: 1, From: 0, To: 2}
	for _, x := range []struct {
		sides []study.Side
		cross float64
		want  string
	}{
		{sides(at(0), at(2), at(2)), 0.018, "12 Sep is best with 3 heads per m² in the June before, 12 Oct with 58 or more."},
		{sides(at(0), at(1), at(2)), 0.018, "12 Sep is best with 3 heads per m² in the June before, 12 Oct with 430."},
		{sides(at(2), at(2), at(2)), 0.018, "Even where hardly a head is to be found 12 Oct earns more than 12 Sep."},
		{sides(wide, at(2), at(2)), 0.5, "Only on cleaner land does 12 Sep earn more than 12 Oct: under about one head in 2 m² in the June before."},
	} {
		day := func(month time.Month, d int) date.Day { return date.Of(2026, month, d) }
		d := &study.Drilling{Sides: x.sides, Early: 0, Late: 2, Cross: decide.Crossover{Density: x.cross}}
		d.Dates = []date.Day{day(9, 12), day(9, 27), day(10, 12)}
		s := &sweep{Run: Run{Calendar: &rotations.Calendar{}}, Found: d, Drilling: d}
		if got := s.densityWords(); got != x.want {
			t.Errorf("%q, want %q", got, x.want)
		}
	}
}
