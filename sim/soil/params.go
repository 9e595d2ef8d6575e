package soil

// Params are the values of one soil (library kind soils).
type Params struct {
	FieldCapacity  float64 `lib:"field_capacity" unit:"m³/m³"`
	WiltingPoint   float64 `lib:"wilting_point" unit:"m³/m³"`
	Saturation     float64 `lib:"saturation" unit:"m³/m³"`
	REWmm          float64 `lib:"readily_evaporable_water" unit:"mm"`
	DrainageTop    float64 `lib:"drainage_top" unit:"1/d"`           // of water above field capacity, 0–10 cm
	DrainageLower  float64 `lib:"drainage_lower" unit:"1/d"`         // 10–60 cm
	WorkableDrill  float64 `lib:"workable_drilling" unit:"fraction"` // top store below this share of field capacity carries a drill
	WorkableTill   float64 `lib:"workable_cultivation" unit:"fraction"`
	WorkableSpray  float64 `lib:"workable_spraying" unit:"fraction"`
	DrySubsoil     float64 `lib:"workable_dry_subsoil" unit:"fraction"`      // rise of those thresholds per unit that the lower store is below field capacity: a dry subsoil bears
	ResidueShade   float64 `lib:"residue_evaporation_cut" unit:"fraction"`   // per unit of ground covered by dead residue
	EvaporationMax float64 `lib:"evaporation_coefficient_max" unit:"factor"` // Kcmax: evaporation from wet ground over ET0
	CapillaryRise  float64 `lib:"capillary_rise" unit:"1/d"`                 // share of the top store's lag behind the lower that rises in a day
	RootsInTop     float64 `lib:"transpiration_from_top" unit:"fraction"`    // share of transpiration taken from 0–10 cm
	// Daily lag of soil temperature behind mean air temperature: the share of
	// the gap that closes in a day; 1 follows the air at once.
	LagSurface float64 `lib:"temperature_lag_surface" unit:"1/d"`
	Lag0to5    float64 `lib:"temperature_lag_0_5" unit:"1/d"`
	Lag5to10   float64 `lib:"temperature_lag_5_10" unit:"1/d"`
	LagDeeper  float64 `lib:"temperature_lag_deeper" unit:"1/d"` // 10–15 and 15–20 cm
}
