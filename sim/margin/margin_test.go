package margin

import "testing"

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
