package herbicide

import (
	"math"
	"testing"
)

// A move of log odds leaves none and all where they are, and undoes itself.
func TestMoved(t *testing.T) {
	for _, k := range []float64{0, 0.2, 0.95, 1} {
		if got := Moved(Moved(k, -2.1), 2.1); math.Abs(got-k) > 1e-12 {
			t.Errorf("%g moved back and forth is %g", k, got)
		}
	}
	if got := Moved(0.7, -2); math.Abs(math.Log(got/(1-got))-(math.Log(0.7/0.3)-2)) > 1e-12 {
		t.Errorf("0.7 moved by −2 is %g", got)
	}
}
