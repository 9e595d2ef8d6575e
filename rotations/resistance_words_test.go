package rotations_test

import (
	"strings"
	"testing"

	"rundown/rotations"
)

// What is known of resistance, in whatever form.
func saidOf(t *testing.T, resistance string) *rotations.Calendar {
	t.Helper()
	return calendar(t, field+"weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 20, resistance: "+resistance+"}\n"+
		"seasons: [{crop: winter-wheat}]\n")
}

// The words of the trade mean what `rundown new` takes them for; where none is known a group is
// as one that is left out. Plans that say the same are of one field, in whatever words.
func TestResistanceInWords(t *testing.T) {
	for words, numbers := range map[string]string{
		"{2: some survive}":                  "{2: 0.3}",
		"{2: most survive, 1: none known}":   "{2: 0.8}",
		"{2: none known}":                    "{}",
		"{2: {by: one-gene, rating: RR}}":    "{2: {rating: RR, by: one-gene}}",
		"{1: {carriers: 3, tested: 20}}":     "{1: {tested: 20, carriers: 3}}",
		"{15: some survive, 2: {survey: 0}}": "{2: {survey: 0}, 15: 0.3}",
	} {
		a, b := saidOf(t, words), saidOf(t, numbers)
		if got := a.SameField(b, false); len(got) > 0 {
			t.Errorf("%s and %s: %v", words, numbers, got)
		}
		for g, lost := range b.Resistance {
			if a.Resistance[g] != lost {
				t.Errorf("%s: group %s loses %g, want %g", words, g, a.Resistance[g], lost)
			}
		}
		if len(a.Resistance) != len(b.Resistance) {
			t.Errorf("%s: %v, want %v", words, a.Resistance, b.Resistance)
		}
	}
}

// What differs is told as a plan writes it, so that it can be put into the other one.
func TestResistanceDiffersAsWritten(t *testing.T) {
	for _, form := range []string{"{2: {rating: RR}}", "{2: {survived: {low: 0.2, high: 0.4}}}", "{1: {carriers: 3, tested: 20}}",
		"{2: {by: one-gene, survey: 1-19}}"} {
		got := saidOf(t, "{2: 0.4}").SameField(saidOf(t, form), false)
		want := "weed.resistance is " + form + ", but {2: 0.4} in "
		if len(got) != 1 || !strings.Contains(strings.ReplaceAll(got[0], "tested: 20, carriers: 3", "carriers: 3, tested: 20"), want) {
			t.Errorf("%q, want %q", got, want)
		}
	}
}
