package soil

import "testing"

// Campbell's line of the clay of Clapp & Hornberger 1978, Table 2 (b 11.4,
// ψs −40.5 cm, θs 0.482; 9.80665e−5 MPa per cm), computed outside this project.
func TestCampbellClay(t *testing.T) {
	const psiS, b, thetaS = -40.5 * 9.80665e-5, 11.4, 0.482
	for _, c := range [][2]float64{{.45, -0.008691}, {.40, -0.033283}, {.35, -0.152523}, {.30, -0.884157}, {.27, -2.938766}} {
		near(t, "ψ", campbell(c[0], thetaS, psiS, b), c[1], 5.01e-7)
	}
	// The same table's contents at −33 kPa and −1.5 MPa give b back.
	near(t, "b", campbellSlope(.4003, -0.033, .2864, -1.5), b, 0.01)
}

// The slope of a line through −33 and −1500 kPa: B of Saxton & Rawls 2006 for
// their clay, clay loam and silty clay (recomputed outside this project).
func TestSlopeOfSaxtonAndRawls(t *testing.T) {
	for _, c := range [][3]float64{{.2979, .4206, 11.0649}, {.2180, .3579, 7.6983}, {.2678, .4091, 9.0042}} {
		near(t, "b", campbellSlope(c[1], -0.033, c[0], -1.5), c[2], 0.01)
	}
}

// The table goes through the soil's own two points, follows the line between
// them within 0.2 %, and holds its ends.
func TestRetentionTable(t *testing.T) {
	for _, p := range []Params{clay(), sandyLoam()} {
		r := newRetention(p)
		near(t, "ψ at field capacity", r.at(1), -0.033, 0.033*0.001)
		wp := p.WiltingPoint / p.FieldCapacity
		near(t, "ψ at wilting point", r.at(wp), -1.5, 1.5*0.001)
		b := campbellSlope(p.FieldCapacity, -0.033, p.WiltingPoint, -1.5)
		last := r.at(0)
		for rel := wp / 2; rel < p.Saturation/p.FieldCapacity; rel += 0.00137 {
			want := campbell(rel, 1, -0.033, b)
			near(t, "ψ", r.at(rel)/want, 1, 0.002)
			if r.at(rel) < last {
				t.Fatalf("ψ falls as the soil gets wetter, at %g of field capacity", rel)
			}
			last = r.at(rel)
		}
		if wet := p.Saturation / p.FieldCapacity; r.at(wet+1) != r.at(wet) {
			t.Errorf("ψ beyond saturation is %g, at saturation %g", r.at(wet+1), r.at(wet))
		}
	}
}
