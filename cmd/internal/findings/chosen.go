package findings

import (
	"fmt"
	"math"
	"strings"

	"rundown/cmd/internal/figure"
	"rundown/cmd/internal/report"
	"rundown/sim/study"
)

// shownBranch is the share of runs from which on a branch has a row of its own.
const shownBranch = 0.05

// row is a season in a table, or a branch of one that is chosen on the way.
type row struct {
	*study.Season
	number int // of the season, 1 for the first
}

// rowsOf are the rows of seasons: of what is chosen a row for each branch that more than a
// few runs took.
func rowsOf(seasons []study.Season) []row {
	var out []row
	for i := range seasons {
		for _, s := range seasons[i].Units() {
			if s.Taken >= shownBranch {
				out = append(out, row{s, i + 1})
			}
		}
	}
	return out
}

// plannedCrop is a season's planned crop in words.
func plannedCrop(s *study.Season) string {
	crop := spoken(s.Crop)
	if s.Cover != nil {
		crop = "cover, " + crop
	}
	return crop
}

// anyChosen tells whether a season is chosen on the way.
func anyChosen(seasons []study.Season) bool {
	for i := range seasons {
		if seasons[i].Parts != nil {
			return true
		}
	}
	return false
}

// chosenLegend says what rows of branches are of.
func chosenLegend(seasons []study.Season) string {
	if !anyChosen(seasons) {
		return ""
	}
	return " Where the plan chooses, a row is of the runs that chose its crop for what was seen: so rows of one harvest differ by that, too."
}

// chosenWords say how often each branch is taken: of what is chosen on one condition over all
// of its years.
func chosenWords(seasons []study.Season) string {
	type choice struct {
		crops  []string
		shares map[string]float64
		years  float64
	}
	var all []*choice
	at := map[string]*choice{}
	for i := range seasons {
		if seasons[i].Parts == nil {
			continue
		}
		var key []string
		for _, p := range seasons[i].Parts {
			key = append(key, p.Crop+" "+p.If)
		}
		c := at[strings.Join(key, "|")]
		if c == nil {
			c = &choice{shares: map[string]float64{}}
			at[strings.Join(key, "|")] = c
			all = append(all, c)
		}
		c.years++
		for _, p := range seasons[i].Parts {
			if _, seen := c.shares[p.Crop]; !seen {
				c.crops = append(c.crops, p.Crop)
			}
			c.shares[p.Crop] += p.Taken
		}
	}
	if len(all) == 0 {
		return calledWords(seasons)
	}
	c := all[0]
	var words []string
	for _, crop := range c.crops {
		words = append(words, fmt.Sprintf("%s in %s", spoken(crop), report.Of100(c.shares[crop]/c.years)))
	}
	text := "Where it can choose, its rule grows " + strings.Join(words, ", ") + " of 100 years"
	if len(all) > 1 {
		text += fmt.Sprintf(" (and %d more choices)", len(all)-1)
	}
	return text + "."
}

// calledWords say how often rules call for work: of the years and runs that grew its crop.
func calledWords(seasons []study.Season) string {
	var names []string
	asked, grown := map[string]float64{}, map[string]float64{}
	for i := range seasons {
		for k := range seasons[i].Work {
			w := &seasons[i].Work[k]
			if w.If == nil || math.IsNaN(w.AskedFor) || w.AskedFor == 0 && w.Grown == 0 {
				continue
			}
			name := workName(w)
			if grown[name] == 0 {
				names = append(names, name)
			}
			all := w.Grown / max(w.AskedFor, 1e-9)
			grown[name] += all
			asked[name] += w.AskedFor * all
		}
	}
	if len(names) == 0 {
		return ""
	}
	var words []string
	for _, n := range names[:min(len(names), 3)] {
		words = append(words, fmt.Sprintf("%s in %s", n, report.Of100(asked[n]/grown[n])))
	}
	return "Its rule calls for " + strings.Join(words, ", for ") + " of 100 years that grow the crop."
}

// branchObjects are the branches of a season, as JSON.
func branchObjects(s *study.Season) []report.Object {
	parts := s.Parts
	if parts == nil {
		parts = []study.Season{*s}
	}
	out := []report.Object{}
	for i := range parts {
		p := &parts[i]
		var cond any
		if p.If != "" {
			cond = p.If
		}
		out = append(out, report.Object{{"if", cond}, {"crop", p.Crop}, {"share", p.Taken}})
	}
	return out
}

// neverTaken tells of a branch that no run took.
func neverTaken(out report.Warning, s *study.Season) report.Warning {
	why := "a branch before it always holds"
	if s.If != "" {
		why = "never " + s.If + ", or a branch before it holds"
	}
	out.Text = fmt.Sprintf("No run chose %s for harvest %d: %s.", spoken(s.Crop), s.HarvestYear, why)
	out.Lead = "Branches that no run chose:"
	out.Detail = fmt.Sprintf("%s for %d", spoken(s.Crop), s.HarvestYear)
	return out
}

// chosenCrops are the crops that runs chose for a season, with their shares.
func chosenCrops(s *study.Season) string {
	var out []string
	for i := range s.Parts {
		if p := &s.Parts[i]; p.Taken >= shownBranch {
			out = append(out, plannedCrop(p)+" "+few100(p.Taken))
		}
	}
	return strings.Join(out, ", ")
}

// asChosen is the share of runs that grew the crop that they chose.
func asChosen(s *study.Season) float64 {
	share := 0.0
	for _, p := range s.Units() {
		share += p.Grown[0].Share * p.Taken
	}
	return share
}

// chosenShort says what rows of the usual text are of.
func chosenShort(seasons []study.Season) string {
	if !anyChosen(seasons) {
		return ""
	}
	return " Where the plan chooses, a row is of all runs; --full has one for each branch."
}

// branchPictures are the rules with bars by year: in how many of 100 runs each crop was chosen.
func branchPictures(r Run, seasons []study.Season) []report.Picture {
	if !anyChosen(seasons) {
		return nil
	}
	var parts []figure.Part
	at := map[string]int{}
	for i := range seasons {
		for _, s := range seasons[i].Units() {
			name := spoken(s.Crop)
			k, seen := at[name]
			if !seen {
				k, at[name] = len(parts), len(parts)
				parts = append(parts, figure.Part{Name: name, Amounts: make([]float64, len(seasons))})
			}
			parts[k].Amounts[i] += s.Taken
		}
	}
	caption := forecastCaption(r)
	caption.Title = r.Calendar.Name + ": which crop is chosen, year by year"
	return []report.Picture{{Name: "branches", Figure: &figure.Split{Caption: caption, Name: "Runs that chose each crop", Unit: "% of all",
		Seasons: strip(seasons), Parts: parts}}}
}

// branchChapter shows the rules with bars by year.
func branchChapter(r Run, seasons []study.Season) []report.Chapter {
	pictures := branchPictures(r, seasons)
	if pictures == nil {
		return nil
	}
	words := []string{"Which crop is chosen hangs on what is seen in each run. Runs that chose one crop had seen something else than those that chose " +
		"another, so that what the two earn and leave differs by that, too; 'rundown worth' says what the rule itself is worth."}
	for i := range seasons {
		if seasons[i].Parts == nil {
			continue
		}
		for _, p := range seasons[i].Parts {
			if p.If != "" {
				words = append(words, sentence(spoken(p.Crop))+" is chosen where this is seen: "+p.If+".")
			}
		}
		break
	}
	return []report.Chapter{{ID: "rule", Title: "What is chosen", Words: words, Pictures: pictures}}
}
