package biotype

// Params are the values of how one weed inherits resistance (library kind genes) that do
// not hang on an HRAC group. Those of groups are read by their names: start_share_1, heritability_15 and so on.
type Params struct {
	Outcrossing      float64 `lib:"outcrossing" unit:"fraction"`            // of seed
	Mutation         float64 `lib:"mutation_rate" unit:"per gamete"`        // and gene
	Protection       float64 `lib:"protection" unit:"fraction"`             // of the kill, by two copies
	Cost             float64 `lib:"cost" unit:"fraction"`                   // of heads, two copies; half with one
	CostShare        float64 `lib:"cost_share" unit:"fraction"`             // of fields whose gene has that cost
	TraitCost        float64 `lib:"trait_cost" unit:"1/sd"`                 // fall of ln heads per standard deviation
	PollenOutside    float64 `lib:"pollen_outside" unit:"fraction"`         // from outside the field
	PollenBetween    float64 `lib:"pollen_between_patches" unit:"fraction"` // from the rest of the field
	CorrelationPair  float64 `lib:"correlation_1_2" unit:"number"`          // genetic, between the traits of groups 1 and 2
	CorrelationSoil  float64 `lib:"correlation_3_15" unit:"number"`         // of groups 3 and 15
	CorrelationOther float64 `lib:"correlation_other" unit:"number"`        // of any two others
}
