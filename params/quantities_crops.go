package params

// cropQuantities are the values of a crop, money last.
var cropQuantities = []Quantity{
	{Key: "emergence_thermal_time", Unit: "°C d", High: 1000, Label: "warmth from drilling to emergence, base 0 °C"},
	{Key: "establishment", Unit: "fraction", High: 1, Label: "share of seed sown that becomes plants"},
	{Key: "establishment_late_share", Unit: "fraction", Low: 0.01, High: 1, Label: "of that share, what is left where it is drilled very late"},
	{Key: "establishment_falls_from", Unit: "date", Low: 1, High: 365, Label: "drilling date from which fewer seeds become plants"},
	{Key: "establishment_fall_scale", Unit: "d", Low: 1, High: 365, Label: "days in which establishment falls by 1/e of what it can"},
	{Key: "half_cover_thermal_time", Unit: "°C d", Low: 50, High: 5000, Label: "warmth from emergence to half of full ground cover"},
	{Key: "kcb_full_cover", Unit: "fraction", High: 1.4, Label: "transpiration at full cover, of the reference evaporation"},
	{Key: "weed_heads_factor", Unit: "factor", High: 10, Label: "weed heads, against winter wheat"},
	{Key: "yield_loss_factor", Unit: "factor", High: 10, Label: "yield lost per weed plant, against winter wheat"},
	{Key: "heads_threshold", Unit: "heads/m²", High: 10000, Label: "weed heads to stay under, where the user names none"},
	{Key: "yield", Unit: "t/ha", High: 150, Label: "yield without weeds at the best date"},
	{Key: "yield_season_gsd", Unit: "gsd", Low: 1, High: 3, Label: "spread of yield from year to year"},
	{Key: "yield_field_gsd", Unit: "gsd", Low: 1, High: 3, Label: "spread of yield from field to field"},
	{Key: "drilling_best_from", Unit: "date", Low: 1, High: 365, Label: "first drilling date without loss"},
	{Key: "drilling_loss_early", Unit: "fraction/d", High: 0.2, Label: "yield lost per day of drilling before it"},
	{Key: "drilling_best_until", Unit: "date", Low: 1, High: 365, Label: "last drilling date without loss"},
	{Key: "drilling_loss_first", Unit: "fraction/d", High: 0.2, Label: "yield lost per day of drilling after the last day without loss, at first"},
	{Key: "drilling_late_from", Unit: "date", Low: 1, High: 365, Label: "drilling date from which yield is lost faster"},
	{Key: "drilling_loss_late", Unit: "fraction/d", High: 0.2, Label: "yield lost per day of late drilling"},
	{Key: "straw_cover", Unit: "fraction", High: 1, Label: "ground covered by the crop's chopped straw after harvest"},
	{Key: "straw_half_life", Unit: "d", Low: 5, High: 1000, Label: "half-life of the ground cover of chopped straw"},
	{Key: "harvest_date", Unit: "date", Low: 1, High: 365, Label: "median harvest date"},
	{Key: "harvest_sd", Unit: "d", High: 40, Label: "spread of the harvest date from year to year"},
	{Key: "price", Unit: "money/t", High: 100000, Label: "price"},
	{Key: "variable_cost", Unit: "money/ha", High: 100000, Label: "seed, fertiliser and sprays other than grass-weed herbicides"},
	{Key: "harvest_cost", Unit: "money/ha", High: 100000, Label: "cost of harvesting"},
}

// coverQuantities are the values of a cover crop, money last.
var coverQuantities = []Quantity{
	{Key: "ground_cover_max", Unit: "fraction", High: 1, Label: "ground covered when full-grown"},
	{Key: "half_cover_thermal_time", Unit: "°C d", Low: 50, High: 5000, Label: "warmth from sowing to half of full ground cover, base 0 °C"},
	{Key: "cover_growth_scale", Unit: "°C d", Low: 5, High: 2000, Label: "scale of the growth curve of ground cover"},
	{Key: "kcb_full_cover", Unit: "fraction", High: 1.4, Label: "transpiration at full cover, of the reference evaporation"},
	{Key: "emergence_suppression", Unit: "fraction", High: 1, Label: "share of sprouting seed kept dormant at full cover"},
	{Key: "growth_suppression", Unit: "fraction", High: 1, Label: "loss of fecundity of what emerged in the cover, at full cover"},
	{Key: "frost_kill", Unit: "°C", Low: -60, High: 5, Label: "minimum temperature that kills the cover; −60 for a hardy one"},
	{Key: "residue_half_life", Unit: "d", Low: 1, High: 1000, Label: "half-life of its dead residue"},
	{Key: "residue_suppression", Unit: "fraction", High: 1, Label: "emergence suppressed by fresh residue of full cover"},
	{Key: "residue_suppression_days", Unit: "d", High: 200, Label: "how long residue of the cover holds emergence back after destruction"},
	{Key: "yield_effect", Unit: "fraction", Low: -0.9, High: 1, Label: "effect on the next crop's yield"},
	{Key: "yield_effect_sd", Unit: "fraction", High: 1, Label: "spread of the cover's effect on yield from season to season"},
	{Key: "cost", Unit: "money/ha", High: 100000, Label: "cost of seed and sowing"},
}
