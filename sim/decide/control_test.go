package decide

import "testing"

// Keeping under a limit, in cases small enough to be reckoned by hand: three
// runs of each season.
func TestKeepsUnder(t *testing.T) {
	for _, c := range []struct {
		why     string
		from    int
		seasons [][]float64
		want    Under
	}{
		{"the median dips under and comes back", 0, [][]float64{{20, 20, 20}, {9, 9, 30}, {8, 12, 12}}, Under{Last: 1.0 / 3, First: 1, Stays: -1}},
		{"it dips, comes back and then stays", 0, [][]float64{{9, 9, 9}, {11, 12, 9}, {1, 2, 30}, {0, 9, 9.9}}, Under{Last: 1, Throughout: 0, First: 0, Stays: 2}},
		{"one run is under all the way", 0, [][]float64{{9, 20, 20}, {9, 5, 5}}, Under{Last: 1, Throughout: 1.0 / 3, First: 1, Stays: 1}},
		{"seasons that are over are none of them", 2, [][]float64{{11, 9, 12}, {1, 2, 30}}, Under{Last: 2.0 / 3, Throughout: 1.0 / 3, First: 3, Stays: 3}},
		{"the limit itself is not under it", 0, [][]float64{{10, 10, 10}}, Under{First: -1, Stays: -1}},
	} {
		if got := keepsUnder(c.seasons, c.from, 10); got != c.want {
			t.Errorf("%s: %+v, expected %+v", c.why, got, c.want)
		}
	}
}
