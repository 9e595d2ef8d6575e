package soil

// FAO-56 constants.
const (
	leastBare         = 0.01 // eq. 75: 1 − fc is kept within 0.01 and 1
	depletionFraction = 0.55 // p, Table 22, of winter and spring cereals
)

// The functions below stand in the inner loop. They compare instead of calling
// min and max, which take several times as long because they mind NaN.

// layer is the evaporating surface layer of FAO-56 chapter 7.
type layer struct {
	tew, rew float64 // total and readily evaporable water, mm
	perDry   float64 // 1/(TEW − REW)
}

func newLayer(tew, rew float64) layer {
	rew = min(rew, 0.99*tew) // the falling stage must have a length
	return layer{tew: tew, rew: rew, perDry: 1 / (tew - rew)}
}

// reduction is Kr (eq. 74) of a depletion below field capacity, mm.
func (l *layer) reduction(depletion float64) float64 {
	kr := (l.tew - depletion) * l.perDry
	if depletion <= l.rew {
		return 1
	}
	if kr < 0 {
		return 0
	}
	return kr
}

// evaporation is Ke (eq. 71): of Kcmax, what the crop's Kcb leaves, cut by Kr,
// and no more than the bare share of the ground can lose.
func evaporation(kr, kcMax, kcb, bare float64) float64 {
	ke, most := kr*(kcMax-kcb), bare*kcMax
	if ke > most {
		return most
	}
	return ke
}

// stress is Ks (eq. 84) of the water left above wilting point, mm; perEasy is
// 1/((1 − p)·TAW).
func stress(left, perEasy float64) float64 {
	ks := left * perEasy
	if ks > 1 {
		return 1
	}
	if ks < 0 {
		return 0
	}
	return ks
}
