package rotations_test

import (
	"strings"
	"testing"

	"rundown/params/date"
	"rundown/rotations"
)

// What is planned after a day, and money, is no part of the past; what is
// planned before it is. The days are those of the plan, read by hand.
func TestPast(t *testing.T) {
	plan := func(first, second string) string {
		return field + weed + "seasons:\n  - {crop: winter-wheat, drill: {date: 15 Oct, latest: 15 Nov}, " + first + "}\n  - {crop: winter-wheat, " + second + "}\n"
	}
	const spring = "herbicides: [{programme: autumn-residual-stack, days_after_drilling: 2}, {programme: spring-contact, date: 10 Mar}]"
	a := calendar(t, plan(spring, "drill: {date: 20 Oct}"))
	for _, x := range []struct {
		why, plan, day string
		here, there    string // in the lines that differ; "": none do
	}{
		{"itself", plan(spring, "drill: {date: 20 Oct}"), "2028-06-01", "", ""},
		{"the next season's drilling, after the day", plan(spring, "drill: {date: 1 Nov}"), "2027-06-15", "", ""},
		{"the next season's drilling, before the day", plan(spring, "drill: {date: 1 Nov}"), "2027-11-05", "drilled 2027-11-01", "drilled 2027-10-20"},
		{"a spray before the day", plan(strings.Replace(spring, "10 Mar", "20 Mar", 1), "drill: {date: 20 Oct}"), "2027-04-12",
			"spring-contact on 2027-03-20", "spring-contact on 2027-03-10"},
		{"the same spray after the day", plan(strings.Replace(spring, "10 Mar", "20 Mar", 1), "drill: {date: 20 Oct}"), "2027-03-01", "", ""},
		{"a residue counted from the drilling", plan(strings.Replace(spring, "drilling: 2", "drilling: 5", 1), "drill: {date: 20 Oct}"), "2026-10-25",
			"5 days after", "2 days after"},
		{"money", plan(spring+", economics: {prices: {winter-wheat: 90}}", "drill: {date: 20 Oct}"), "2028-06-01", "", ""},
		{"the straw, after the harvest", plan(spring+", harvest: {straw: removed}", "drill: {date: 20 Oct}"), "2027-09-01", "straw chopped: false",
			"straw chopped: true"},
		{"the straw, long before it", plan(spring+", harvest: {straw: removed}", "drill: {date: 20 Oct}"), "2027-04-01", "", ""},
		{"the crop of a season not open yet", field + weed + "seasons: [{crop: winter-wheat, drill: {date: 15 Oct, latest: 15 Nov}, " + spring +
			"}, {crop: spring-beans}]\n", "2027-06-15", "", ""},
		{"the soil", strings.Replace(plan(spring, "drill: {date: 20 Oct}"), "soil: clay", "soil: sandy-loam", 1), "2026-09-01", "soil sandy-loam", "soil clay"},
		{"the count before the start", strings.Replace(plan(spring, "drill: {date: 20 Oct}"), "heads_per_m2: ", "heads_per_m2: 1", 1), "2026-09-01",
			"heads before the start", "heads before the start"},
	} {
		day := on(t, x.day)
		here, there := calendar(t, x.plan).Departures(day, a.Past(day))
		for _, d := range []struct{ got, want string }{{told(here), x.here}, {told(there), x.there}} {
			if (d.got == "") != (d.want == "") || !strings.Contains(d.got, d.want) {
				t.Errorf("%s, on %s: %q, expected %q", x.why, x.day, d.got, d.want)
			}
		}
	}
}

// told is what a refusal says of facts.
func told(facts []rotations.Fact) string {
	var out []string
	for _, f := range facts {
		out = append(out, f.String())
	}
	return strings.Join(out, "; ")
}

// Of two drillings of a crop for one harvest only what differs is said, and a typical cultivar is not spoken of.
func TestUnlikeFactsSayWhatDiffers(t *testing.T) {
	wheat := func(more string) *rotations.Calendar {
		return calendar(t, field+weed+"seasons: [{crop: winter-wheat, spray_off: []"+more+"}]\n")
	}
	a, b := wheat(", drill: {date: 6 Oct, latest: 10 Nov}"), wheat(", drill: {date: 16 Oct, latest: 10 Nov}, cultivar_factor: 0.5")
	until := date.Of(2027, 3, 1)
	here, there := b.Departures(until, a.Past(until))
	mine, theirs := rotations.Unlike(here, there)
	find := func(list []string) string {
		for _, x := range list {
			if strings.Contains(x, "drilled") {
				return x
			}
		}
		return ""
	}
	if got, want := find(mine), "harvest 2027: winter-wheat drilled 2026-10-16, 0.5 times the heads of a typical cultivar"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got, want := find(theirs), "harvest 2027: winter-wheat drilled 2026-10-06, as many heads as of a typical cultivar"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	for _, f := range a.Past(until) {
		if f.What == rotations.FactDrilled && strings.Contains(f.String(), "typical cultivar") {
			t.Errorf("a typical cultivar is spoken of: %s", f)
		}
	}
}
