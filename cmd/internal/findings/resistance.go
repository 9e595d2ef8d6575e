package findings

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/rotations"
)

// noResistance is what an answer says of resistance: that none is assumed, that it is held still where the
// plan does not say which it wants, or that it evolves.
func noResistance(r Run) string {
	switch c := r.Calendar; {
	case c.Genes != nil && len(c.Resistance) > 0:
		return "Resistance evolves from what the plan says."
	case c.Genes != nil:
		return "Resistance evolves in these runs: it starts rare, not absent."
	case len(c.Resistance) > 0 && c.SaidEvolve:
		return ""
	case len(c.Resistance) > 0:
		return "Resistance stays as the plan has it."
	case c.SaidEvolve:
		return "No resistance is assumed."
	}
	return "No resistance is assumed, now or later."
}

// resistanceWords say how resistance starts, and whether it changes.
func resistanceWords(c *rotations.Calendar) string {
	if c.Genes != nil {
		return evolvingWords(c)
	}
	groups := inOrder(c)
	for i, g := range groups {
		groups[i] = fmt.Sprintf("group %s loses %s %% of its effect", g, report.Shortest(math.Round(1000*c.Resistance[g])/10))
	}
	return "Resistance is taken from the plan and held still: HRAC " + strings.Join(groups,
		", ") + ". A test of this field's own seed is better than a guess."
}

// inOrder are the HRAC groups of which the plan says something.
func inOrder(c *rotations.Calendar) (groups []string) {
	for g := range c.Resistance {
		groups = append(groups, g)
	}
	sort.Slice(groups, func(a, b int) bool {
		return len(groups[a]) < len(groups[b]) || len(groups[a]) == len(groups[b]) && groups[a] < groups[b]
	})
	return groups
}

// evolvingWords say what the plan's words on resistance became, and what is not said of.
func evolvingWords(c *rotations.Calendar) string {
	var said []string
	for _, g := range inOrder(c) {
		said = append(said, "HRAC group "+g+": "+saidWords(c.Resistant[g]))
	}
	text := "Resistance evolves: "
	if len(said) > 0 {
		text += strings.Join(said, "; ") + ". Of other groups nothing is known, so that it"
	} else {
		text += "nothing is known of this field, so that it"
	}
	text += " starts rare, as in fields that were never sprayed. The spread is over what is not known: a test of this field's own seed is better"
	for _, s := range c.Resistant {
		if s.Said != "lost" {
			return text + ", though tests are of plants that were left, so that they overstate the field."
		}
	}
	return text + "."
}

// saidWords are what one group's resistance became.
func saidWords(s *rotations.Resistant) string {
	by := map[string]string{rotations.OneGene: "one gene", rotations.ManyGenes: "many genes", "": "one gene or many",
		rotations.BothMakes: "many genes, beside which one starts rare"}[s.Make]
	switch s.Said {
	case "lost":
		return fmt.Sprintf("it loses %s %% of its effect at the start, by many genes", report.Shortest(math.Round(1000*s.Lost)/10))
	case "carriers":
		words := oneIn(s.Value.Central) + " carries it, by tests of DNA"
		if s.Make == rotations.BothMakes {
			words += "; many genes start rare beside it"
		}
		return words
	case "survived":
		if carriers := max(0, (s.Value.Central-(1-s.Standard))/s.Standard); s.Make == rotations.OneGene {
			return "by one gene, " + oneIn(carriers) + " carries it"
		}
		return fmt.Sprintf("%s of 100 seedlings survived a test, by %s", report.Of100(s.Value.Central), by)
	}
	return fmt.Sprintf("%s to %s of 100 seedlings survived a test, by %s", report.Of100(s.Class[0]), report.Of100(s.Class[1]), by)
}

// oneIn writes a share as plants: 1 plant in 4.
func oneIn(share float64) string {
	switch {
	case share <= 0:
		return "no plant"
	case share > 0.4:
		return report.Of100(share) + " plants in 100"
	}
	return "1 plant in " + report.Form{Digits: 2, Least: 1}.Value(1/share)
}
