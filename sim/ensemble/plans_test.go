package ensemble_test

import (
	"fmt"
	"math/rand/v2"
	"strings"

	"rundown/sim/simtest"
)

// model makes a model of a plan's text.
var model = simtest.Model

// A planner writes random valid plans.
type planner struct{ *rand.Rand }

func newPlanner(seed uint64) planner { return planner{rand.New(rand.NewPCG(seed, 2))} }

func (p planner) of(words ...string) string { return words[p.IntN(len(words))] }

// plan is a random plan of some seasons on an area.
func (p planner) plan(seasons int, areaHa float64) string {
	var b strings.Builder
	fmt.Fprintf(&b, "field: {name: Random, area_ha: %v, soil: %s, climate: east-lowland, history: %s}\n", areaHa,
		p.of("clay", "clay-loam", "sandy-loam"), p.of("shallow-disc", "plough", "disc-drill", "deep-tine"))
	fmt.Fprintf(&b, "weed: {species: %s, start: 2026-08-%02d, %s%s}\nseasons:\n", p.of("black-grass", "italian-rye-grass", "wild-oat", "sterile-brome"),
		1+p.IntN(20), p.start(), p.of("", "", ", import_per_m2: 0.2"))
	for range seasons {
		p.season(&b)
	}
	return b.String()
}

func (p planner) start() string {
	switch p.IntN(3) {
	case 0:
		return fmt.Sprintf("heads_per_m2: %.2f", 200*p.Float64()*p.Float64())
	case 1:
		return "heads_per_m2: {low: 2, high: 90}"
	}
	return fmt.Sprintf("seedbank_per_m2: {surface: %.1f, 0-5: %.1f, 5-10: %.1f, 15-20: %.1f, fresh: %.1f}", 50*p.Float64(), 900*p.Float64(),
		500*p.Float64(), 300*p.Float64(), 2000*p.Float64())
}

// season writes one season; every date fits whatever crop came before.
func (p planner) season(b *strings.Builder) {
	till := p.of("[{date: 20 Sep, with: shallow-disc}]", "[{date: 20 Sep, with: plough}]",
		"[{date: 18 Sep, with: deep-tine}, {date: 25 Sep, with: shallow-disc}]", "[]", "[{date: 22 Sep, with: plough, quality: good}]")
	drill := p.of("tine-drill", "disc-drill", "combination-drill")
	switch p.IntN(4) {
	case 0, 1:
		crop, spring := "winter-wheat", "spring-contact"
		if p.IntN(2) == 0 {
			crop, spring = "winter-barley", "contact-acc-cereals"
		}
		fmt.Fprintf(b, "  - crop: %s\n    cultivate: %s\n    spray_off: %s\n    drill: {date: %d Oct, latest: %d Nov, with: %s}\n    herbicides: %s\n", crop, till,
			p.of("[]", "[{days_before_drilling: 1}]", "[24 Sep, 30 Sep]"), 2+p.IntN(25), 1+p.IntN(28), drill,
			p.of("[]", "[{programme: autumn-residual-stack, days_after_drilling: 2}]",
				"[{programme: autumn-residual-single, days_after_drilling: 1}, {programme: "+spring+", date: 10 Mar}]"))
		if p.IntN(2) == 0 {
			fmt.Fprintf(b, "    otherwise: %s\n", p.of("spring-barley", "spring-oats", "fallow"))
		}
	case 2:
		crop := p.of("spring-barley", "spring-oats", "spring-beans")
		herbicides := p.of("[]", "[{programme: spring-residual, days_after_drilling: 2}]")
		if crop == "spring-oats" { // none is used there
			herbicides = "[]"
		}
		fmt.Fprintf(b, "  - crop: %s\n    cultivate: %s\n    spray_off: [{days_before_drilling: 2}]\n    drill: {date: %d Mar, latest: 25 Apr, with: "+
			"%s}\n    herbicides: %s\n", crop, till, 5+p.IntN(22), drill, herbicides)
		if p.IntN(2) == 0 {
			fmt.Fprintf(b, "    cover: {mix: %s, sow: 28 Sep, destroy: %s}\n", p.of("oats-legumes", "rye-vetch", "mustard"), p.of("25 Jan", "1 Mar"))
		}
	case 3:
		fmt.Fprintf(b, "  - crop: fallow\n    cultivate: %s\n    spray_off: [20 Apr, 28 May]\n    herbicides: []\n", till)
	}
}
