package decay

import (
	"math"
	"testing"
)

// Against math.Exp: relative errors below 2e-13 for e^−x, 1e-12 for what is made of it.
func TestDecay(t *testing.T) {
	near := func(what string, x, got, want, within float64) {
		t.Helper()
		if !(math.Abs(got-want) <= within*math.Abs(want)) {
			t.Fatalf("%s(%v) is %v, expected %v", what, x, got, want)
		}
	}
	for x := 0.0; x < 40; x += 0.0007 {
		near("Left", x, Left(x), math.Exp(-x), 2e-13)
		near("Gone", x, Gone(x), -math.Expm1(-x), 1e-9)
		near("Exp", x, Exp(x), math.Exp(x), 1e-12)
		near("Exp", -x, Exp(-x), math.Exp(-x), 1e-12)
		near("Logistic", x, Logistic(x), 1/(1+math.Exp(-x)), 1e-12)
		near("Logistic", -x, Logistic(-x), 1/(1+math.Exp(x)), 1e-12)
	}
	for x := 1e-12; x < 1e-3; x *= 1.7 {
		near("Gone", x, Gone(x), -math.Expm1(-x), 1e-9)
	}
	for x := 40.0; x < 700; x *= 1.01 {
		near("Left", x, Left(x), math.Exp(-x), 2e-13)
		near("Exp", x, Exp(x), math.Exp(x), 2e-13)
		near("Logistic", -x, Logistic(-x), math.Exp(-x), 1e-12)
	}
	if Left(0) != 1 || Gone(0) != 0 || Left(1e300) != 0 || Logistic(-1e300) != 0 || Logistic(1e300) != 1 || !math.IsInf(Exp(1e300), 1) || Exp(-1e300) != 0 {
		t.Errorf("ends: %v, %v, %v, %v", Left(0), Gone(0), Left(1e300), Logistic(-1e300))
	}
}
