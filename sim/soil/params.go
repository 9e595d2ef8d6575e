package soil

// Params are the values of one soil (library kind soils).
type Params struct {
	FieldCapacity  float64 `lib:"field_capacity" unit:"m³/m³"`
	WiltingPoint   float64 `lib:"wilting_point" unit:"m³/m³"`
	Saturation     float64 `lib:"saturation" unit:"m³/m³"`
	REWmm          float64 `lib:"readily_evaporable_water" unit:"mm"`
	DrainageTop    float64 `lib:"drainage_top" unit:"1/d"`   // of water above field capacity, 0–10 cm
	DrainageLower  float64 `lib:"drainage_lower" unit:"1/d"` // 10–60 cm
	ClayShare      float64 `lib:"clay_share" unit:"fraction"`
	WorkPF         float64 `lib:"workable_pf" unit:"pF"`                     // ground without clay carries a cultivation above this suction
	WorkPFClay     float64 `lib:"workable_pf_clay" unit:"pF"`                // how far that rises to half of clay
	DrillSuction   float64 `lib:"workable_drill_suction" unit:"factor"`      // what a drill asks for, over a cultivation
	SpraySuction   float64 `lib:"workable_spray_suction" unit:"factor"`      // what a sprayer asks for
	WorkSite       float64 `lib:"workable_site" unit:"factor"`               // the field's own, drawn: Limits takes it
	DrySubsoil     float64 `lib:"workable_dry_subsoil" unit:"fraction"`      // a dry subsoil bears: rise of the limits per unit of its want (Bears)
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
