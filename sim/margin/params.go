package margin

// CropMoney are the prices of one crop (library kind crops). The unit is the
// plan's currency per what is named.
type CropMoney struct {
	PricePerT     float64 `lib:"price" unit:"money/t"`
	VariablePerHa float64 `lib:"variable_cost" unit:"money/ha"` // seed, fertiliser, sprays other than grass-weed herbicides
	HarvestPerHa  float64 `lib:"harvest_cost" unit:"money/ha"`
	SeedsPerM2    float64 `lib:"seed_rate" unit:"seeds/m²"` // that VariablePerHa pays for
	ThousandG     float64 `lib:"thousand_seed_weight" unit:"g"`
	SeedPerKg     float64 `lib:"seed_price" unit:"money/kg"`
}

// OperationMoney is the cost of one pass (implements, herbicides, covers).
type OperationMoney struct {
	CostPerHa float64 `lib:"cost" unit:"money/ha"`
}
