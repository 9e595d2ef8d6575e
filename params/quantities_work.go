package params

// implementQuantities are the values of an implement, by role.
var implementQuantities = []Quantity{
	{Key: "movement", Unit: "fraction", High: 1, Row: 25, Roles: "cultivator drill", Short: "seed moved between layers",
		Label: "share of the seed of each layer moved to each layer"},
	{Key: "seedling_kill_dry", Unit: "fraction", High: 1, Roles: "cultivator drill", Short: "seedlings killed, dry soil",
		Label: "seedlings killed in dry soil"},
	{Key: "seedling_kill_wet", Unit: "fraction", High: 1, Roles: "cultivator drill", Short: "seedlings killed, wet soil",
		Label: "seedlings killed in wet soil"},
	{Key: "small_seedling_kill", Unit: "fraction", High: 1, Roles: "cultivator drill", Short: "smallest seedlings killed",
		Label: "seedlings below one leaf killed besides, of those in the ground it stirs that a larger plant would outlive"},
	{Key: "large_plant_kill", Unit: "factor", High: 1, Roles: "cultivator drill", Short: "large plants killed",
		Label: "plants killed beyond six tillers, against seedlings"},
	{Key: "sprouted_kill", Unit: "fraction", High: 1, Roles: "cultivator drill", Short: "sprouted seed killed", Label: "sprouted seed killed"},
	{Key: "straw_left", Unit: "fraction", High: 1, Roles: "cultivator drill", Short: "straw left on top",
		Label: "ground cover of straw and residue that a pass leaves, of what there was"},
	{Key: "stirs_0_5", Unit: "fraction", High: 1, Roles: "cultivator drill", Short: "stirs 0–5 cm", Label: "share of 0–5 cm stirred"},
	{Key: "stirs_5_10", Unit: "fraction", High: 1, Roles: "cultivator drill", Short: "stirs 5–10 cm", Label: "share of 5–10 cm stirred"},
	{Key: "stirs_deeper", Unit: "fraction", High: 1, Roles: "cultivator drill", Short: "stirs 10–20 cm", Label: "share of 10–20 cm stirred"},
	{Key: "depth", Unit: "cm", High: 60, Roles: "cultivator drill", Short: "working depth", Label: "working depth"},
	{Key: "inversion_bypass", Unit: "fraction", High: 1, Roles: "cultivator drill", Short: "soil not turned over",
		Label: "share of soil only stirred where the rest is turned over"},
	{Key: "inversion_bypass_good", Unit: "fraction", High: 1, Roles: "cultivator drill", Short: "soil not turned, done well",
		Label: "share of soil only stirred where the rest is turned over, with quality: good"},
	{Key: "plant_kill", Unit: "fraction", High: 1, Roles: "in-crop", Short: "weed plants killed", Label: "weed plants killed"},
	{Key: "head_removal", Unit: "fraction", High: 1, Roles: "in-crop", Short: "heads taken",
		Label: "heads taken, once they can be: of few plants that are pulled, of those that stand above a cut, of those in patches"},
	{Key: "crop_loss", Unit: "fraction", High: 1, Roles: "in-crop", Short: "yield lost by the work", Label: "yield lost by the work besides patches"},
	{Key: "half_pulled_at", Unit: "plants/m²", Low: 0.001, High: 10000, Roles: "pull", Short: "plants of which half pulled",
		Label: "plants found at which only half of what would be pulled of few is pulled"},
	{Key: "cost_per_plant", Unit: "money/plant", High: 100, Roles: "pull", Short: "cost per plant pulled", Label: "cost of each plant that is pulled"},
	{Key: "crop_per_plant", Unit: "m²/plant", High: 100, Roles: "spray", Short: "crop killed per plant",
		Label: "crop that dies with a plant that stands alone"},
	{Key: "cost_of_patches", Unit: "money/ha", Low: LeastCost, High: MostMoney, Roles: "spray", Short: "cost of a hectare of patches",
		Label: "cost of a hectare that is all patches, besides the cost of a pass"},
	{Key: "seed_capture", Unit: "fraction", High: 1, Roles: "harvest", Short: "seed entering the machine", Label: "unshed seed that enters the machine"},
	{Key: "seed_kill", Unit: "fraction", High: 1, Roles: "harvest", Short: "seed killed in the machine",
		Label: "share of the seed in the machine that is killed or removed"},
	{Key: "cost", Unit: "money/ha", Low: LeastCost, High: MostMoney, Short: "cost of a pass", Label: "cost of a pass"},
}

