package crop

// Params are the values of one crop (library kind crops). Money belongs to margin.
type Params struct {
	EmergenceTimeCd float64 `lib:"emergence_thermal_time" unit:"°C d"` // drilling to emergence, base 0 °C
	Establishment   float64 `lib:"establishment" unit:"fraction"`
	// Of that, what is left where it is drilled very late; from the date on, towards it by 1/e in the scale.
	EstablishLate   float64 `lib:"establishment_late_share" unit:"fraction"`
	EstablishFrom   float64 `lib:"establishment_falls_from" unit:"date"`
	EstablishScaleD float64 `lib:"establishment_fall_scale" unit:"d"`
	CoverTimeCd     float64 `lib:"half_cover_thermal_time" unit:"°C d"` // emergence to half of full ground cover
	KcbFull         float64 `lib:"kcb_full_cover" unit:"fraction"`
	Heads           float64 `lib:"weed_heads_factor" unit:"factor"` // c, against winter wheat
	LossFactor      float64 `lib:"yield_loss_factor" unit:"factor"` // on i
	HeadsThreshold  float64 `lib:"heads_threshold" unit:"heads/m²"` // heads to stay under, where the user names none
	YieldTPerHa     float64 `lib:"yield" unit:"t/ha"`               // weed-free, at the best date
	YieldSeasonGSD  float64 `lib:"yield_season_gsd" unit:"gsd"`
	YieldFieldGSD   float64 `lib:"yield_field_gsd" unit:"gsd"`
	// Yield and weed heads by the plants that stand (stand.go).
	UsualStandM2 float64 `lib:"usual_stand" unit:"plants/m²"`
	HalfStand    float64 `lib:"stand_half" unit:"fraction"`       // of the usual stand
	ThickLoss    float64 `lib:"stand_thick_loss" unit:"fraction"` // of yield, per usual stand beyond thickFrom
	// Share of yield lost per day of drilling before the first date, after the second, and from the third.
	BestFrom      float64 `lib:"drilling_best_from" unit:"date"`
	TooEarlyLoss  float64 `lib:"drilling_loss_early" unit:"fraction/d"` // a day before BestFrom
	BestUntil     float64 `lib:"drilling_best_until" unit:"date"`
	EarlyLoss     float64 `lib:"drilling_loss_first" unit:"fraction/d"` // from BestUntil to LateFrom
	LateFrom      float64 `lib:"drilling_late_from" unit:"date"`
	LateLoss      float64 `lib:"drilling_loss_late" unit:"fraction/d"`
	StrawCover    float64 `lib:"straw_cover" unit:"fraction"`   // ground covered by chopped straw after harvest
	StubbleCover  float64 `lib:"stubble_cover" unit:"fraction"` // ground under stubble and litter after harvest, whatever becomes of the straw
	StrawHalfLife float64 `lib:"straw_half_life" unit:"d"`
	HarvestDate   float64 `lib:"harvest_date" unit:"date"`
	HarvestSDD    float64 `lib:"harvest_sd" unit:"d"`
}

// CoverParams are the values of one cover crop (library kind covers).
type CoverParams struct {
	MaxCover        float64 `lib:"ground_cover_max" unit:"fraction"`
	HalfCoverCd     float64 `lib:"half_cover_thermal_time" unit:"°C d"` // sowing to half of full cover, base 0 °C
	SlopeCd         float64 `lib:"cover_growth_scale" unit:"°C d"`
	Kcb             float64 `lib:"kcb_full_cover" unit:"fraction"`
	EmergenceLoss   float64 `lib:"emergence_suppression" unit:"fraction"` // of seed that would sprout at full cover, kept dormant
	GrowthLoss      float64 `lib:"growth_suppression" unit:"fraction"`    // of fecundity of what emerged in it, at full cover
	FrostKillC      float64 `lib:"frost_kill" unit:"°C"`                  // Tmin that kills it; −60 for a hardy one
	ResidueHalfLife float64 `lib:"residue_half_life" unit:"d"`
	ResidueLoss     float64 `lib:"residue_suppression" unit:"fraction"` // of emergence after destruction, at full cover
	ResidueDays     float64 `lib:"residue_suppression_days" unit:"d"`
	YieldEffect     float64 `lib:"yield_effect" unit:"fraction"`    // on the next crop
	YieldEffectSD   float64 `lib:"yield_effect_sd" unit:"fraction"` // season to season
}

// SwardParams are the values of a crop that stands for years, 0 for others.
type SwardParams struct {
	Suppression float64 `lib:"sward_suppression" unit:"fraction"` // of weed seedlings as they come up, at full ground cover
}
