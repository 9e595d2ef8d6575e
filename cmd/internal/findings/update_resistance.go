package findings

import (
	"fmt"
	"math"
	"strings"

	"rundown/cmd/internal/figure"
	"rundown/cmd/internal/report"
	"rundown/sim/study"
)

// theCounts are one count or several, as the subject of a sentence, and the verb that goes with them.
func (u *updated) theCounts(one, several string) string {
	if len(u.Counts) == 1 {
		return "The count " + one
	}
	return "The counts " + several
}

// learntAnswer is what the answer says of resistance: what the counts taught of it, or that they taught nothing.
func (u *updated) learntAnswer() string {
	l := u.Learnt
	if l == nil {
		return noResistance(u.Run)
	}
	if p := l.Most(); p != nil {
		than := "less resistance"
		switch was, is := percentOf(p.Before.P50), percentOf(p.After.P50); {
		case is == was:
			return fmt.Sprintf("%s the forecast out on resistance: %s kills about %s of 100.", u.theCounts("bears", "bear"), spoken(p.Entry.Name), is)
		case p.After.P50 < p.Before.P50:
			than = "more resistance"
		}
		return fmt.Sprintf("%s of %s than was thought: %s kills about %s of 100, where the forecast had %s.", u.theCounts("tells", "tell"), than,
			spoken(p.Entry.Name), percentOf(p.After.P50), percentOf(p.Before.P50))
	}
	p := l.Open()
	if p == nil {
		return u.theCounts("says", "say") + " nothing of resistance: test seed of this field."
	}
	return fmt.Sprintf("%s nothing of resistance: %s. Test seed of this field.", u.theCounts("says", "say"), openWords(p))
}

// openWords say how open the kill of a spray is.
func openWords(p *study.LearntKill) string {
	low, high := percentOf(p.After.P05), percentOf(p.After.P95)
	if low == high {
		return fmt.Sprintf("%s still kills about %s of 100", spoken(p.Entry.Name), low)
	}
	return fmt.Sprintf("%s may still kill %s to %s of 100", spoken(p.Entry.Name), low, high)
}

// learntWords are the same for page and long text, with why.
func (u *updated) learntWords() string {
	l, year := u.Learnt, u.after[u.Learnt.Season].HarvestYear
	var told []string
	for i := range l.Programmes {
		if p := &l.Programmes[i]; p.Told {
			told = append(told, fmt.Sprintf("%s is now thought to kill %s of 100 plants of harvest %d, where the forecast had %s", spoken(p.Entry.Name),
				within(killForm, percent(p.After)), year, within(killForm, percent(p.Before))))
		}
	}
	why := " A count sees plants, not what they carry: it speaks of resistance only as far as sprays decide how many are left. "
	if len(told) == 0 {
		return u.theCounts("says", "say") + " nothing of resistance that could be told from noise; what follows is as open as before." + why +
			"A test of this field's own seed, written under resistance:, says more."
	}
	return "Resistance: " + strings.Join(told, "; ") + "." + why + "What else may have left those plants, weather and weak residuals, is in the range. " +
		"A test of this field's own seed would tell them apart."
}

// mostLearnt is how many uncertain values of resistance a table names.
const mostLearnt = 4

