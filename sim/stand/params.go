package stand

// Params are the plant values of one weed (library kind weeds).
type Params struct {
	AutumnSurvival float64 `lib:"survival_autumn" unit:"fraction"`
	SpringSurvival float64 `lib:"survival_spring" unit:"fraction"`
	RegrowthDry    float64 `lib:"regrowth_dry_below" unit:"fraction"`   // topsoil's share of field capacity up to which torn-out seedlings die as in dry soil
	RegrowthMoist  float64 `lib:"regrowth_moist_above" unit:"fraction"` // and from which they live on as in wet soil
	PastRainGSD    float64 `lib:"past_rain_gsd" unit:"gsd"`             // one past year's rain of seed over the year before's
	MaxPlantsPerM2 float64 `lib:"max_plants" unit:"plants/m²"`          // self-thinning asymptote
	// Fecundity by date of emergence, against a plant up by 15 September.
	RhoFebruary      float64 `lib:"fecundity_february" unit:"fraction"`    // emerged 1 February, in a winter crop
	RhoSpringCrop    float64 `lib:"fecundity_spring_crop" unit:"fraction"` // emerged after 15 January, in a spring crop
	RhoLateSpring    float64 `lib:"fecundity_late_spring" unit:"fraction"` // further factor after 20 April
	HeadsPerPlant    float64 `lib:"heads_per_plant" unit:"heads/plant"`    // h1, at zero density in winter wheat
	MaxHeadsPerM2    float64 `lib:"max_heads" unit:"heads/m²"`             // Hmax
	SeedsPerHead     float64 `lib:"seeds_per_head" unit:"seeds/head"`
	SeedsPerHeadLate float64 `lib:"seeds_per_head_late" unit:"seeds/head"` // on plants emerged after 15 January
	Viability        float64 `lib:"viability" unit:"fraction"`
	CrowdingExponent float64 `lib:"seed_crowding_exponent" unit:"number"`
	SeedSeasonGSD    float64 `lib:"seed_season_gsd" unit:"gsd"`
	// Heads, against the date by which half of them are out in winter wheat.
	HeadsDate        float64 `lib:"heads_date" unit:"date"`
	HeadsSDD         float64 `lib:"heads_sd" unit:"d"`
	StemsBeforeD     float64 `lib:"stems_before_heads" unit:"d"`        // shoots stand above a cut so much earlier
	SetAfterD        float64 `lib:"seed_set_after_heads" unit:"d"`      // killing plants no longer spoils seed so much later
	RegrowthBeforeD  float64 `lib:"regrowth_before_heads" unit:"d"`     // so much earlier half of regrowth has gone
	RegrowthSDD      float64 `lib:"regrowth_sd" unit:"d"`               // spread of that
	RegrowthAfterCut float64 `lib:"regrowth_after_cut" unit:"fraction"` // of shoots cut early, made good
	ShedDate         float64 `lib:"shedding_date" unit:"date"`
	ShedSDD          float64 `lib:"shedding_sd" unit:"d"`
	ShedYearSDD      float64 `lib:"shedding_year_sd" unit:"d"`
	ShedSpringCropD  float64 `lib:"shedding_spring_crop_delay" unit:"d"`
	WithGrain        float64 `lib:"carried_off_with_grain" unit:"fraction"` // of what is unshed at harvest
	LeafCd           float64 `lib:"leaf_thermal_time" unit:"°C d"`          // per leaf
	TillersSixCd     float64 `lib:"six_tillers_thermal_time" unit:"°C d"`
	// Competition with the crop.
	LossPerHead float64 `lib:"yield_loss_per_head" unit:"fraction m²/head"` // i
	MaxLoss     float64 `lib:"yield_loss_max" unit:"fraction"`              // A
	PatchinessK float64 `lib:"patchiness_k" unit:"number"`
	CompetesTo  float64 `lib:"competes_until" unit:"date"`
}
