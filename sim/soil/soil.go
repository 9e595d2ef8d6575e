// Package soil models water and temperature of one soil in two stores, the
// top (0–10 cm) and the lower (10–60 cm), day by day.
//
//   - Evaporation from the top store: the surface layer of FAO-56 (Allen,
//     Pereira, Raes & Smith 1998, FAO Irrigation and Drainage Paper 56, ch. 7,
//     eqs 71, 73, 74), with water kept as the mean of the ground, covered and
//     bare alike, so that the balance closes. Dead residue cuts what the energy
//     allows (the second bound of eq. 71), not what a dry surface lets through.
//   - Transpiration: Kcb·ET0 with the stress coefficient Ks of eq. 84, most of it
//     from the lower store; roots take from the top what that cannot give (uptake
//     made up from where there is water: Jarvis 1989, J. Hydrol. 107:57, from memory).
//   - Water above field capacity drains by a share a day; what the top cannot
//     hold runs off. Below it, a share a day of what the top store lacks against
//     the lower rises into it (assumed; without it the surface of heavy land
//     dries too early in spring).
//   - Water potential: Campbell's line (1974, Soil Sci. 117:311) through field
//     capacity (−0.033 MPa) and wilting point (−1.5 MPa) of the soil itself.
//   - Days fit for work: the suction of the top store against a limit that rises
//     with the share of clay (workable.go).
//   - Temperature of each layer: first-order lag of mean air temperature
//     (Zheng, Hunt & Running 1993, Clim. Res. 2:183).
package soil

// Depth of the stores in mm.
const (
	topDepthMM   = 100
	lowerDepthMM = 500
)

// A store that has been above this share of saturation for this many days
// running is waterlogged (assumed; the direction is published, the size not).
const (
	waterloggedShare = 0.95
	waterloggedDays  = 5
)

// Soil is one soil with its derived numbers and tables. It is immutable.
type Soil struct {
	p             Params
	topFC, topSat float64 // mm
	topWP         float64 // mm
	topDry        float64 // mm; half the wilting point, where evaporation ends
	lowFC, lowSat float64 // mm
	lowWP         float64 // mm
	perTopFC      float64 // 1/mm
	perLowFC      float64
	topOfLow      float64 // field capacity of the top over that of the lower store
	surface       layer
	perTopEasy    float64 // 1/mm of the water below which roots are stressed
	perLowEasy    float64
	logged        float64 // mm of the top store
	psi           retention
	limits        Limits  // of a field whose own factor is 1
	perSuction    float64 // power of that factor in its limits
}

// New makes a soil of its parameters. A replicate may draw WorkSite and
// DrySubsoil; everything else is read here, once.
func New(p Params) *Soil {
	s := &Soil{
		p:      p,
		topFC:  p.FieldCapacity * topDepthMM,
		topSat: p.Saturation * topDepthMM,
		topWP:  p.WiltingPoint * topDepthMM,
		topDry: p.WiltingPoint * topDepthMM / 2,
		lowFC:  p.FieldCapacity * lowerDepthMM,
		lowSat: p.Saturation * lowerDepthMM,
		lowWP:  p.WiltingPoint * lowerDepthMM,
	}
	s.perTopFC, s.perLowFC, s.topOfLow = 1/s.topFC, 1/s.lowFC, s.topFC/s.lowFC
	s.surface = newLayer(s.topFC-s.topDry, p.REWmm)
	s.perTopEasy = 1 / ((1 - depletionFraction) * (s.topFC - s.topWP))
	s.perLowEasy = 1 / ((1 - depletionFraction) * (s.lowFC - s.lowWP))
	s.logged = waterloggedShare * s.topSat
	s.psi = newRetention(p)
	s.layLimits()
	return s
}

// Params are the parameters the soil was made of.
func (s *Soil) Params() Params { return s.p }

// State is a soil on one day. The zero State is no soil: begin with Start.
type State struct {
	TopMM, LowerMM float64    // water in 0–10 and 10–60 cm, mm
	TempC          [5]float64 // surface, 0–5, 5–10, 10–15, 15–20 cm, °C
	WetRun         int        // days running that the top store has been above 0.95 of saturation
	Kr             float64    // evaporation reduction of the day, 0 (dust) to 1 (wet skin)
	TopRel         float64    // top store over its field capacity; above 1 when wetter
	LowerRel       float64    // the same of the lower store
	// The day's flows, mm.
	EvaporationMM, TranspirationMM, DrainageMM, RunoffMM float64
}

// Ground is what stands or lies on the soil.
type Ground struct {
	Living  float64 // ground covered by living leaves, 0–1
	Kcb     float64 // basal crop coefficient now, of the whole ground; 0 when bare
	Residue float64 // ground covered by dead residue, 0–1
}

// Start is a soil at field capacity in every store at 10 °C: the balance
// forgets the start within a winter.
func (s *Soil) Start() State {
	st := State{TopMM: s.topFC, LowerMM: s.lowFC, Kr: 1, TopRel: 1, LowerRel: 1}
	for i := range st.TempC {
		st.TempC[i] = 10
	}
	return st
}

// PotentialTop is the water potential of the top store, MPa, never above that
// of saturation.
func (s *Soil) PotentialTop(st *State) float64 { return s.psi.at(st.TopRel) }

// PotentialLower is that of the lower store.
func (s *Soil) PotentialLower(st *State) float64 { return s.psi.at(st.LowerRel) }

// Waterlogged tells whether the top store has been next to saturated for five
// days or more.
func (s *Soil) Waterlogged(st *State) bool { return st.WetRun >= waterloggedDays }