// learntTables are what is known of resistance before and after the counts.
func (u *updated) learntTables() []report.Table {
	l := u.Learnt
	if l == nil {
		return nil
	}
	year := u.after[l.Season].HarvestYear
	t := report.Table{Title: fmt.Sprintf("Resistance, before and after: plants of harvest %d", year), Keys: 1, Apart: true,
		Columns: []report.Column{{Head: "What"}, {Head: "Before", Band: true}, {Head: "After", Band: true}, {Head: "Moved", Unit: "sd", Right: true},
			{Head: "Narrower", Unit: "%", Right: true}, {Head: "Learnt", Right: true}},
		Legend: fmt.Sprintf("Kill: of 100 plants that come up for harvest %d, what the spray kills in a usual season. Moved: of the mean, in standard "+
			"deviations of what was thought before. Learnt: it moved by more than %.1f, or got narrower, beyond the method's own noise.", year, l.Bar*l.Error)}
	row := func(cells ...string) { t.Rows = append(t.Rows, report.Row{Cells: cells}) }
	for _, p := range l.Programmes {
		row(fmt.Sprintf("killed by %s, group %s, %%", spoken(p.Entry.Name), strings.Join(p.Groups, ", ")), killBand(p.Before), killBand(p.After),
			fmt.Sprintf("%+.2f", p.Shift), fmt.Sprintf("%.0f", 100*p.Narrowed), yesNo(p.Told))
	}
	for _, g := range l.Genes {
		row(fmt.Sprintf("comes by one gene, group %s, of 100 runs", g.Group), report.Of100(g.ShareBefore), report.Of100(g.ShareAfter), "–", "–", "–")
		if g.CarryBefore.N > 0 && g.CarryAfter.N > 0 {
			row(fmt.Sprintf("plants that carry it, group %s, %%, in those", g.Group), killBand(g.CarryBefore), killBand(g.CarryAfter), "–", "–", "–")
		}
	}
	for _, m := range l.Values[:min(mostLearnt, len(l.Values))] {
		name, _ := shortName(m.Value)
		row(name, movedBand(m.Value, report.Band(m.Prior)), movedBand(m.Value, report.Band(m.Posterior)), fmt.Sprintf("%+.2f", m.Shift),
			fmt.Sprintf("%.0f", 100*m.Narrowed), yesNo(math.Abs(m.Shift) > u.Bar*m.Error))
	}
	return []report.Table{t}
}

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

// learntPicture is what sprays kill before and after the counts.
func (u *updated) learntPicture() *figure.Updated {
	year := u.after[u.Learnt.Season].HarvestYear
	f := &figure.Updated{Caption: u.caption("what sprays kill, before and after the counts"), Before: beforeCounts, After: afterCounts}
	panel := figure.UpdatedPanel{Name: fmt.Sprintf("Kill of plants as they are for harvest %d", year), Unit: "in a usual season", Kind: figure.Percent}
	for _, p := range u.Learnt.Programmes {
		if p.Meant() {
			panel.Columns = append(panel.Columns, figure.UpdatedColumn{Label: spoken(p.Entry.Name), Before: drawnSpread(p.Before), After: drawnSpread(p.After)})
		}
	}
	f.Panels = []figure.UpdatedPanel{panel}
	return f
}

// learntChapter is the page's chapter on resistance; none where it is held still.
func (u *updated) learntChapter() []report.Chapter {
	if u.Learnt == nil {
		return nil
	}
	return []report.Chapter{{ID: "resistance", Title: "Resistance", Words: []string{u.learntWords(), resistanceWords(u.Calendar, u.Before.Evolves)},
		Pictures: []report.Picture{{Name: "resistance", Figure: u.learntPicture()}}, Leading: u.learntTables()}}
}

// learntObject is all of it as JSON.
func (u *updated) learntObject() report.Object {
	l := u.Learnt
	programmes, genes, values := []report.Object{}, []report.Object{}, []string{}
	for _, p := range l.Programmes {
		programmes = append(programmes, report.Object{{"programme", p.Entry.Name}, {"hrac", p.Groups}, {"kill_without_resistance", p.Stated},
			{"before", p.Before}, {"after", p.After}, {"shift_sd", p.Shift}, {"narrower_fraction", p.Narrowed},
			{"beyond_noise", p.Told}})
	}
	for _, g := range l.Genes {
		genes = append(genes, report.Object{{"hrac", g.Group}, {"one_gene_share_before", g.ShareBefore}, {"one_gene_share_after", g.ShareAfter},
			{"carriers_before", g.CarryBefore}, {"carriers_after", g.CarryAfter}})
	}
	for _, m := range l.Values {
		values = append(values, m.Value.Path)
	}
	var most any
	if p := l.Most(); p != nil {
		most = p.Entry.Name
	}
	return report.Object{{"harvest_year", u.after[l.Season].HarvestYear}, {"moved_most", most}, {"shift_error", l.Error}, {"noise_bar", l.Bar},
		{"programmes", programmes}, {"genes", genes}, {"values", values}}
}
