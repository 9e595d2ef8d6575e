package params

// soilQuantities are the values of a soil.
var soilQuantities = []Quantity{
	{Key: "field_capacity", Unit: "m³/m³", Low: 0.02, High: 0.7, Label: "water content at field capacity"},
	{Key: "wilting_point", Unit: "m³/m³", Low: 0.005, High: 0.5, Label: "water content at wilting point"},
	{Key: "saturation", Unit: "m³/m³", Low: 0.1, High: 0.9, Label: "water content at saturation"},
	{Key: "readily_evaporable_water", Unit: "mm", Low: 0.5, High: 30, Label: "water that evaporates from bare soil at the full rate"},
	{Key: "drainage_top", Unit: "1/d", High: 1, Label: "drainage of water above field capacity, 0–10 cm"},
	{Key: "drainage_lower", Unit: "1/d", High: 1, Label: "drainage of water above field capacity, 10–60 cm"},
	{Key: "clay_share", Unit: "fraction", High: 1, Label: "clay in the mineral soil, by weight"},
	{Key: "workable_pf", Unit: "pF", Low: 1, High: 4, Label: "suction above which ground without clay carries a cultivation"},
	{Key: "workable_pf_clay", Unit: "pF", High: 3, Label: "how far that suction rises to half of clay, by the root of the share"},
	{Key: "workable_drill_suction", Unit: "factor", Low: 0.05, High: 20, Label: "suction that a drill asks for over that of a cultivation"},
	{Key: "workable_spray_suction", Unit: "factor", Low: 0.05, High: 20, Label: "suction that a sprayer asks for over that of a cultivation"},
	{Key: "workable_site", Unit: "factor", Low: 0.02, High: 50, Label: "this field's own factor on these suctions"},
	{Key: "workable_dry_subsoil", Unit: "fraction", High: 2, Label: "how far the limits of workable topsoil, over field capacity, rise over a bone-dry subsoil"},
	{Key: "transpiration_from_top", Unit: "fraction", High: 1, Label: "share of transpiration taken from 0–10 cm"},
	{Key: "residue_evaporation_cut", Unit: "fraction", High: 1, Label: "evaporation saved where dead residue covers the ground"},
	{Key: "evaporation_coefficient_max", Unit: "factor", Low: 0.5, High: 1.5, Label: "evaporation from wet ground over reference evapotranspiration"},
	{Key: "capillary_rise", Unit: "1/d", High: 1, Label: "daily share of the top store's lag behind the lower that rises into it"},
	{Key: "temperature_lag_surface", Unit: "1/d", Low: 0.001, High: 1, Label: "daily approach of surface temperature to the air's"},
	{Key: "temperature_lag_0_5", Unit: "1/d", Low: 0.001, High: 1, Label: "daily approach of the temperature at 0–5 cm to the air's"},
	{Key: "temperature_lag_5_10", Unit: "1/d", Low: 0.001, High: 1, Label: "daily approach of the temperature at 5–10 cm to the air's"},
	{Key: "temperature_lag_deeper", Unit: "1/d", Low: 0.001, High: 1, Label: "daily approach of the temperature below 10 cm to the air's"},
}

// climateQuantities are the monthly values of a climate.
var climateQuantities = []Quantity{
	{Key: "latitude", Unit: "°", Low: -66, High: 66, Label: "latitude, south negative"},
	{Key: "et0_factor", Unit: "factor", Low: 0.3, High: 2, Label: "recalibration of evapotranspiration after Hargreaves"},
	{Key: "tmax", Unit: "°C", Low: -40, High: 50, Row: 12, Label: "mean daily maximum"},
	{Key: "tmin", Unit: "°C", Low: -50, High: 40, Row: 12, Label: "mean daily minimum"},
	{Key: "tmax_year_sd", Unit: "°C", High: 15, Row: 12, Label: "spread between years of the month's mean maximum"},
	{Key: "tmin_year_sd", Unit: "°C", High: 15, Row: 12, Label: "spread between years of the month's mean minimum"},
	{Key: "tmax_day_sd", Unit: "°C", High: 15, Row: 12, Label: "spread of daily maxima about their month's mean"},
	{Key: "tmin_day_sd", Unit: "°C", High: 15, Row: 12, Label: "spread of daily minima about their month's mean"},
	{Key: "tmax_wet_shift", Unit: "°C", Low: -15, High: 15, Row: 12, Label: "maximum of wet days less that of dry days"},
	{Key: "rain", Unit: "mm", High: 1000, Row: 12, Label: "rain of the month"},
	{Key: "rain_year_sd", Unit: "mm", High: 1000, Row: 12, Label: "spread of monthly rain between years"},
	{Key: "wet_days", Unit: "d", High: 31, Row: 12, Label: "days with at least 1 mm"},
	{Key: "wet_persistence", Unit: "fraction", High: 0.9, Row: 12, Label: "chance of rain after a wet day less that after a dry one"},
}
