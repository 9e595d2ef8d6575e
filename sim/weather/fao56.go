package weather

import "math"

// mmPerMJ turns energy into evaporated water (FAO-56 eq. 20).
const mmPerMJ = 0.408

// sun gives declination (eq. 24, rad), inverse relative distance (eq. 23) and
// sunset hour angle (eq. 25, rad) on a day of the year at a latitude in rad.
func sun(latitude float64, yearDay int) (declination, distance, sunset float64) {
	a := 2 * math.Pi * float64(yearDay) / 365
	declination = 0.409 * math.Sin(a-1.39)
	distance = 1 + 0.033*math.Cos(a)
	// Beyond the polar circles the sun does not set, or does not rise.
	x := -math.Tan(latitude) * math.Tan(declination)
	return declination, distance, math.Acos(min(1, max(-1, x)))
}

// ExtraterrestrialMJ is Ra, the radiation above the air, MJ per m² and day
// (FAO-56 eqs 21–25). Day 1 is 1 January.
func ExtraterrestrialMJ(latitudeDeg float64, yearDay int) float64 {
	const solarConstant = 0.0820 // MJ per m² and minute
	phi := latitudeDeg * math.Pi / 180
	d, dr, ws := sun(phi, yearDay)
	return 24 * 60 / math.Pi * solarConstant * dr *
		(ws*math.Sin(phi)*math.Sin(d) + math.Cos(phi)*math.Cos(d)*math.Sin(ws))
}

// DaylengthHours is N, the possible hours of sun (FAO-56 eq. 34).
func DaylengthHours(latitudeDeg float64, yearDay int) float64 {
	_, _, ws := sun(latitudeDeg*math.Pi/180, yearDay)
	return 24 / math.Pi * ws
}

// HargreavesMM is ET0 from temperatures alone (FAO-56 eq. 52), mm per day, with
// Ra in MJ; never below zero, which the equation would give under −17.8 °C.
// It reads high in humid air and low in wind above 3 m/s (FAO-56 p. 64).
func HargreavesMM(raMJ, tmaxC, tminC float64) float64 {
	return hargreaves(0.0023*mmPerMJ*raMJ, tmaxC, tminC)
}

// hargreaves is the same with the constants already multiplied into Ra.
func hargreaves(factor, tmaxC, tminC float64) float64 {
	warm := max(0, (tmaxC+tminC)/2+17.8)
	return factor * warm * math.Sqrt(max(0, tmaxC-tminC))
}

// hargreavesFactors tabulates 0.0023·Ra in mm by calendar day (see calendarDay).
func hargreavesFactors(latitudeDeg float64) (f [yearDays]float64) {
	for i := range f {
		j := i + 1
		if i >= leapDay {
			j = i // 29 February takes the sun of the day before
		}
		f[i] = 0.0023 * mmPerMJ * ExtraterrestrialMJ(latitudeDeg, j)
	}
	return f
}
