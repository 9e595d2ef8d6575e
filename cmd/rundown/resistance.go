package main

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"rundown/params/sheet"
	"rundown/rotations"
)

// unknown is the answer of who has not looked. It says no more of the field than that none is known.
const unknown = "don't know"

// asksResistance are the groups whose resistance is asked for, in trade words: the two of
// contact sprays in which it is common, and the one of residuals in which it begins.
var asksResistance = []struct{ hrac, words string }{
	{"2", "ALS sprays, the spring contact sprays in wheat (HRAC group 2)"},
	{"1", "ACCase sprays, the fops, dims and dens (HRAC group 1)"},
	{"15", "the residuals sprayed before the crop is up (HRAC group 15)"},
}

// offered are the answers as a question lists them.
func offered() []string {
	return append(slices.Clone(rotations.Survivals), unknown+" (then it starts rare, as in the library)")
}

// takeResistance takes one of the words for survival, or its first word, or that it is not known.
func (a *answers) takeResistance(group string) func(string) error {
	answers := append(slices.Clone(rotations.Survivals), unknown)
	return func(s string) error {
		words := strings.Fields(strings.ToLower(strings.ReplaceAll(s, "’", "'")))
		i := -1
		if len(words) > 0 {
			first := words[0]
			switch first {
			case "dont", "unknown", "not", "?":
				first = "don't"
			}
			i = slices.IndexFunc(answers, func(x string) bool { return strings.Fields(x)[0] == first })
		}
		if i < 0 {
			return fmt.Errorf("write one of: %s", strings.Join(answers, ", "))
		}
		a.resists[group] = answers[i]
		return nil
	}
}

// resistance is the answers as they stand in the plan, with a comment; where none is known an
// example that is one itself.
func (a *answers) resistance() (text, comment string) {
	var parts, open []string
	for _, g := range asksResistance {
		switch said := a.resists[g.hrac]; {
		case rotations.LostWhere(said) > 0:
			parts = append(parts, g.hrac+": "+sheet.Plain(rotations.LostWhere(said)))
		case said == unknown:
			open = append(open, g.hrac)
		}
	}
	if len(parts) > 0 {
		some, most := rotations.Survivals[1], rotations.Survivals[2]
		comment = fmt.Sprintf("HRAC group: share of its effect that is lost; %s is taken for %s, %s for %s", some, sheet.Plain(rotations.LostWhere(some)),
			most, sheet.Plain(rotations.LostWhere(most)))
	}
	if len(open) > 0 {
		if comment != "" {
			comment += "; "
		}
		comment += fmt.Sprintf("of HRAC %s %s you did not know: it starts rare, as in the library; a test of seed says more",
			map[bool]string{true: "group", false: "groups"}[len(open) == 1], strings.Join(open, " and "))
	}
	if len(parts) > 0 {
		return "resistance: {" + strings.Join(parts, ", ") + "}", comment
	}
	return "# resistance: {2: 0.6}", cmp.Or(comment, "none known; HRAC group: share of its effect that is lost here")
}
