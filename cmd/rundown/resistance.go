package main

import (
	"fmt"
	"slices"
	"strings"

	"rundown/params/sheet"
)

// survivals are the words in which a person says how many plants live through a spray
// that used to kill them; lost is the share of its effect that each is taken for.
var (
	survivals = []string{"none known", "some survive", "most survive"}
	lost      = map[string]float64{survivals[1]: 0.3, survivals[2]: 0.8} // assumed
)

// asksResistance are the groups whose resistance is asked for, in trade words: the two of
// contact sprays in which it is common, and the one of residuals in which it begins.
var asksResistance = []struct{ hrac, words string }{
	{"2", "ALS sprays, the spring contact sprays in wheat (HRAC group 2)"},
	{"1", "ACCase sprays, the fops, dims and dens (HRAC group 1)"},
	{"15", "the residuals sprayed before the crop is up (HRAC group 15)"},
}

// takeResistance takes one of survivals, or its first word.
func (a *answers) takeResistance(group string) func(string) error {
	return func(s string) error {
		words := strings.Fields(strings.ToLower(s))
		i := -1
		if len(words) > 0 {
			i = slices.IndexFunc(survivals, func(x string) bool { return strings.Fields(x)[0] == words[0] })
		}
		if i < 0 {
			return fmt.Errorf("write one of: %s", strings.Join(survivals, ", "))
		}
		a.resists[group] = survivals[i]
		return nil
	}
}

// resistance is the answers as they stand in the plan, with a comment; it is not ok where
// none is known.
func (a *answers) resistance() (text, comment string, ok bool) {
	var parts []string
	for _, g := range asksResistance {
		if x := lost[a.resists[g.hrac]]; x > 0 {
			parts = append(parts, g.hrac+": "+sheet.Plain(x))
		}
	}
	return "resistance: {" + strings.Join(parts, ", ") + "}",
		fmt.Sprintf("HRAC group: share of its effect that is lost; %s is taken for %s, %s for %s",
			survivals[1], sheet.Plain(lost[survivals[1]]), survivals[2], sheet.Plain(lost[survivals[2]])), len(parts) > 0
}
