package main

import (
	"strings"
	"testing"

	"rundown/sim/simtest"
)

// An answer does not say what its numbers deny: a plan that has less seed by the medians
// but more in most runs is not called cleaner, and a date that is best only because the
// planned one goes in too seldom is not said to earn more.
func TestAnswersThatWouldBeFalse(t *testing.T) {
	simtest.Stage(t, "answers")
	barley := func(before string) string {
		return "field: {name: Far Piece, area_ha: 12, soil: clay, climate: east-lowland, history: shallow-disc}\n" +
			"weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 40, resistance: {2: 0.6}}\n" +
			"seasons: [{crop: spring-barley, cultivate: [{date: 25 Aug, with: shallow-disc}], " + before + ",\n" +
			"  drill: {date: 18 Mar, latest: 25 Apr, with: tine-drill, seeds_per_m2: 400}, herbicides: [{programme: spring-residual, days_after_drilling: 2}]}]\n"
	}
	inFolder(t, map[string]string{"without.yaml": barley("spray_off: [10 Oct, 25 Jan, {days_before_drilling: 1}]"),
		"with.yaml": barley("cover: {mix: oats-legumes, sow: 12 Oct, destroy: 25 Jan}, spray_off: [10 Oct, {days_before_drilling: 1}]")})
	got := run(t, strings.Fields("compare with.yaml without.yaml --replicates 400 --json")...)
	a, _ := answerOf(t, got.stdout)
	share := a.Facts["plans"].([]any)[1].(map[string]any)["cleaner_share"].(float64)
	opposed := share > 0.5 == (a.Facts["cleanest"] == "with")
	if !opposed {
		t.Error("medians and runs agree in these plans: nothing was tried")
	}
	if text := strings.Join(a.Sentences, " "); strings.Contains(text, "neither is surely cleaner") != opposed || strings.Contains(text, "is cleaner:") == opposed {
		t.Errorf("the second has less in %.2f of the runs, cleanest by the medians is %v: %s", share, a.Facts["cleanest"], text)
	}

	inFolder(t, map[string]string{"late.yaml": "field: {name: Far Piece, area_ha: 5, soil: clay, climate: east-lowland}\nweed: {species: black-grass, " +
		"start: 2026-08-01, heads_per_m2: 300}\n" +
		"seasons:\n  - {crop: winter-wheat, drill: {date: 5 Nov, latest: 20 Nov}, spray_off: [4 Nov], " +
		"herbicides: [{programme: autumn-residual-stack, days_after_drilling: 2}, {programme: autumn-residual-single, days_after_drilling: 20}, " +
		"{programme: autumn-residual-single, days_after_drilling: 40}]}\n  - {crop: spring-barley, otherwise: fallow}\nrepeat: 3\n"})
	less := false
	for _, move := range []string{"none", "along"} {
		got := run(t, strings.Fields("drilling late.yaml --from 2026-10-01 --to 2026-11-12 --every 35d --replicates 200 --json --move "+move)...)
		a, _ := answerOf(t, got.stdout)
		more, text := a.Facts["margin_difference_per_ha_year"].(float64), strings.Join(a.Sentences, " ")
		less = less || more < -5
		if a.Verdict != "earlier" || strings.Contains(text, "earns -") || strings.Contains(text, "earns 0") || strings.Contains(text, "less than 5 Nov") !=
			(more < -5) {
			t.Errorf("%s, %v GBP/ha a year more: %s", a.Verdict, more, text)
		}
	}
	if !less {
		t.Error("neither way of moving the date earns less than planned: nothing was tried")
	}
}
