package weather

// wetFromMM is the least rain of a wet day: the day that climate tables count.
const wetFromMM = 1

// leastShape keeps the gamma of very uneven rain drawable. Geng's shape
// 1/(1.83 − 2.16/μ) stays above 0.54, so only odd input meets it.
const leastShape = 0.1

// chain is a two-state first-order Markov chain of wet and dry days.
type chain struct {
	wetAfterDry, wetAfterWet float64 // p01, p11
}

// gengChain is the chain of a wet-day fraction f and persistence r = p11 − p01:
// p01 = (1 − r)·f, p11 = r + p01, whose share of wet days is f. With r = 0.25
// it is that of Geng, Penning de Vries & Supit 1986 (Agric. For. Meteorol. 36:363).
func gengChain(f, r float64) chain {
	p := (1 - r) * f
	return chain{p, r + p}
}

// gengAmounts gives shape and scale (mm) of gamma amounts of a mean per wet
// day, by the same authors: scale −2.16 + 1.83·mean, and 1.11·mean for means
// below 3 mm, where the line would turn negative. A shape below 0.1 is raised to 0.1.
func gengAmounts(meanMM float64) (shape, scaleMM float64) {
	scaleMM = -2.16 + 1.83*meanMM
	if meanMM < 3 {
		scaleMM = 1.11 * meanMM
	}
	shape = max(leastShape, meanMM/scaleMM)
	return shape, meanMM / shape
}

// wetDayVariance is the variance of the number of wet days among n (Katz 1977,
// J. Appl. Meteorol. 16:671, in the long-run form).
func (c chain) wetDayVariance(n float64) float64 {
	pi, r := c.wetShare(), c.wetAfterWet-c.wetAfterDry
	return n * pi * (1 - pi) * (1 + r) / (1 - r)
}

// totalVariance is that of their rain, given mean and variance of an amount.
func (c chain) totalVariance(n, mean, variance float64) float64 {
	return n*c.wetShare()*variance + mean*mean*c.wetDayVariance(n)
}

// wetShare is the long-run share of wet days.
func (c chain) wetShare() float64 {
	return c.wetAfterDry / (1 + c.wetAfterDry - c.wetAfterWet)
}

// rainMonth is the rain of one month as the generator makes it: on wet days
// 1 mm, the least that counts, plus a gamma amount after Geng et al. Taking
// their gamma from zero instead would put a fifth of the wet days below 1 mm,
// and makes single days of Seattle and New York a fifth too uneven.
type rainMonth struct {
	chain
	wet    float64 // share of days
	meanMM float64 // of what a wet day has above 1 mm
	shape  float64
	factor float64 // variance of the month's mean of the factor on that amount
}

func newRainMonth(c *Climate, m int) rainMonth {
	n := monthLength(m)
	f := min(0.98, max(0.001, c.WetDays[m]/n))
	r := rainMonth{chain: gengChain(f, c.Persistence[m]), wet: f}
	perDay := c.RainMM[m] / (f * n)
	r.meanMM = max(0.05, perDay-wetFromMM)
	var scale float64
	r.shape, scale = gengAmounts(r.meanMM)
	own := r.totalVariance(n, perDay, r.meanMM*scale)
	asked := c.RainYearSD[m] * c.RainYearSD[m]
	// The factor multiplies each amount: its share of the variance is that of the
	// month's amounts, mean square included.
	above := f * n * r.meanMM
	square := above*above + r.totalVariance(n, r.meanMM, r.meanMM*scale)
	r.factor = max(0, asked-own) / square
	return r
}
