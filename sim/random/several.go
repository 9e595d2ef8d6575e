package random

// Several adds up binomials of different chances that are of interest only all together: their
// cumulants add, so that one Cornish–Fisher quantile draws their sum.
type Several struct {
	n                  int64
	k1, k2, k3, k4, k5 float64
}

// Add adds n trials of chance p, which is taken into [0, 1].
func (s *Several) Add(n int64, p float64) {
	p = min(max(p, 0), 1)
	q := 1 - p
	mean, pq := float64(n)*p, p*q
	v := mean * q
	s.n += n
	s.k1 += mean
	s.k2 += v
	s.k3 += v * (q - p)
	s.k4 += v * (1 - 6*pq)
	s.k5 += v * (q - p) * (1 - 12*pq)
}

// Trials is how many have been added.
func (s *Several) Trials() int64 { return s.n }

// Many tells that there are enough of them for Draw: a variance above 40. A sum may be heavy on both sides, as no
// single binomial is; the quantile needs twice the variance for it.
func (s *Several) Many() bool { return s.k2 > 2*switchMean }

// Draw is the number of successes, monotone in the one uniform u, which is inside (0,1). Where there are
// Many its probabilities differ from the exact ones by at most 6e-5·(32/v)², absolute differences
// summed over all counts, v being the variance.
func (s *Several) Draw(u float64) int64 {
	return nearest(cornishFisher(tabledNormal(u), s.k1, s.k2, s.k3, s.k4, s.k5), s.n)
}
