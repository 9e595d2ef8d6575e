package counts

import "math"

// AssumedK stands in where counts cannot tell how patchy a weed is: all
// quadrats empty (0.5 for black-grass in quadrats of 0.1–0.25 m²; from memory).
const AssumedK = 0.5

// NoneUpper is the upper limit of the density when all quadrats are empty: the
// density at which that has the probability left above an interval of a level,
// 0.05 for one of 0.9. With even counts it is then the rule of three, 3 over the
// area (Hanley & Lippman-Hand 1983, JAMA 249:1743–1745); clumping widens it.
func NoneUpper(q []Quadrat, k, level float64) float64 {
	c := cells(q)
	_, area, _ := sums(c)
	least := math.Log((1 - level) / 2)
	low := -least / area // even counts: the limit is never below it
	if k >= mostK {
		return low
	}
	high := low
	for logLik(c, high, k) > least {
		high *= 2
	}
	for range 60 {
		mid := (low + high) / 2
		if logLik(c, mid, k) > least {
			low = mid
		} else {
			high = mid
		}
	}
	return high
}
