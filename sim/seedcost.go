package sim

import (
	"rundown/rotations"
	"rundown/sim/margin"
)

// SeedCost is what the seed of a drilled course costs per ha, at central values.
func SeedCost(c *rotations.Course) float64 {
	m := margin.CropMoney{ThousandG: c.Crop.Value("thousand_seed_weight").Central, SeedPerKg: c.Crop.Value("seed_price").Central}
	return m.SeedBeyondUsual(c.Drill.SeedsPerM2) // beyond none
}
