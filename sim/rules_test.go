package sim_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"rundown/sim"
	"rundown/sim/ensemble"
)

// Plans with decisions, on one field.
const ruledField = `
field: {name: invented, area_ha: 6, soil: silty-clay-loam, climate: east-lowland}
weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 25}
`

// Branches of the tests, as items of a list at some depth.
const (
	wheatBranch = `crop: winter-wheat
drill: {date: 8 Oct}
otherwise: spring-oats`
	springBranch = `crop: spring-barley
cover: {mix: mustard, sow: 3 Sep, destroy: 25 Jan}
cultivate: [{days_after_harvest: 6, with: shallow-disc}]
spray_off: [{days_before_drilling: 1}]
drill: {date: 20 Mar}`
	leyBranch  = "crop: grass-ley\nyears: 2"
	twoSprings = `seasons:
  - {crop: spring-barley, drill: {date: 20 Mar}}
  - {crop: spring-beans, drill: {date: 10 Mar}}`
)

// inList makes text an item of a list, so many blanks in.
func inList(blanks int, text string) string {
	pad := strings.Repeat(" ", blanks)
	return pad + "- " + strings.ReplaceAll(text, "\n", "\n"+pad+"  ") + "\n"
}

// choice is a choice between branches, of which each but the last has a condition.
func choice(decide string, branches ...string) string {
	text := "  - choose:\n"
	for _, b := range branches {
		text += inList(6, b)
	}
	if decide != "" {
		text += "    decide: " + decide + "\n"
	}
	return text
}

// sameRuns fails where two outcomes differ in a bit of anything but the branch's number.
func sameRuns(t *testing.T, what string, a, b *ensemble.Outcome) {
	t.Helper()
	for s := range a.Model.Seasons() {
		for k := range sim.MetricCount {
			if k == sim.Branch {
				continue
			}
			x, y := a.Column(k, s), b.Column(k, s)
			for i := range x {
				if math.Float64bits(x[i]) != math.Float64bits(y[i]) {
					t.Errorf("%s: %s of season %d in run %d is %v, and %v", what, sim.Metrics[k].Name, s+1, i, x[i], y[i])
					return
				}
			}
		}
	}
}

// A plan whose rules always take one branch, where looking costs nothing, runs to the bits of
// the plan with that branch alone: at first, last and middle places, decided as the season
// opens or later, with leys, covers, work counted from the harvest before, and fallbacks.
func TestOneBranchIsItsPlan(t *testing.T) {
	const never, always = "if: {heads_per_m2: {above: 900000}}\n", "if: {heads_per_m2: {below: 900000}}\n"
	wheat, spring, ley := inList(2, wheatBranch), inList(2, springBranch), inList(2, leyBranch)
	for _, c := range []struct{ name, ruled, plain string }{
		{"first branch", wheat + choice("", always+springBranch, wheatBranch) + wheat, wheat + spring + wheat},
		{"last branch", wheat + choice("", never+springBranch, wheatBranch) + spring, wheat + wheat + spring},
		{"decided later", spring + choice("25 Aug", never+leyBranch, twoSprings) + wheat,
			spring + inList(2, "{crop: spring-barley, drill: {date: 20 Mar}}") + inList(2, "{crop: spring-beans, drill: {date: 10 Mar}}") + wheat},
		{"ley", wheat + choice("", always+leyBranch, twoSprings) + wheat, wheat + ley + wheat},
		{"one behind another", wheat + choice("", never+springBranch, wheatBranch) + choice("", always+springBranch, wheatBranch) + wheat, wheat + wheat +
			spring + wheat},
	} {
		t.Run(c.name, func(t *testing.T) {
			ruled := run(t, 24, nil, ruledField+"seasons:\n"+c.ruled)
			plain := run(t, 24, nil, ruledField+"seasons:\n"+c.plain)
			sameRuns(t, c.name, ruled[0], plain[0])
		})
	}
}

// Work that a rule never calls for is left out, and work that it always calls for is as
// without a rule: sprays, cultivations, covers, weed-seed control, in the crop, and work
// that waits for the drilling.
func TestOneAnswerIsItsPlan(t *testing.T) {
	const work = `  - crop: winter-wheat
    cultivate: [{date: 25 Aug, with: shallow-disc}%[1]s]
    spray_off: [{days_before_drilling: 2}%[2]s]
    drill: {date: 8 Oct}
    herbicides: [{programme: autumn-residual-stack, days_after_drilling: 2}%[3]s]
    in_crop: [%[4]s]
%[5]s    harvest: {straw: chopped%[6]s}
  - {crop: spring-barley%[7]s, spray_off: [{days_before_drilling: 1}], drill: {date: 20 Mar}} # what is usual hangs on there being a cover
`
	fill := func(cond string) string {
		var with [7]any
		for i, w := range []string{"{date: 5 Sep, with: shallow-disc@}", "{days_before_drilling: 0@}", "{programme: spring-contact, date: 10 Mar@}",
			"{with: hand-rogue, date: 14 Jun@}", "", "with: seed-control@", "cover: {mix: mustard, sow: 3 Sep, destroy: 25 Jan@}"} {
			with[i] = ""
			if cond == "none" || w == "" {
				continue
			}
			x := cond
			if strings.HasPrefix(w, "with:") && cond != "" { // seen in June
				x = strings.Replace(cond, "plants_per_m2", "heads_per_m2", 1)
			}
			with[i] = ", " + strings.Replace(w, "@", x, 1)
			if i == 3 {
				with[i] = strings.TrimPrefix(with[i].(string), ", ")
			}
		}
		return ruledField + "seasons:\n" + fmt.Sprintf(work, with[:]...)
	}
	always := run(t, 24, nil, fill(", if: {plants_per_m2: {below: 900000}}"))
	never := run(t, 24, nil, fill(", if: {plants_per_m2: {above: 900000}}"))
	sameRuns(t, "always", always[0], run(t, 24, nil, fill(""))[0])
	sameRuns(t, "never", never[0], run(t, 24, nil, fill("none"))[0])
}
