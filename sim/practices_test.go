package sim_test

import (
	"fmt"
	"slices"
	"strings"
)

// The practices an adviser would try, each against its baseline on the same field with the
// same luck. What is published or said of them stands in testdata/published/practices.csv;
// practices_table_test.go holds them against it.

// tried is a season in which everything is usual but what is said: winter wheat drilled on
// 25 September after one shallow pass, burnt off the day before, without a herbicide.
type tried struct {
	crop, drill, with                       string
	cultivate, sprayOff, herbicides, inCrop string
	seeds, straw, harvestWith, cover        string
}

const (
	none       = "-"
	dayBefore  = "{days_before_drilling: 1}"
	stackOn    = "{programme: autumn-residual-stack, days_after_drilling: 2}"
	cineoleOn  = "{programme: autumn-residual-cineole, days_after_drilling: 2}"
	contactOn  = "{programme: spring-contact, date: 10 Mar}"
	ploughOn   = "{date: 5 Sep, with: plough}"
	fallowYear = "  - {crop: fallow}\n"
	leyYears   = "  - {crop: grass-ley, years: 3}\n"
)

func (s tried) String() string {
	or := func(x, usual string) string {
		switch x {
		case "":
			return usual
		case none:
			return ""
		}
		return x
	}
	drill := or(s.drill, "25 Sep")
	latest := "31 Dec"
	if strings.HasSuffix(drill, "Mar") {
		latest = "30 Apr"
	}
	if s.seeds != "" {
		s.seeds = ", seeds_per_m2: " + s.seeds
	}
	var b strings.Builder
	fmt.Fprintf(&b, "  - crop: %s\n    cultivate: [%s]\n    spray_off: [%s]\n    drill: {date: %s, latest: %s, with: %s%s}\n    herbicides: [%s]\n",
		or(s.crop, "winter-wheat"), or(s.cultivate, disc), or(s.sprayOff, dayBefore), drill, latest, or(s.with, "tine-drill"), s.seeds, s.herbicides)
	if s.inCrop != "" {
		fmt.Fprintf(&b, "    in_crop: [%s]\n", s.inCrop)
	}
	if s.cover != "" {
		fmt.Fprintf(&b, "    cover: {mix: oats-legumes, sow: 1 Sep, destroy: %s}\n", s.cover)
	}
	if s.straw != "" {
		fmt.Fprintf(&b, "    harvest: {straw: %s}\n", s.straw)
	}
	if s.harvestWith != "" {
		fmt.Fprintf(&b, "    harvest: {with: %s}\n", s.harvestWith)
	}
	return b.String()
}

// grown is a plan and the season of it that is looked at, from 0.
type grown struct {
	plan string
	year int
}

// ground is the field of the table: clay in the eastern climate, one hectare, on which work
// waits for nothing, as in trials.
type ground struct{ weed, heads, resistance, work string }

func (g ground) of(year int, seasons ...fmt.Stringer) grown {
	all := ""
	for _, s := range seasons {
		all += s.String()
	}
	return g.text(year, all)
}

func (g ground) text(year int, seasons string) grown {
	for _, x := range []struct {
		at    *string
		usual string
	}{{&g.weed, "black-grass"}, {&g.heads, "40"}, {&g.work, "on-its-day"}} {
		if *x.at == "" {
			*x.at = x.usual
		}
	}
	if g.resistance != "" {
		g.resistance = fmt.Sprintf(", resistance: {\"2\": %s}", g.resistance)
	}
	return grown{fmt.Sprintf("field: {name: Trial, area_ha: 1, soil: clay, climate: east-lowland, history: shallow-disc, work: %s}\n"+
		"weed: {species: %s, start: 2026-08-01, heads_per_m2: %s%s}\nseasons:\n%s", g.work, g.weed, g.heads, g.resistance, seasons), year}
}

// pair is a practice and its baseline.
type pair struct{ with, against grown }

// allPractices are the rows of practices.csv by name.
func allPractices() map[string]pair {
	all := map[string]pair{}
	for _, f := range []func(map[string]pair){drillingDates, programmes, staleOnes, tillage, springs, coversAndLeys, workInCrop, cropsAndRates} {
		f(all)
	}
	return all
}

// usual is the baseline of most rows.
var usual = ground{}.of(0, tried{})

// on is one season on the field of the table.
func on(s tried) grown { return ground{}.of(0, s) }

