package weather

// Climate is what the generator needs of one climate (library kind climates).
// Every row has twelve values, January first, and is fixed, not drawn.
type Climate struct {
	LatitudeDeg float64 `lib:"latitude" unit:"°"` // north positive, −66 to 66
	// ET0Factor recalibrates Hargreaves' ET0 (FAO-56, eq. 52 and p. 64: it reads
	// high in humid air); 1 leaves it. The generator does not apply it.
	ET0Factor   float64     `lib:"et0_factor" unit:"factor"`
	TmaxC       [12]float64 `lib:"tmax" unit:"°C"` // mean of the month
	TminC       [12]float64 `lib:"tmin" unit:"°C"`
	TmaxYearSD  [12]float64 `lib:"tmax_year_sd" unit:"°C"` // sd between years of the month's mean
	TminYearSD  [12]float64 `lib:"tmin_year_sd" unit:"°C"`
	TmaxDaySD   [12]float64 `lib:"tmax_day_sd" unit:"°C"` // sd of single days about the long-term mean of their date, between-year part included
	TminDaySD   [12]float64 `lib:"tmin_day_sd" unit:"°C"`
	WetShiftC   [12]float64 `lib:"tmax_wet_shift" unit:"°C"` // Tmax of a wet day less that of a dry day
	RainMM      [12]float64 `lib:"rain" unit:"mm"`           // total of the month
	RainYearSD  [12]float64 `lib:"rain_year_sd" unit:"mm"`
	WetDays     [12]float64 `lib:"wet_days" unit:"d"`               // days with at least 1 mm
	Persistence [12]float64 `lib:"wet_persistence" unit:"fraction"` // P(wet|wet) − P(wet|dry), 0 to 0.9; 0.25 after Geng et al. 1986
}
