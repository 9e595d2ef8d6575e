package margin

import (
	"math"
	"testing"
)

// Margin is yield times price less what was spent: the layout of gross margins
// in farm budgeting handbooks (common practice, no source).
func TestMargin(t *testing.T) {
	var a Account
	for _, cost := range []float64{560, 115, 42.5} {
		a.Spend(cost)
	}
	if got := a.Margin(9, &CropMoney{PricePerT: 135}); got != 9*135-717.5 {
		t.Errorf("margin %v, expected %v", got, 9*135-717.5)
	}
}

// 350 seeds of 50 g a thousand are 175 kg a hectare (arithmetic), so 100 more are 50 kg.
func TestSeedBeyondUsual(t *testing.T) {
	m := CropMoney{SeedsPerM2: 350, ThousandG: 50, SeedPerKg: 0.6}
	for seeds, want := range map[float64]float64{350: 0, 450: 30, 150: -60} {
		if got := m.SeedBeyondUsual(seeds); math.Abs(got-want) > 1e-9 {
			t.Errorf("%v seeds/m²: %v more a hectare, expected %v", seeds, got, want)
		}
	}
}
