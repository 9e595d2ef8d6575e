package soil

// clay is the clay of FAO-56 Table 19 (mid-ranges), saturation after Clapp &
// Hornberger 1978.
func clay() Params {
	return Params{
		FieldCapacity: 0.36, WiltingPoint: 0.22, Saturation: 0.482, REWmm: 10,
		DrainageTop: 0.3, DrainageLower: 0.15,
		WorkableDrill: 0.8, WorkableTill: 0.85, WorkableSpray: 0.95,
		ResidueShade: 0.5, EvaporationMax: 1, CapillaryRise: 0.02, RootsInTop: 0.35,
		LagSurface: 0.7, Lag0to5: 0.4, Lag5to10: 0.25, LagDeeper: 0.15,
	}
}
