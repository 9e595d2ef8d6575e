package study

import "testing"

// A season is told of as missed where the table has its crop in 90 of 100 runs or fewer, so that
// of two seasons that read alike there not one alone is told of.
func TestMissedAsTheTableShowsIt(t *testing.T) {
	for share, told := range map[float64]bool{0.90: true, 0.904: true, 0.906: false, 0.896: true, 0.91: false, 1: false} {
		w := notDrilled(0, &Season{Drilled: &Drilled{Share: share}})
		if (w != nil) != told {
			t.Errorf("grown in %g of the runs: told of %v, expected %v", share, w != nil, told)
		}
	}
	if notDrilled(0, &Season{}) != nil {
		t.Error("a crop that is not drilled cannot be missed")
	}
}
