package sim_test

import (
	"rundown/sim/biotype"
)

// containerFall is the points of kill that one active loses a year, on average over five, where every plant
// is of the last rain and meets it.
func containerFall(kill, h2, outcrossing float64) float64 {
	u := biotype.Trait{Variance: h2}
	first := u.Kill(kill, 1-h2)
	for range 5 {
		u.Survive(kill, 1-h2)
		u.Variance = biotype.Seed(u.Variance, h2, 1-outcrossing)
	}
	return 100 * (first - u.Kill(kill, 1-h2)) / 5
}
