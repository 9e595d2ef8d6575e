package herbicide

import "math"

// ResidualParams are the values of one residual active (library kind
// herbicides, role residual).
type ResidualParams struct {
	SeasonControl float64 `lib:"season_control" unit:"fraction"`        // E0, sprayed two days after a 29 September drilling
	DryEffect     float64 `lib:"dry_effect" unit:"logit"`               // at 14 days of bone-dry seedbed; negative
	DoseSlope     float64 `lib:"residue_slope" unit:"logit/ln"`         // B
	SlowEmergence float64 `lib:"slow_emergence_exponent" unit:"number"` // x: on the time in treated soil
	JustUp        float64 `lib:"kill_just_up" unit:"factor"`            // on seedlings below one leaf, against those coming up
	HalfLifeD     float64 `lib:"half_life_8c" unit:"d"`
	Q10           float64 `lib:"half_life_q10" unit:"factor"`
	StrawKeeps    float64 `lib:"straw_interception" unit:"fraction"` // of what is sprayed on straw, kept from the soil
	SeasonSiteSD  float64 `lib:"season_site_sd" unit:"logit"`        // half of the variance site, half year
}

// ContactParams are the values of a contact herbicide (role contact, and
// non-selective).
type ContactParams struct {
	KillSmall  float64 `lib:"kill_below_one_leaf" unit:"fraction"`
	KillMain   float64 `lib:"kill_two_leaves_to_six_tillers" unit:"fraction"`
	KillLarge  float64 `lib:"kill_beyond_six_tillers" unit:"fraction"`
	UnderCover float64 `lib:"under_cover_factor" unit:"factor"` // non-selective only: under a standing cover
}

// Moved is a share killed with so much added to its log odds; none and all stay.
func Moved(kill, logit float64) float64 {
	if logit == 0 {
		return kill
	}
	odds := kill * math.Exp(logit)
	return odds / (1 - kill + odds)
}
