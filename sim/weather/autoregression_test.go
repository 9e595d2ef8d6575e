package weather

import "testing"

// Richardson's A and B as printed in public code (SWAT+, cli_weatgn.f90) from
// his M0 and M1. Row 3 of A differs by 0.002 through rounding of M1, hence the
// tolerance of 0.003; elsewhere half a unit of the last digit printed, and a
// little for rounding of M0 and M1.
func TestRichardsonMatrices(t *testing.T) {
	a, b := autoregression(richardson())
	wantA := matrix{{0.567, 0.086, -0.002}, {0.253, 0.504, -0.050}, {-0.006, -0.039, 0.244}}
	wantB := matrix{{0.781, 0, 0}, {0.328, 0.637, 0}, {0.238, -0.341, 0.873}}
	for i := range 3 {
		tolerance := 0.001
		if i == 2 {
			tolerance = 0.003
		}
		for j := range 3 {
			near(t, "A", a[i][j], wantA[i][j], tolerance)
			near(t, "B", b[i][j], wantB[i][j], tolerance)
		}
	}
}

// The defining identities (Matalas 1967): A M0 = M1, and the process keeps the
// covariance M0 = A M0 Aᵀ + B Bᵀ.
func TestAutoregressionKeepsCovariance(t *testing.T) {
	m0, m1 := temperatureOnly(richardson())
	a, b := autoregression(m0, m1)
	am0 := a.times(m0)
	kept, noise := a.times(m0).times(a.transposed()), b.times(b.transposed())
	for i := range 3 {
		for j := range 3 {
			near(t, "A M0", am0[i][j], m1[i][j], 1e-12)
			near(t, "A M0 Aᵀ + B Bᵀ", kept[i][j]+noise[i][j], m0[i][j], 1e-12)
		}
	}
}
