package findings

import (
	"fmt"
	"slices"
	"strings"

	"rundown/cmd/internal/figure"
	"rundown/cmd/internal/report"
	"rundown/sim/study"
)

// sprayed are the programmes of plans under which resistance evolves, each once, in order of the plans.
func sprayed(x *comparison) (names []string) {
	for _, c := range x.all {
		if c.Evolves == nil {
			continue
		}
		for _, p := range c.Evolves.Programmes {
			if !slices.Contains(names, p.Entry.Name) {
				names = append(names, p.Entry.Name)
			}
		}
	}
	return names
}

// under is a plan's programme, nil where it does not spray it or resistance is held still.
func under(c *contender, name string) *study.Programme {
	if c.Evolves == nil {
		return nil
	}
	for i := range c.Evolves.Programmes {
		if p := &c.Evolves.Programmes[i]; p.Entry.Name == name {
			return p
		}
	}
	return nil
}

// comparedResistance is what every spray kills under every plan, at both ends, and who carries what.
func comparedResistance(x *comparison) []report.Table {
	t := report.Table{Title: "Resistance: what sprays kill of plants as they then are", Keys: 2,
		Columns: []report.Column{{Head: "Killed by"}, {Head: "Plan"},
			{Head: "First harvest", Unit: "%", Right: true, Band: true}, {Head: "Last harvest", Unit: "%", Right: true, Band: true},
			{Head: "Half gone", Unit: "from harvest", Right: true}, {Head: "Keeps half", Unit: "of 100 runs", Right: true}},
		Legend: evolvingLegend}
	add := func(cells ...string) { t.Rows = append(t.Rows, report.Row{Cells: cells}) }
	for _, name := range sprayed(x) {
		for _, c := range x.all {
			if p := under(c, name); p != nil {
				add(fmt.Sprintf("%s, group %s", spoken(name), strings.Join(p.Groups, ", ")), c.Name, killBand(p.Kill[0]), killBand(*lastOf(p.Kill)),
					fallWords(p, c.Seasons), report.Of100(p.Never))
			}
		}
	}
	for _, group := range []string{"1", "2"} {
		for _, c := range x.all {
			if c.Evolves == nil {
				continue
			}
			for _, g := range c.Evolves.Genes {
				if g.Group == group {
					add(fmt.Sprintf("plants that carry it, group %s (%s)", group, oneGene(g)), c.Name, killBand(g.Carriers[0]),
						killBand(*lastOf(g.Carriers)), "–", "–")
				}
			}
		}
	}
	if len(t.Rows) == 0 {
		return nil
	}
	return []report.Table{t}
}

func lastOf(all []report.Band) *report.Band { return &all[len(all)-1] }

// comparedKills is the picture of it: each spray's kill under each plan, at both ends. Sprays that hold
// under every plan have no panel; nil where none is left.
func comparedKills(x *comparison) *figure.Updated {
	first := x.all[0]
	f := &figure.Updated{Each: "Plan", Before: fmt.Sprintf("at harvest %d", first.Seasons[0].HarvestYear), After: "at the plan's last harvest"}
	f.Caption = figure.Caption{Title: first.Calendar.Name + ": what sprays kill at first and at last", Subtitle: forecastSubtitle(first.Run), Note: noPromise,
		Provenance: provenanceLine(first.Run)}
	for _, name := range sprayed(x) {
		panel := figure.UpdatedPanel{Name: "Kill by " + spoken(name), Kind: figure.Percent}
		moves := false
		for _, c := range x.all {
			p := under(c, name)
			if p == nil { // a gap, so that plans stand under each other
				panel.Columns = append(panel.Columns, figure.UpdatedColumn{Label: spoken(c.Name), Before: figure.None(), After: figure.None()})
				continue
			}
			moves = moves || !holds(*p)
			panel.Unit = "group " + strings.Join(p.Groups, ", ")
			panel.Columns = append(panel.Columns, figure.UpdatedColumn{Label: spoken(c.Name), Before: drawnSpread(p.Kill[0]),
				After: drawnSpread(*lastOf(p.Kill))})
		}
		if moves && len(f.Panels) < mostKillPanels {
			f.Panels = append(f.Panels, panel)
		}
	}
	if len(f.Panels) == 0 {
		return nil
	}
	return f
}

// unpictured says that some sprays have no panel in the picture; "" where all have.
func unpictured(x *comparison) string {
	drawn := 0
	if f := comparedKills(x); f != nil {
		drawn = len(f.Panels)
	}
	switch {
	case drawn == len(sprayed(x)):
		return ""
	case drawn == mostKillPanels:
		return "Other sprays stand in the table alone."
	}
	return "Sprays that keep their kill under every plan stand in the table alone."
}

// mostKillPanels is how many sprays a picture of plans shows.
const mostKillPanels = 5
