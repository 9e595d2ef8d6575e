package update

import "rundown/params"

// Germinates is the share of the viable seed in a core that shows as seedlings
// when the soil is kept warm and moist for some weeks: dormant seed stays hidden.
// It stands between cores and the bank, one draw for a field.
func Germinates() *params.Value {
	return &params.Value{
		Path: "counts/cores/germinates", Label: "share of the seed in a core that germinates", Short: "seed in cores that shows", Unit: "fraction",
		Central: 0.6, Spread: params.Spread{Kind: params.Triangular, A: 0.3, B: 0.6, C: 0.9}, Low: 0, High: 1,
		Grade: params.Assumed, Source: "assumed", From: "library",
	}
}
