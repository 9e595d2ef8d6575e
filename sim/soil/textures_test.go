package soil

import (
	"math"
	"testing"
)

// Campbell's line through saturation for the eleven textures of Clapp &
// Hornberger 1978, Table 2 (as two public programs transcribe it), at the water contents of −33 and
// −1,500 kPa that were computed outside this project to four decimals: the
// tolerance is what that rounding makes of ψ. And the line through the two
// contents, which is how a soil's own is laid, has the published slope.
func TestClappAndHornbergerTextures(t *testing.T) {
	const perCm = 9.80665e-5 // MPa
	for _, x := range []struct {
		texture             string
		b, psiCm, saturated float64
		field, wilting      float64
	}{
		{"sand", 4.05, 12.1, .395, .1738, .0677},
		{"loamy sand", 4.38, 9.0, .410, .1794, .0750},
		{"sandy loam", 4.90, 21.8, .435, .2488, .1142},
		{"silt loam", 5.30, 78.6, .485, .3686, .1794},
		{"loam", 5.39, 47.8, .451, .3140, .1547},
		{"sandy clay loam", 7.12, 29.9, .420, .2989, .1749},
		{"silty clay loam", 7.75, 35.6, .477, .3570, .2182},
		{"clay loam", 8.52, 63.0, .476, .3910, .2498},
		{"sandy clay", 10.4, 15.3, .426, .3165, .2193},
		{"silty clay", 10.4, 49.0, .492, .4088, .2832},
		{"clay", 11.4, 40.5, .482, .4003, .2864},
	} {
		for theta, psi := range map[float64]float64{x.field: -0.033, x.wilting: -1.5} {
			rounding := -psi * (math.Pow(1-5.01e-5/theta, -x.b) - 1)
			near(t, x.texture+": ψ", campbell(theta, x.saturated, -x.psiCm*perCm, x.b), psi, rounding)
		}
		// Each content is off by at most 5e-5: so is their logarithm, relatively.
		off := x.b * (5e-5/x.field + 5e-5/x.wilting) / math.Log(x.field/x.wilting)
		near(t, x.texture+": b", campbellSlope(x.field, -0.033, x.wilting, -1.5), x.b, 1.01*off)
	}
}
