package soil

import "math"

// Rain that stops work on its day, mm (common practice, no source).
const rainStopsWorkMM = 2

// Limits are how wet the top store may be, over its field capacity, for each
// kind of work; drier ground carries it.
type Limits struct{ Drilling, Cultivation, Spraying float64 }

// kPaPerCm is the suction of a centimetre of water.
const kPaPerCm = 0.0980665

// halfClay is the share of clay that WorkPFClay is of.
const halfClay = 0.5

// layLimits turns the suctions that the three kinds of work ask for into water
// contents, by the soil's own line. A cultivation asks for the suction of which
// the upper limit of tillage is read, pF 2.0 to 2.7, rising with clay (the root
// is assumed); the other two for a multiple of it.
func (s *Soil) layLimits() {
	p := &s.p
	s.perSuction = -1 / campbellSlope(p.FieldCapacity, fieldCapacityMPa, p.WiltingPoint, wiltingPointMPa)
	cultivation := math.Pow(10, p.WorkPF+p.WorkPFClay*math.Sqrt(p.ClayShare/halfClay)) * kPaPerCm
	at := func(kPa float64) float64 { return math.Pow(kPa/(-1000*fieldCapacityMPa), s.perSuction) }
	s.limits = Limits{at(cultivation * p.DrillSuction), at(cultivation), at(cultivation * p.SpraySuction)}
}

// Limits are those of a field with its own factor on the suctions: one for the
// three, so that they keep their order.
func (s *Soil) Limits(site float64) Limits {
	f := math.Pow(site, s.perSuction)
	return Limits{f * s.limits.Drilling, f * s.limits.Cultivation, f * s.limits.Spraying}
}

// Bears is how far a dry subsoil raises limits today, over field capacity: drySubsoil per
// unit that the lower store is below its own.
func (s *Soil) Bears(st *State, drySubsoil float64) float64 {
	if st.LowerRel >= 1 {
		return 0
	}
	return drySubsoil * (1 - st.LowerRel)
}

// Workable tells whether the ground carries work today: the top store is below
// a limit and less than 2 mm has fallen.
func (s *Soil) Workable(st *State, rainTodayMM, limit float64) bool {
	return st.TopRel < limit && rainTodayMM < rainStopsWorkMM
}
