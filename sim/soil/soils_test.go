package soil

// clay has the water contents of FAO-56 Table 19 (mid-ranges) and the saturation
// of Clapp & Hornberger 1978; the rest is assumed.
func clay() Params {
	return Params{
		FieldCapacity: 0.36, WiltingPoint: 0.22, Saturation: 0.482, REWmm: 10,
		DrainageTop: 0.3, DrainageLower: 0.15,
		ClayShare: 0.48, WorkPF: 2, WorkPFClay: 0.75, DrillSuction: 1.6, SpraySuction: 0.5, WorkSite: 1, DrySubsoil: 0.5,
		ResidueShade: 0.5, EvaporationMax: 1, CapillaryRise: 0.05, RootsInTop: 0.35,
		LagSurface: 0.7, Lag0to5: 0.4, Lag5to10: 0.25, LagDeeper: 0.15,
	}
}

// sandyLoam is a light soil of the same tables.
func sandyLoam() Params {
	p := clay()
	p.FieldCapacity, p.WiltingPoint, p.Saturation, p.REWmm = 0.23, 0.11, 0.435, 8
	p.DrainageTop, p.DrainageLower, p.CapillaryRise = 0.9, 0.7, 0.03
	p.ClayShare = 0.10
	return p
}