func drillingDates(all map[string]pair) {
	at := func(date string) grown { return on(tried{drill: date}) }
	all["drill_5_september"] = pair{at("5 Sep"), usual}
	all["drill_16_october"] = pair{at("16 Oct"), at("15 Sep")}
	all["drill_10_october"] = pair{at("10 Oct"), usual}
	all["drill_31_october"] = pair{at("31 Oct"), usual}
	all["drill_31_october_heads"] = all["drill_31_october"]
	rye := ground{weed: "italian-rye-grass"}
	all["rye_drill_15_october"] = pair{rye.of(0, tried{drill: "15 Oct"}), rye.of(0, tried{})}
	clean := ground{heads: "0.1"}
	all["clean_15_october"] = pair{clean.of(0, tried{drill: "15 Oct"}), clean.of(0, tried{drill: "15 Sep"})}
	all["clean_5_december"] = pair{clean.of(0, tried{drill: "5 Dec"}), clean.of(0, tried{drill: "1 Oct"})}
}

func programmes(all map[string]pair) {
	all["single"] = pair{on(tried{herbicides: "{programme: autumn-residual-single, days_after_drilling: 2}"}), usual}
	stack := on(tried{herbicides: stackOn})
	all["stack"] = pair{stack, usual}
	all["cineole"] = pair{on(tried{herbicides: cineoleOn}), usual}
	all["both"] = pair{on(tried{herbicides: stackOn + ", " + cineoleOn}), stack}
	all["spring_contact"] = pair{on(tried{herbicides: contactOn}), usual}
	all["spring_contact_resistant"] = pair{ground{resistance: "0.6"}.of(0, tried{herbicides: contactOn}), usual}
	all["stack_20_october"] = pair{on(tried{drill: "20 Oct", herbicides: stackOn}), on(tried{drill: "20 Sep", herbicides: stackOn})}
}

// staleOnes are shallow passes before a drilling on 10 October, with and without burn-off.
func staleOnes(all map[string]pair) {
	passes := func(burnt bool, days ...string) grown {
		var with, sprays []string
		for i, d := range days {
			with = append(with, "{date: "+d+", with: shallow-disc}")
			if i > 0 {
				sprays = append(sprays, before[d])
			}
		}
		s := tried{drill: "10 Oct", cultivate: none, sprayOff: none}
		if len(with) > 0 {
			s.cultivate = strings.Join(with, ", ")
		}
		if burnt {
			s.sprayOff = strings.Join(append(sprays, dayBefore), ", ")
		}
		return on(s)
	}
	for k, days := range [][]string{{}, {"28 Aug"}, {"28 Aug", "18 Sep"}, {"15 Aug", "28 Aug", "18 Sep"}, {"15 Aug", "28 Aug", "8 Sep", "18 Sep"},
		{"15 Aug", "28 Aug", "8 Sep", "18 Sep", "30 Sep"}} {
		if k == 0 {
			all["burn_off"] = pair{passes(true), passes(false)}
			continue
		}
		all[fmt.Sprintf("stale_%d", k)] = pair{passes(false, days...), passes(false)}
		all[fmt.Sprintf("stale_%d_burnt_off", k)] = pair{passes(true, days...), passes(true)}
	}
	two := []string{"28 Aug", "18 Sep"}
	all["burn_off_two_passes"] = pair{passes(true, two...), passes(false, two...)}
	once := tried{drill: "3 Oct", sprayOff: "{days_before_drilling: 12}", herbicides: stackOn}
	again := once
	again.sprayOff += ", " + dayBefore
	all["burn_off_again"] = pair{on(again), on(once)}
}

// before is the day before a pass, when what is up is sprayed.
var before = map[string]string{"28 Aug": "27 Aug", "8 Sep": "7 Sep", "18 Sep": "17 Sep", "30 Sep": "29 Sep"}

// years is a season repeated.
func years(n int, s tried) string { return strings.Repeat(s.String(), n) }

func tillage(all map[string]pair) {
	ploughed := tried{cultivate: ploughOn}
	all["plough"] = pair{on(ploughed), usual}
	everything := stackOn + ", " + cineoleOn + ", " + contactOn
	disced := tried{herbicides: everything}
	ploughed.herbicides = everything
	all["plough_again"] = pair{ground{}.of(1, ploughed, ploughed), ground{}.of(1, ploughed, disced)}
	resistant, programme := ground{resistance: "0.6"}, stackOn+", "+contactOn
	six := resistant.text(5, years(6, tried{herbicides: programme}))
	all["plough_yearly"] = pair{resistant.text(5, years(6, tried{cultivate: ploughOn, herbicides: programme})), six}
	all["direct_yearly"] = pair{resistant.text(5, years(6, tried{cultivate: none, with: "disc-drill", herbicides: programme})), six}
	all["deep_tine"] = pair{on(tried{cultivate: "{date: 25 Aug, with: deep-tine}"}), usual}
	all["tine_10"] = pair{on(tried{cultivate: "{date: 25 Aug, with: tine-10}"}), usual}
	direct := tried{cultivate: none, with: "disc-drill"}
	all["direct"] = pair{on(direct), usual}
	baled := direct
	baled.straw = "removed"
	all["straw_removed"] = pair{ground{}.of(1, baled, direct), ground{}.of(1, direct, direct)}
}

