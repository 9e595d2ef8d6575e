package random

import (
	"math"
	"testing"
)

// The tabled quantile is the quantile (AS 241, which quantile tests hold against
// SciPy) to 1e-13 and never falls from one uniform to the next by more than that.
func TestTabledNormal(t *testing.T) {
	worst := 0.0
	for k := range 400_001 {
		u := (float64(k) + 0.5) / 400_001
		worst = max(worst, math.Abs(tabledNormal(u)-Normal(u)), math.Abs(NormalQuick(u)-Normal(u)))
	}
	for p := 0.5; p > 1e-15; p *= 0.999 {
		worst = max(worst, math.Abs(tabledNormal(p)-Normal(p)), math.Abs(tabledNormal(1-p)-Normal(1-p)),
			math.Abs(NormalQuick(p)-Normal(p)), math.Abs(NormalQuick(1-p)-Normal(1-p)))
	}
	t.Logf("greatest error %.2g", worst)
	if worst > 1e-13 {
		t.Errorf("the table is off by %.2g", worst)
	}
	if tabledNormal(0.5) != 0 {
		t.Errorf("the median is %v", tabledNormal(0.5))
	}
}
