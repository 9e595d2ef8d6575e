package soil

// Day moves the soil on by one day: rain comes first, then drainage and
// runoff, then evaporation and transpiration (the order of FAO-56 eq. 77), then
// temperature. Rain and ET0 in mm, not negative; mean air temperature in °C.
func (s *Soil) Day(st *State, rainMM, meanC, et0MM float64, g Ground) {
	top, low := st.TopMM+rainMM, st.LowerMM
	drainage, runoff := 0.0, 0.0
	if low > s.lowFC {
		drainage = (low - s.lowFC) * s.p.DrainageLower
		low -= drainage
	}
	if top > s.topFC {
		top, low, runoff = s.sink(top, low)
	}

	kr := s.surface.reduction(s.topFC - top)
	full, bare := s.p.EvaporationMax, 1-g.Living
	if g.Kcb+0.05 > full {
		full = g.Kcb + 0.05 // eq. 72
	}
	if bare < leastBare {
		bare = leastBare
	}
	e := evaporation(kr, full, g.Kcb, bare*(1-s.p.ResidueShade*g.Residue)) * et0MM
	if e > top-s.topDry {
		e = top - s.topDry
	}
	top -= e

	t := 0.0
	if g.Kcb > 0 {
		want := g.Kcb * et0MM
		fromLow := s.uptake(want-want*s.p.RootsInTop, low-s.lowWP, s.perLowEasy)
		fromTop := s.uptake(want-fromLow, top-s.topWP, s.perTopEasy) // its own share and what the lower store owes
		top -= fromTop
		low -= fromLow
		t = fromTop + fromLow
	}

	if top < s.topFC {
		// The lower store makes up part of what the top lacks against it. In a
		// drought that takes it below its wilting point, as drying from above does.
		if rise := (low*s.topOfLow - top) * s.p.CapillaryRise; rise > 0 {
			top += rise
			low -= rise
		}
	}

	st.TopMM, st.LowerMM = top, low
	st.TopRel, st.LowerRel = top*s.perTopFC, low*s.perLowFC
	st.Kr = kr
	st.EvaporationMM, st.TranspirationMM, st.DrainageMM, st.RunoffMM = e, t, drainage, runoff
	run := st.WetRun + 1
	if top <= s.logged {
		run = 0
	}
	st.WetRun = run
	s.warm(st, meanC)
}

// sink lets water of the top store above field capacity sink, as far as the
// lower store has room, and lets run off what the top store cannot hold.
func (s *Soil) sink(top, low float64) (restTop, fullLow, runoff float64) {
	down := (top - s.topFC) * s.p.DrainageTop
	if room := s.lowSat - low; down > room {
		down = room
	}
	top -= down
	if top > s.topSat {
		runoff = top - s.topSat
		top = s.topSat
	}
	return top, low + down, runoff
}

// uptake is what roots take of the water left above wilting point, mm.
func (s *Soil) uptake(want, left, perEasy float64) float64 {
	take := want * stress(left, perEasy)
	if take > left {
		return max(0, left)
	}
	return take
}

// warm moves the temperature of each layer towards that of the air.
func (s *Soil) warm(st *State, airC float64) {
	t := &st.TempC
	t[0] += s.p.LagSurface * (airC - t[0])
	t[1] += s.p.Lag0to5 * (airC - t[1])
	t[2] += s.p.Lag5to10 * (airC - t[2])
	t[3] += s.p.LagDeeper * (airC - t[3])
	t[4] = t[3]
}
