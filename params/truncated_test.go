package params

import (
	"math"
	"testing"
)

// Quantiles of normals cut off at a value's limits, both tails: scipy 1.10.1,
// scipy.stats.truncnorm.ppf(u, (low − mean)/sd, (high − mean)/sd, mean, sd).
func TestTruncatedNormal(t *testing.T) {
	u := [5]float64{0.001, 0.05, 0.5, 0.95, 0.999}
	for _, x := range []struct {
		mean, sd, low, high float64
		want                [5]float64
	}{
		{0.9, 0.2, 0, 1, [5]float64{0.26064419605737277, 0.5365158353822763, 0.8206266864352938, 0.9807977522160223, 0.999607390919142}},
		{-70, 25, -90, 0, [5]float64{-89.93227801221462, -86.77306868746186, -63.36494792711643, -26.75544666725783, -2.1920419521113104}},
		{5, 3, 0, 100, [5]float64{0.02849020565154614, 1.0753662675126137, 5.179796548627353, 10.005432651958325, 14.314240606632573}},
		{0.02, 0.05, 0, 1, [5]float64{8.895493162173682e-05, 0.004377508851693173, 0.04231214885476077, 0.11207709914424507, 0.18067975852039994}},
	} {
		v := Value{Central: x.mean, Low: x.low, High: x.high, Spread: Spread{Kind: Normal, A: x.sd}}
		for i, want := range x.want {
			if got := v.Quantile(u[i]); math.Abs(got-want) > 1e-9*x.sd {
				t.Errorf("normal(%g, %g) within %g and %g: quantile %g is %.12g, SciPy: %.12g", x.mean, x.sd, x.low, x.high, u[i], got, want)
			}
		}
	}
}