func springs(all map[string]pair) {
	spring := func(crop string) tried { return tried{crop: crop, drill: "15 Mar"} }
	barley := spring("spring-barley")
	all["spring_barley"] = pair{on(barley), usual}
	all["spring_wheat"] = pair{on(spring("spring-wheat")), usual}
	all["barley_for_spring_wheat"] = pair{on(barley), on(spring("spring-wheat"))}
	all["spring_beans"] = pair{on(spring("spring-beans")), on(barley)}
	ploughed, direct := barley, barley
	ploughed.cultivate = "{date: 5 Nov, with: plough}"
	direct.cultivate, direct.with = none, "disc-drill"
	all["barley_ploughed"] = pair{on(ploughed), on(direct)}
	wheat := tried{herbicides: stackOn + ", " + contactOn}
	all["after_spring_barley"] = pair{ground{}.of(1, barley, wheat), ground{}.of(1, wheat, wheat)}
	all["three_springs"] = pair{ground{}.text(3, years(3, barley)+wheat.String()), ground{}.text(3, years(4, wheat))}
	sown := func(seeds string) grown { s := barley; s.seeds = seeds; return on(s) }
	all["barley_525_seeds"] = pair{sown("525"), sown("87")}
	all["barley_550_seeds"] = pair{sown("550"), sown("250")}
}

func coversAndLeys(all map[string]pair) {
	covered := func(destroyed string) grown {
		return ground{work: "when-fit"}.of(0, tried{crop: "spring-barley", drill: "18 Mar", sprayOff: "30 Aug, " + dayBefore, cover: destroyed})
	}
	early := pair{covered("25 Jan"), covered("")}
	all["cover_early_yield"], all["cover_early_plants"], all["cover_early_margin"] = early, early, early
	all["cover_late_margin"] = pair{covered("4 Mar"), covered("25 Jan")}
	all["ley_three_years"] = pair{ground{}.text(3, leyYears+tried{}.String()), usual}
	all["fallow_seed"] = pair{ground{}.text(0, fallowYear), usual}
	all["fallow_next"] = pair{ground{}.text(1, fallowYear+tried{}.String()), usual}
}

// workInCrop is what is done in the crop and at harvest, by its day and by how much there is.
func workInCrop(all map[string]pair) {
	done := func(g ground, date, with string) grown {
		return g.of(0, tried{inCrop: "{date: " + date + ", with: " + with + "}"})
	}
	few := ground{heads: "0.25"}
	for _, date := range []string{"20 May", "1 June", "7 June", "25 June", "5 July"} {
		all["patch_"+under(date)] = pair{done(few, short(date), "patch-spray"), few.of(0, tried{})}
	}
	for _, date := range []string{"20 May", "1 June", "10 June", "10 July"} {
		all["cut_"+under(date)] = pair{done(ground{}, short(date), "cut-whole-crop"), usual}
	}
	for _, heads := range []string{"0.02", "0.2", "2", "20"} {
		g := ground{heads: heads}
		all["rogue_"+strings.ReplaceAll(heads, ".", "_")] = pair{done(g, "14 Jun", "hand-rogue"), g.of(0, tried{})}
	}
	for row, weed := range map[string]string{"seed_control": "black-grass", "seed_control_rye": "italian-rye-grass", "seed_control_oat": "wild-oat"} {
		g := ground{weed: weed}
		all[row] = pair{g.of(0, tried{harvestWith: "seed-control"}), g.of(0, tried{})}
	}
}

func under(date string) string { return strings.ToLower(strings.ReplaceAll(date, " ", "_")) }

// short is a date as plans have it.
func short(date string) string {
	day, month, _ := strings.Cut(date, " ")
	return day + " " + month[:3]
}

func cropsAndRates(all map[string]pair) {
	hybrid := tried{crop: "hybrid-winter-barley"}
	all["winter_barley"] = pair{on(tried{crop: "winter-barley"}), usual}
	all["hybrid_barley"] = pair{on(hybrid), usual}
	all["hybrid_barley_seed"] = all["hybrid_barley"]
	for row, weed := range map[string]string{"hybrid_barley_rye": "italian-rye-grass", "hybrid_barley_brome": "sterile-brome"} {
		g := ground{weed: weed}
		all[row] = pair{g.of(0, hybrid), g.of(0, tried{})}
	}
	sown := func(seeds string) grown { return on(tried{seeds: seeds}) }
	all["seeds_500"] = pair{sown("500"), sown("350")}
	all["seeds_500_plants"] = all["seeds_500"]
	all["seeds_200"] = pair{sown("200"), sown("350")}
}

// plansOf are the plans of all pairs, each once, in order.
func plansOf(all map[string]pair) (plans []string) {
	for _, p := range all {
		plans = append(plans, p.with.plan, p.against.plan)
	}
	slices.Sort(plans)
	return slices.Compact(plans)
}
