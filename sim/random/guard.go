package random

import (
	"fmt"
	"math"
)

// maxCount bounds numbers of trials and means: beyond it a float64 no longer
// tells neighbouring counts apart with room to spare.
const maxCount = 1e15

// inside takes a uniform into (0,1): what is at or beyond an end becomes the
// smallest or largest value that Key.Uniform gives. NaN is a mistake in the
// program, and panics.
func inside(u float64, sampler string) float64 {
	if u > 0 && u < 1 {
		return u
	}
	switch {
	case u <= 0:
		return 0x1p-53
	case u >= 1:
		return 1 - 0x1p-53
	}
	panic("random: " + sampler + ": the uniform is NaN")
}

// stop panics for an argument that no clamping can save.
func stop(sampler, argument string, found float64, expected string) {
	panic(fmt.Sprintf("random: %s: %s is %v; it must be %s", sampler, argument, found, expected))
}

// checkMean takes a mean into [0, maxCount]; rounding below 0 becomes 0.
func checkMean(mean float64, sampler string) float64 {
	if mean > maxCount || math.IsNaN(mean) {
		stop(sampler, "the mean", mean, "a number up to 1e15")
	}
	return max(mean, 0)
}
