// Package margin counts the money of a season: yield times price, less the
// crop's variable costs, less the operations actually done, so that a plan
// which waits for weather pays for its waiting.
package margin

// Account is the money of one season so far, per ha in the plan's currency.
type Account struct {
	Spent float64
}

// Spend books an operation that was done.
func (a *Account) Spend(costPerHa float64) { a.Spent += costPerHa }

// Margin closes the account: yieldT in t/ha at the crop's price.
func (a *Account) Margin(yieldT float64, m *CropMoney) float64 {
	return yieldT*m.PricePerT - a.Spent
}

// SeedBeyondUsual is what seed costs per ha beyond the rate that the variable
// cost pays for; below 0 where less is sown.
func (m *CropMoney) SeedBeyondUsual(seedsPerM2 float64) float64 {
	const m2, thousand, gPerKg = 10000, 1000, 1000
	kg := (seedsPerM2 - m.SeedsPerM2) * m2 * m.ThousandG / thousand / gPerKg
	return kg * m.SeedPerKg
}
