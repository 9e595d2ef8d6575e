package soil

import "math"

// Water potential at the two points that define a soil's contents, MPa.
const (
	fieldCapacityMPa = -0.033
	wiltingPointMPa  = -1.5
)

// retentionSteps is the number of straight pieces of the table; the error of a
// clay is then below 0.1 % between wilting point and saturation.
const retentionSteps = 512

// retention is a water retention curve tabulated over θ/θFC.
type retention struct {
	from, perStep float64
	psi           [retentionSteps + 2]float64
}

// campbell is ψ = ψ1 (θ/θ1)^−b, through one point of the line; the units of ψ
// are those of ψ1.
func campbell(theta, theta1, psi1, b float64) float64 {
	return psi1 * math.Pow(theta/theta1, -b)
}

// campbellSlope is b of the line through two points.
func campbellSlope(theta1, psi1, theta2, psi2 float64) float64 {
	return math.Log(psi2/psi1) / math.Log(theta1/theta2)
}

// newRetention tabulates Campbell's line of a soil from half the wilting point,
// the driest that evaporation leaves, to saturation.
func newRetention(p Params) retention {
	b := campbellSlope(p.FieldCapacity, fieldCapacityMPa, p.WiltingPoint, wiltingPointMPa)
	r := retention{from: p.WiltingPoint / 2 / p.FieldCapacity}
	step := (p.Saturation/p.FieldCapacity - r.from) / retentionSteps
	r.perStep = 1 / step
	for i := range r.psi {
		r.psi[i] = campbell(r.from+float64(min(i, retentionSteps))*step, 1, fieldCapacityMPa, b)
	}
	return r
}

// at reads the table at a relative content θ/θFC.
func (r *retention) at(rel float64) float64 {
	x := (rel - r.from) * r.perStep
	if x < 0 {
		x = 0
	}
	if x > retentionSteps {
		x = retentionSteps
	}
	i := int(x)
	return r.psi[i] + (x-float64(i))*(r.psi[i+1]-r.psi[i])
}