// herbicideQuantities are the values of a herbicide, by role. There is no dose.
var herbicideQuantities = []Quantity{
	{Key: "season_control", Unit: "fraction", Low: 0.001, High: 0.999, Roles: "residual", Short: "season's control",
		Label: "share of the season's seedlings killed, sprayed two days after a 29 September drilling"},
	{Key: "dry_effect", Unit: "logit", Low: -5, High: 2, Roles: "residual", Short: "control lost in dry seedbed",
		Label: "effect of a bone-dry seedbed for 14 days"},
	{Key: "residue_slope", Unit: "logit/ln", High: 5, Roles: "residual", Short: "effect of what is left", Label: "effect of what is left in the soil"},
	{Key: "slow_emergence_exponent", Unit: "number", High: 3, Roles: "residual", Short: "uptake by slow emergence",
		Label: "how far uptake rises with the time that a seedling takes to come up"},
	{Key: "kill_just_up", Unit: "factor", High: 1, Roles: "residual", Short: "kill of seedlings just up",
		Label: "kill of seedlings below one leaf when it is sprayed, against that of seedlings coming up"},
	{Key: "half_life_8c", Unit: "d", Low: 1, High: 1000, Roles: "residual", Short: "half-life at 8 °C", Label: "half-life in soil at 8 °C"},
	{Key: "half_life_q10", Unit: "factor", Low: 1, High: 4, Roles: "residual", Short: "faster decay, 10 °C warmer",
		Label: "how much faster the active goes 10 °C warmer"},
	{Key: "straw_interception", Unit: "fraction", High: 1, Roles: "residual", Short: "spray kept by straw",
		Label: "share of the spray on ground under chopped straw that the straw keeps from the soil"},
	{Key: "season_site_sd", Unit: "logit", High: 3, Roles: "residual", Short: "control, site and season",
		Label: "spread of control over sites and seasons"},
	{Key: "kill_below_one_leaf", Unit: "fraction", High: 1, Roles: "contact non-selective", Short: "killed below one leaf",
		Label: "plants killed below one leaf"},
	{Key: "kill_two_leaves_to_six_tillers", Unit: "fraction", High: 1, Roles: "contact non-selective", Short: "killed, 2 leaves–6 tillers",
		Label: "plants killed between two leaves and six tillers"},
	{Key: "kill_beyond_six_tillers", Unit: "fraction", High: 1, Roles: "contact non-selective", Short: "killed beyond six tillers",
		Label: "plants killed beyond six tillers"},
	{Key: "under_cover_factor", Unit: "factor", High: 1, Roles: "contact non-selective", Short: "kill under a cover",
		Label: "multiplier under a standing cover"},
	onWeed("on_italian_rye_grass", "italian-rye-grass"),
	onWeed("on_wild_oat", "wild-oat"),
	onWeed("on_sterile_brome", "sterile-brome"),
	{Key: "cost", Unit: "money/ha", Low: LeastCost, High: MostMoney, Roles: "programme contact non-selective", Short: "cost of product and pass",
		Label: "cost of product and pass"},
}

// onWeed is how much better a herbicide kills a weed than black-grass, in which its
// control was measured: by log odds, for a share of kills cannot be carried from one
// dose to another and a factor on odds is what a factor on the dose gives.
func onWeed(key, weed string) Quantity {
	return Quantity{Key: key, Unit: "logit", Low: -8, High: 8, Roles: "residual contact", Weed: weed,
		Short: "control of " + weed, Label: "control of " + weed + " against that of black-grass, by log odds"}
}

// OnWeed is a herbicide's value for a weed; nil where it acts as on black-grass. A weed
// whose entry has herbicides_as answers as the weed named there.
func (e *Entry) OnWeed(weed *Entry) *Value {
	if weed == nil || e.Kind != "herbicides" {
		return nil
	}
	name := weed.Name
	if as := weed.Text["herbicides_as"]; as != "" {
		name = as
	}
	for i := range herbicideQuantities {
		if q := &herbicideQuantities[i]; q.Weed != "" && q.Weed == name {
			return e.Values[q.Key]
		}
	}
	return nil
}

// AboutOther tells whether a value of a herbicide is about another weed than the one given.
func (e *Entry) AboutOther(key string, weed *Entry) bool {
	for i := range herbicideQuantities {
		if q := &herbicideQuantities[i]; q.Key == key && q.Weed != "" {
			return e.Kind == "herbicides" && e.Values[key] != e.OnWeed(weed)
		}
	}
	return false
}
