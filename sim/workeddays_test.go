package sim_test

import (
	"encoding/csv"
	"maps"
	"math"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"rundown/params/date"
	"rundown/sim"
	"rundown/sim/biotype"
	"rundown/sim/crop"
	"rundown/sim/herbicide"
	"rundown/sim/margin"
	"rundown/sim/random"
	"rundown/sim/seedbank"
	"rundown/sim/soil"
	"rundown/sim/stand"
	"rundown/sim/weather"
)

// workedDay is a day of a submodel worked by hand: what is given, and what the formulas of README.md make of it.
type workedDay struct{ given, found map[string]float64 }

// workedDays reads the days. They were worked from the formulas of README.md, by arithmetic that stands beside
// each, and not by this program.
func workedDays(t *testing.T) map[string]workedDay {
	t.Helper()
	f, err := os.Open("../testdata/workeddays/days.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]workedDay{}
	for _, r := range rows[1:] {
		d, ok := out[r[0]]
		if !ok {
			d = workedDay{map[string]float64{}, map[string]float64{}}
			out[r[0]] = d
		}
		x, err := strconv.ParseFloat(r[3], 64)
		if err != nil {
			t.Fatal(err)
		}
		map[string]map[string]float64{"given": d.given, "found": d.found}[r[1]][r[2]] = x
	}
	return out
}

// onWorkedDay is what the program makes of what is given on each day.
var onWorkedDay = map[string]func(g map[string]float64) map[string]float64{
	"7.1 weather": func(g map[string]float64) map[string]float64 {
		ra := weather.ExtraterrestrialMJ(g["latitude"], int(g["year_day"]))
		return map[string]float64{"ra_mj": ra, "daylength_h": weather.DaylengthHours(g["latitude"], int(g["year_day"])),
			"et0_mm": weather.HargreavesMM(ra, g["tmax"], g["tmin"])}
	},
	"7.2 soil water":       soilDay,
	"7.2 soil water, dry":  soilDay,
	"7.3 soil temperature": soilWarmth,
	"7.4 crop": func(g map[string]float64) map[string]float64 {
		p := crop.Params{EmergenceTimeCd: g["emergence_thermal_time"], CoverTimeCd: g["half_cover_thermal_time"], KcbFull: g["kcb_full_cover"]}
		var c crop.Crop
		var cover, kcb float64
		for range int(g["days"]) {
			cover, kcb = c.Grow(&p, g["mean_air"], 1)
		}
		return map[string]float64{"cover": cover, "kcb": kcb}
	},
	"7.4 cover": func(g map[string]float64) map[string]float64 {
		p := crop.CoverParams{MaxCover: g["ground_cover_max"], HalfCoverCd: g["half_cover_thermal_time"], SlopeCd: g["cover_growth_scale"],
			Kcb: g["kcb_full_cover"], FrostKillC: -60}
		c := crop.Sow(1)
		for range int(g["days"]) {
			c.Day(&p, g["mean_air"], 5, g["light"], 2)
		}
		return map[string]float64{"ground": c.Ground, "kcb": c.Transpires(&p)}
	},
	"7.5 warmth of seed": func(g map[string]float64) map[string]float64 {
		var r seedbank.Rates
		r.P.BaseTemperatureC, r.P.OptimumTemperatureC = g["base_temperature"], g["optimum_temperature"]
		r.P.BasePotentialMPa, r.P.BasePotentialRise = g["base_water_potential"], g["base_water_potential_warmth"]
		return map[string]float64{"warmth": r.Warmth(g["temperature"], g["potential"])}
	},
	"7.5 fates of ready seed": func(g map[string]float64) map[string]float64 {
		f := seedbank.ReadyFates(g["a"], g["m"], g["s"], g["b"], math.Exp(-g["b"]), g["keep"])
		return map[string]float64{"leave": f.Leave, "die": f.Die, "sleep": f.Sleep, "sprout": f.Sprout, "through": f.Through}
	},
	"7.6 fit for work": func(g map[string]float64) map[string]float64 {
		s := soil.New(soil.Params{FieldCapacity: g["field_capacity"], WiltingPoint: g["wilting_point"], Saturation: 0.5, ClayShare: g["clay_share"],
			WorkPF: g["workable_pf"], WorkPFClay: g["workable_pf_clay"], DrillSuction: g["workable_drill_suction"], SpraySuction: g["workable_spray_suction"],
			WorkSite: 1})
		l := s.Limits(g["workable_site"])
		return map[string]float64{"drill": l.Drilling, "cultivation": l.Cultivation, "sprayer": l.Spraying,
			"subsoil": s.Bears(&soil.State{LowerRel: g["lower_rel"]}, g["workable_dry_subsoil"])}
	},
	"7.7 residual": func(g map[string]float64) map[string]float64 {
		a := herbicide.Active{ResidualParams: herbicide.ResidualParams{DryEffect: g["dry_effect"], DoseSlope: g["residue_slope"], HalfLifeD: g["half_life_8c"],
			Q10: g["half_life_q10"], SlowEmergence: g["slow_emergence_exponent"]}}
		a.Set(g["base"])
		return map[string]float64{"kill": a.Kill(g["dryness"], g["age"], g["temperature"], g["shift"])}
	},
	"7.7 spray by size": func(g map[string]float64) map[string]float64 {
		k := stand.Sizes{Small: g["small"], Main: g["main"], Large: g["large"]}
		p := &stand.Params{LeafCd: g["leaf_thermal_time"], TillersSixCd: g["six_tillers_thermal_time"]}
		return map[string]float64{"at_60": k.Of(p, 60), "at_112.5": k.Of(p, 112.5), "at_600": k.Of(p, 600), "at_1000": k.Of(p, 1000)}
	},
	"7.8 fecundity": func(g map[string]float64) map[string]float64 {
		p := &stand.Params{RhoFebruary: g["fecundity_february"], RhoSpringCrop: g["fecundity_spring_crop"], RhoLateSpring: g["fecundity_late_spring"]}
		winter, spring := stand.SeasonOf(2028, false, 1), stand.SeasonOf(2028, true, 1)
		return map[string]float64{"winter_1_dec": p.Rho(date.Of(2027, time.December, 1), &winter), "spring_10_apr": p.Rho(date.Of(2028, time.April, 10), &spring),
			"spring_1_may": p.Rho(date.Of(2028, time.May, 1), &spring)}
	},
	"7.8 ripeness": func(g map[string]float64) map[string]float64 {
		p := &stand.Params{HeadsSDD: g["heads_sd"], StemsBeforeD: g["stems_before_heads"], SetAfterD: g["seed_set_after_heads"],
			RegrowthBeforeD: g["regrowth_before_heads"], RegrowthSDD: g["regrowth_sd"]}
		r := p.RipeOn(g["days"], 0)
		return map[string]float64{"up": r.Up, "tall": r.Tall, "set": r.Set, "regrows": r.Regrows}
	},
	"7.9 yearly cycle": func(g map[string]float64) map[string]float64 {
		rain, old := [2]float64{g["rain_to_top"], g["rain_to_below"]},
			[2][2]float64{{g["top_to_top"], g["top_to_below"]}, {g["below_to_top"], g["below_to_below"]}}
		bank, returned, share := sim.SteadyYear(rain, old, [3]float64{g["returns_rain"], g["returns_top"], g["returns_below"]},
			[3]float64{g["plants_rain"], g["plants_top"], g["plants_below"]})
		next := sim.NextYear(rain, old, [2]float64{g["bank_top"], g["bank_below"]}, g["rain"])
		return map[string]float64{"steady_top": bank[0], "steady_below": bank[1], "returned": returned, "share_from_old": share, "next_top": next[0],
			"next_below": next[1]}
	},
	"7.10 one gene": func(g map[string]float64) map[string]float64 {
		at := biotype.Genotypes([biotype.Loci]float64{g["p"]}, biotype.Inbreeding(g["selfing"]))
		out := map[string]float64{}
		for class, share := range at {
			name := map[int]string{1: "one", 2: "two"}[biotype.Copies(class, 0)]
			if name == "" || share == 0 {
				continue
			}
			out[map[string]string{"one": "one_copy", "two": "two_copies"}[name]] = share
			genes := biotype.Genes{Protection: g["protection"]}
			spray := []biotype.Part{{Kill: g["kill"], Locus: 0, Trait: -1, Dominance: g["dominance"]}}
			out["killed_"+name] = genes.Meet(spray, class, &[biotype.MostTraits]biotype.Trait{}, 1)
		}
		return out
	},
	"7.10 many genes": func(g map[string]float64) map[string]float64 {
		trait := biotype.Trait{Mean: g["mean"], Variance: g["variance"]}
		killed := trait.Survive(g["kill"], g["other"])
		return map[string]float64{"killed": killed, "mean_after": trait.Mean, "variance_after": trait.Variance}
	},
	"7.11 loss": func(g map[string]float64) map[string]float64 {
		p := &stand.Params{LossPerHead: g["yield_loss_per_head"], MaxLoss: g["yield_loss_max"], PatchinessK: g["patchiness_k"]}
		return map[string]float64{"loss": p.YieldLoss(g["heads"], g["yield_loss_factor"])}
	},
	"7.11 stand": func(g map[string]float64) map[string]float64 {
		p := &crop.Params{UsualStandM2: g["usual_stand"], HalfStand: g["stand_half"], ThickLoss: g["stand_thick_loss"]}
		return map[string]float64{"response": p.StandResponse(g["plants"])}
	},
	"7.11 margin": func(g map[string]float64) map[string]float64 {
		a := margin.Account{Spent: g["spent"]}
		return map[string]float64{"margin": a.Margin(g["yield"], &margin.CropMoney{PricePerT: g["price"]})}
	},
	"7.12 a look": func(g map[string]float64) map[string]float64 {
		out := map[string]float64{}
		looked := g["quadrats"] * g["quadrat_m2"]
		for _, name := range []string{"low", "middle", "high"} {
			out["seen_"+name] = float64(random.NegativeBinomial(g[name], g["there"]*looked, g["quadrats"]*g["patchiness_k"])) / looked
		}
		return out
	},
}

func soilDay(g map[string]float64) map[string]float64 {
	s := soil.New(soil.Params{FieldCapacity: g["field_capacity"], WiltingPoint: g["wilting_point"], Saturation: g["saturation"],
		REWmm:       g["readily_evaporable_water"],
		DrainageTop: g["drainage_top"], DrainageLower: g["drainage_lower"], ResidueShade: g["residue_evaporation_cut"],
		EvaporationMax: g["evaporation_coefficient_max"],
		CapillaryRise:  g["capillary_rise"], RootsInTop: g["transpiration_from_top"], ClayShare: 0.3, WorkPF: 2, DrillSuction: 1, SpraySuction: 1, WorkSite: 1})
	st := s.Start()
	st.TopMM, st.LowerMM = g["top_mm"], g["lower_mm"]
	s.Day(&st, g["rain_mm"], 10, g["et0_mm"], soil.Ground{Living: g["living"], Kcb: g["kcb"], Residue: g["residue"]})
	return map[string]float64{"kr": st.Kr, "evaporation_mm": st.EvaporationMM, "transpiration_mm": st.TranspirationMM, "top_mm": st.TopMM, "lower_mm": st.LowerMM,
		"potential_top_mpa": s.PotentialTop(&st)}
}

func soilWarmth(g map[string]float64) map[string]float64 {
	s := soil.New(soil.Params{FieldCapacity: 0.36, WiltingPoint: 0.2, Saturation: 0.48, REWmm: 9, ClayShare: 0.3, WorkPF: 2, DrillSuction: 1,
		SpraySuction: 1, WorkSite: 1,
		LagSurface: g["lag_surface"], Lag0to5: g["lag_0_5"], Lag5to10: g["lag_5_10"], LagDeeper: g["lag_deeper"]})
	st := s.Start()
	for i := range st.TempC {
		st.TempC[i] = g["before"]
	}
	s.Day(&st, 0, g["mean_air"], 0, soil.Ground{})
	return map[string]float64{"surface": st.TempC[0], "0-5": st.TempC[1], "5-10": st.TempC[2], "10-15": st.TempC[3]}
}

// Every submodel that sim/README.md describes has a worked day.
func TestEverySubmodelHasAWorkedDay(t *testing.T) {
	text, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	sections := regexp.MustCompile(`(?m)^### (7\.\d+) `).FindAllStringSubmatch(string(text), -1)
	if len(sections) < 11 {
		t.Fatalf("only %d submodels were found", len(sections))
	}
	days := workedDays(t)
	for _, s := range sections {
		if !slices.ContainsFunc(slices.Collect(maps.Keys(days)), func(name string) bool { return strings.HasPrefix(name, s[1]+" ") }) {
			t.Errorf("%s has no worked day", s[1])
		}
	}
}

// Every submodel does on its worked day what its formulas say: to 1e-6, and to 1e-4 where
// the program takes a quadrature (loss) or a table of powers (cover, potential).
func TestWorkedDays(t *testing.T) {
	days := workedDays(t)
	for name := range onWorkedDay {
		if _, ok := days[name]; !ok {
			t.Errorf("%s has no worked day", name)
		}
	}
	for name, d := range days {
		of := onWorkedDay[name]
		if of == nil {
			t.Errorf("%s is not tried", name)
			continue
		}
		got := of(d.given)
		for what, want := range d.found {
			near := 1e-6
			if slices.Contains([]string{"7.11 loss", "7.4 cover"}, name) || what == "potential_top_mpa" {
				near = 1e-4
			}
			x, ok := got[what]
			if !ok || !(math.Abs(x-want) <= near*math.Max(1e-2, math.Abs(want))) {
				t.Errorf("%s: %s is %v, worked by hand %v", name, what, x, want)
			}
		}
	}
}
