package findings

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/params"
	"rundown/rotations"
	"rundown/sim/study"
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
		return "Resistance is held still, as the plan says."
	case len(c.Resistance) > 0:
		return "Resistance is held still."
	case c.SaidEvolve:
		return "No resistance is assumed."
	}
	return "No resistance is assumed, now or later."
}

// resistanceWords say how resistance starts, and whether it changes. e is what becomes of it, nil
// where that is not known.
func resistanceWords(c *rotations.Calendar, e *study.Evolving) string {
	if c.Genes != nil {
		return evolvingWords(c, e)
	}
	groups := inOrder(c)
	tested := false
	for i, g := range groups {
		s := c.Resistant[g]
		tested = tested || s.Said != "lost"
		groups[i] = fmt.Sprintf("group %s lose %s of their effect", g, lostWords(s))
	}
	text := "Resistance is taken from the plan and held still: sprays of HRAC " + strings.Join(groups, ", of ") + "."
	if tested {
		return text
	}
	return text + " A test of this field's own seed is better than a guess."
}

// lostWords are a share lost in per cent: as it was said, or about what a test comes to.
func lostWords(s *rotations.Resistant) string {
	if s.Said == "lost" {
		return report.Shortest(math.Round(1000*s.Lost)/10) + " %"
	}
	return "about " + percentOf(s.Lost) + " %"
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
func evolvingWords(c *rotations.Calendar, e *study.Evolving) string {
	groups := inOrder(c)
	if len(groups) == 0 {
		return "Resistance evolves. Nothing is known of this field, so it starts rare, as in fields that were never sprayed. " +
			"A test of this field's own seed says more."
	}
	text, tested, weak, standard := "Resistance evolves.", false, false, 0.0
	for _, g := range groups {
		s := c.Resistant[g]
		tested = tested || s.Said != "lost"
		text += " HRAC group " + g + ": " + saidWords(s, standard)
		standard = s.Standard
		if p := sprayedWith(e, g); p != nil {
			text += fmt.Sprintf("; %s kills %s of 100 at first, %s without resistance", spoken(p.Entry.Name), percentOf(p.Kill[0].P50), percentOf(p.Stated))
			weak = weak || s.Make != rotations.OneGene && p.Stated < 0.75 && p.Kill[0].P50 < p.Stated*(1-s.Lost)-0.1
		}
		text += "."
	}
	if weak {
		text += " By many genes, a spray that is weak on this weed loses more of its kill than a strong one."
	}
	if slices.ContainsFunc(c.Sprayed, func(g string) bool { return c.Resistant[g] == nil }) {
		text += " Of other groups nothing is known, so it starts rare."
	}
	if tested {
		return text + " A test of plants that outlived a spray overstates the field; its figure is taken as it is."
	}
	return text + " A test of this field's own seed says more."
}

// sprayedWith is the spray of a group that has lost most of its kill before the first season; nil where
// none that is meant for the weed is known to.
func sprayedWith(e *study.Evolving, group string) (out *study.Programme) {
	if e == nil {
		return nil
	}
	lost := 0.03
	for i := range e.Programmes {
		p := &e.Programmes[i]
		if by := p.Stated - p.Kill[0].P50; p.Meant() && by > lost && slices.Contains(p.Groups, group) {
			out, lost = p, by
		}
	}
	return out
}

// saidWords are what one group's resistance became; told is the standard of the group told before it.
func saidWords(s *rotations.Resistant, told float64) string {
	by := map[string]string{rotations.OneGene: "one gene", rotations.ManyGenes: "many genes", "": "one gene or many",
		rotations.BothMakes: "many genes, beside which one starts rare"}[s.Make]
	test := "a seed test"
	if s.Standard != told {
		test += fmt.Sprintf(" that kills %s of 100 sensitive ones", percentOf(s.Standard))
	}
	switch s.Said {
	case "lost":
		return fmt.Sprintf("%s of its effect is lost at the start, by many genes", lostWords(s))
	case "carriers":
		words := fmt.Sprintf("found in %d of %d plants tested, so in about %s", s.Found, s.Tested, among(s.Value.Central))
		if s.Make == rotations.BothMakes {
			words += "; many genes start rare beside it"
		}
		return words
	case "survived":
		share := report.Of100(s.Value.Central)
		if s.Value.Spread.Kind != params.Fixed {
			share = report.Of100(s.Value.Quantile(0.05)) + " to " + report.Of100(min(1, s.Value.Quantile(0.95)))
		}
		words := fmt.Sprintf("%s of 100 seedlings survived %s, by %s", share, test, by)
		if s.Make == rotations.OneGene {
			words += fmt.Sprintf(" (in about %s)", among(max(0, (s.Value.Central-(1-s.Standard))/s.Standard)))
		}
		return words
	}
	return fmt.Sprintf("%s to %s of 100 seedlings survived %s, by %s", report.Of100(s.Class[0]), report.Of100(s.Class[1]), test, by)
}

// among writes the share of plants that carry a gene: 1 plant of 4.
func among(share float64) string {
	switch {
	case share <= 0:
		return "no plant"
	case share > 0.4:
		return report.Of100(share) + " plants of 100"
	}
	return "1 plant of " + report.Form{Digits: 2, Least: 1}.Value(math.Round(1/share))
}
