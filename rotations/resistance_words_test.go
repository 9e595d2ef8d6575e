package rotations_test

import (
	"math"
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

// A range of shares is drawn by its odds: nine in ten lie in it, and its middle is as far from none as from all.
func TestRangeOfSurvivors(t *testing.T) {
	for text, want := range map[string][3]float64{"{low: 0.02, high: 0.98}": {0.02, 0.5, 0.98}, "{low: 0.1, high: 0.3}": {0.1, 0.179, 0.3}} {
		v := saidOf(t, "{2: {survived: "+text+"}}").Resistant["2"].Value
		for i, u := range []float64{0.05, 0.5, 0.95} {
			if x := v.Quantile(u); math.Abs(x-want[i]) > 0.011 {
				t.Errorf("%s: quantile %g is %.4f, expected %.3f", text, u, x, want[i])
			}
		}
	}
}
