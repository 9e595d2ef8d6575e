package sim

import (
	"math"

	"rundown/params"
	"rundown/sim/decay"
	"rundown/sim/random"
)

// drawn is the quantile function of an uncertain value, with all that does not
// hang on the uniform worked out: params.Value.Quantile for the inner loop.
type drawn struct {
	v         *params.Value
	kind      params.SpreadKind
	a, b      float64 // lognormal: ln of central and of A; logit-normal: logit and A; normal: mean and A
	from, len float64 // of a normal cut at its limits: the probabilities between them
	table     *quantiles
}

// newDrawn prepares a value. Beta quantiles are slow: they are tabled.
func newDrawn(v *params.Value) drawn {
	d := drawn{v: v, kind: v.Spread.Kind}
	switch d.kind {
	case params.Lognormal:
		d.a, d.b = math.Log(v.Central), math.Log(v.Spread.A)
	case params.LogitNormal:
		d.a, d.b = logit(v.Central), v.Spread.A
	case params.Normal:
		share := func(x float64) float64 { return math.Erfc(-(x-v.Central)/v.Spread.A/math.Sqrt2) / 2 }
		d.a, d.b = v.Central, v.Spread.A
		d.from = share(v.Low)
		d.len = share(v.High) - d.from
	case params.Beta:
		d.table = tabulate(v)
	}
	return d
}

// at is the quantile of a uniform; by table but for the outermost parts, where
// tables are poor.
func (d *drawn) at(u float64) float64 {
	var x float64
	switch d.kind {
	case params.Lognormal:
		x = decay.Exp(d.a + d.b*random.NormalQuick(u))
	case params.LogitNormal:
		x = decay.Logistic(d.a + d.b*random.NormalQuick(u))
	case params.Normal:
		x = d.a + d.b*random.NormalQuick(d.from+u*d.len)
	default:
		if d.table != nil && u > 1.0/256 && u < 1-1.0/256 {
			return d.table.at(u)
		}
		return d.v.Quantile(u)
	}
	if x < d.v.Low {
		return d.v.Low
	}
	if x > d.v.High {
		return d.v.High
	}
	return x
}
