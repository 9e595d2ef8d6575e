package seedbank

// Params are the seed values of one weed. The tags name the key and unit in
// the library (kind weeds); sim binds them.
type Params struct {
	BaseTemperatureC    float64 `lib:"base_temperature" unit:"°C"`
	OptimumTemperatureC float64 `lib:"optimum_temperature" unit:"°C"`
	BasePotentialMPa    float64 `lib:"base_water_potential" unit:"MPa"` // at 12 °C
	BasePotentialRise   float64 `lib:"base_water_potential_warmth" unit:"MPa/°C"`
	EmergenceTimeCd     float64 `lib:"emergence_thermal_time" unit:"°C d"` // median, ready seed to emerged
	// Share of the full germination rate (fresh seed) or of the share ready (old seed), by layer.
	GerminationSurface float64 `lib:"germination_surface" unit:"fraction"`
	Germination0to5    float64 `lib:"germination_0_5" unit:"fraction"`
	Germination5to10   float64 `lib:"germination_5_10" unit:"fraction"`
	GerminationDeeper  float64 `lib:"germination_deeper" unit:"fraction"`
	// Share of sprouted seed that reaches the light, by layer.
	EmergenceSurface float64 `lib:"emergence_surface" unit:"fraction"`
	Emergence0to5    float64 `lib:"emergence_0_5" unit:"fraction"`
	EmergencePlaced  float64 `lib:"emergence_placed" unit:"fraction"` // 0–5 cm, placed by a low-disturbance drill
	Emergence5to10   float64 `lib:"emergence_5_10" unit:"fraction"`
	Emergence10to15  float64 `lib:"emergence_10_15" unit:"fraction"`
	Emergence15to20  float64 `lib:"emergence_15_20" unit:"fraction"`
	// After-ripening and dormancy.
	AutumnRipe          float64 `lib:"autumn_ripening_date" unit:"date"`
	AutumnRipeScaleD    float64 `lib:"autumn_ripening_scale" unit:"d"`
	AutumnRipeShiftD    float64 `lib:"autumn_ripening_shift" unit:"d"` // per unit of non-dormant share away from its mean
	SpringRipe          float64 `lib:"spring_ripening_date" unit:"date"`
	SpringRipeScaleD    float64 `lib:"spring_ripening_scale" unit:"d"`
	AutumnShare         float64 `lib:"autumn_ready_share" unit:"fraction"`
	NonDormant          float64 `lib:"non_dormant_share" unit:"fraction"`
	NonDormantPerDegree float64 `lib:"non_dormant_warmth" unit:"logit/°C"`
	NonDormantYearSD    float64 `lib:"non_dormant_year_sd" unit:"logit"`
	NonDormantSiteSD    float64 `lib:"non_dormant_site_sd" unit:"logit"`
	OldReady            float64 `lib:"old_ready_share" unit:"fraction"`     // G, where stirred
	OldUnstirred        float64 `lib:"old_ready_unstirred" unit:"fraction"` // u, of G where nobody stirs
	StimulusOld         float64 `lib:"stimulus_old" unit:"fraction"`
	StimulusFresh       float64 `lib:"stimulus_fresh" unit:"fraction"`
	StimulusMoist       float64 `lib:"stimulus_moist_factor" unit:"factor"`
	StimulusDry         float64 `lib:"stimulus_dry_factor" unit:"factor"`
	MoistAboveFC        float64 `lib:"stimulus_moist_above" unit:"fraction"` // water of the top, of field capacity
	DryBelowKr          float64 `lib:"stimulus_dry_below" unit:"fraction"`   // Kr of the surface
	ReturnDate          float64 `lib:"secondary_dormancy_date" unit:"date"`
	ReturnAutumnDate    float64 `lib:"secondary_dormancy_autumn_date" unit:"date"`
	ReturnScaleD        float64 `lib:"secondary_dormancy_scale" unit:"d"`
	ReturnRate          float64 `lib:"secondary_dormancy_rate" unit:"1/d"`
	// Death.
	SurfaceDeath       float64 `lib:"surface_death_moist" unit:"1/d"`
	SurfaceDeathDry    float64 `lib:"surface_death_dry_extra" unit:"1/d"`
	SurfaceDeathStraw  float64 `lib:"surface_death_straw_factor" unit:"factor"`
	SurfaceDeathWinter float64 `lib:"surface_death_winter" unit:"1/d"`
	ShelteredSkin      float64 `lib:"sheltered_skin" unit:"fraction"` // of the skin's drying, spared where straw or stubble lies
	SelfBurial         float64 `lib:"self_burial" unit:"1/d"`         // from the surface into 0–5 cm
	Eaten              float64 `lib:"eaten_share" unit:"fraction"`
	BuriedDeath        float64 `lib:"buried_death" unit:"fraction/yr"`
	// What the yearly cycle as a whole is known to give (model, §10).
	ReturnTarget   float64 `lib:"return_target" unit:"seeds/seed"` // R
	ReturnTargetSD float64 `lib:"return_target_sd" unit:"ln"`
	OldShareTarget float64 `lib:"old_share_target" unit:"fraction"`
	OldShareSD     float64 `lib:"old_share_target_sd" unit:"fraction"`
}

// Stimulus is the factor on what a pass makes ready: topFC is the water of the
// top of the soil in field capacities, kr the Kr of its surface.
func (p *Params) Stimulus(topFC, kr float64) float64 {
	switch {
	case kr < p.DryBelowKr:
		return p.StimulusDry
	case topFC > p.MoistAboveFC:
		return p.StimulusMoist
	}
	return 1
}
