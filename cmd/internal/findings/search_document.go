package findings

import (
	"fmt"
	"slices"

	"rundown/cmd/internal/report"
	"rundown/sim/study"
)

func searchDocument(r SearchRun, warnings []report.Warning) report.Object {
	f := r.Found
	var front []report.Object
	meets := []float64{}
	for i, k := range f.Told() {
		o := append(report.Object{{"seasons", f.Choices.Menu.Names(k.Rotation)}, {"file", fmt.Sprintf("front-%d.yaml", i+1)}}, keptObject(r, k)...)
		o = append(o, report.Member{"on_front", i < len(f.Front)}, report.Member{"as_good_as_the_best", k.AsGood})
		if len(k.Horizons) > 0 {
			var later []report.Object
			for _, h := range k.Horizons {
				later = append(later, report.Object{{"own_course", h.Behind.Own}, {"seasons", h.Behind.Seasons}, {"value_per_ha_year", band(h.Year)}})
			}
			o = append(o, report.Member{"other_afterwards", later})
		}
		if k.Meets == study.Keeps {
			meets = append(meets, float64(i))
		}
		front = append(front, o)
	}
	var against any
	if f.Today != nil {
		against = keptObject(r, f.Today)
	}
	common := []string{}
	for _, t := range f.Common {
		common = append(common, traitWords(t))
	}
	unused := slices.Clone(f.Choices.Unused)
	if unused == nil {
		unused = []string{}
	}
	return report.Object{
		{"format", SearchFormat},
		{"plan", r.Calendar.Name},
		{"answer", searchAnswer(r).Object()},
		{"seed", r.Seed},
		{"replicates", r.Replicates},
		{"version", r.Provenance.Version},
		{"provenance", r.Provenance.Object()},
		{"units", units(r.Calendar)},
		{"allowed", bigNumber(f)},
		{"tried", f.Tried},
		{"exhaustive", f.Exhaustive},
		{"dropped_on_the_way", int(f.Beaten)},
		{"cut_short", f.Cut},
		{"season_runs", int(f.SeasonRuns)},
		{"season_runs_without_sharing", int(f.Unshared)},
		{"front", front},
		{"worth_most", f.Worth},
		{"meets_want", meets},
		{"against", against},
		{"fallen_off", f.Fallen},
		{"in_common", common},
		{"unused_entries", unused},
		{"warnings", report.WarningObjects(warnings)},
	}
}

// keptObject is what is told of a rotation.
func keptObject(r SearchRun, k *study.Kept) report.Object {
	var share, against any
	if r.Found.Choices.Menu.Want != nil {
		share = k.Under
		if r.Found.Choices.Menu.Want.Heads == 0 {
			share = k.Earns
		}
	}
	if k.Against != nil {
		against = againstObject(*k.Against)
	}
	return report.Object{{"margin_per_ha_year", band(k.Yearly)}, {"seed_per_m2", band(k.Seed)}, {"heads_per_m2", band(k.Heads)},
		{"left_behind_per_ha", band(k.Value.Left)}, {"value_per_ha_year", band(k.Value.Year)}, {"missed_share", k.Failed}, {"want_share", share},
		{"against", against}}
}

// searchPage is what the page of a search says beyond its text.
func searchPage(r SearchRun, out *report.Report) *report.Page {
	f := r.Found
	p := &report.Page{
		Field:    fieldLine(r.Run),
		Question: fmt.Sprintf("Which rotation of %d years pays best and leaves least of %s?", f.Choices.Menu.Years, r.Calendar.Weed.Name),
		Main:     &out.Pictures[0],
		Scale:    searchScale,
		Few:      bestFew(r),
	}
	p.Chapters = []report.Chapter{
		{ID: "front", Title: "The rotations that no other beats", Words: out.Sentences, Tables: out.Tables},
	}
	plans := report.Chapter{ID: "rotations", Title: "The rotations, season by season",
		Words: []string{"Each is written as a plan beside this page: front-1.yaml and so on. 'rundown forecast front-1.yaml' tells all of it."}}
	plans.Tables = []report.Table{yearByYear(r)}
	p.Chapters = append(p.Chapters, plans)
	return p
}

// yearByYear is what each rotation grows in each year, a rotation to a line; where the years are
// too many for that, a year to a line.
func yearByYear(r SearchRun) report.Table {
	const abreast = 8
	years, told := r.Found.Front[0].Calendar.Seasons, r.Found.Told()
	if len(years) > abreast {
		t := report.Table{Keys: 1, Columns: []report.Column{{Head: "Harvest"}}}
		for i := range told {
			t.Columns = append(t.Columns, report.Column{Head: numbered(r, i)})
		}
		for year, s := range years {
			cells := []string{fmt.Sprint(s.HarvestYear)}
			for _, k := range told {
				cells = append(cells, seasonOf(r, k, year))
			}
			t.Rows = append(t.Rows, report.Row{Cells: cells})
		}
		return t
	}
	t := report.Table{Keys: 1, Columns: []report.Column{{Head: "No."}}}
	for _, s := range years {
		t.Columns = append(t.Columns, report.Column{Head: fmt.Sprint(s.HarvestYear)})
	}
	for i, k := range told {
		cells := []string{numbered(r, i)}
		for year := range years {
			cells = append(cells, seasonOf(r, k, year))
		}
		t.Rows = append(t.Rows, report.Row{Cells: cells})
	}
	return t
}

// seasonOf is the entry that a rotation grows in a year.
func seasonOf(r SearchRun, k *study.Kept, year int) string {
	menu := r.Found.Choices.Menu
	at := 0
	for _, e := range k.Rotation {
		if at += menu.Entries[e].Years(); year < at {
			return menu.Entries[e].Name
		}
	}
	return "–"
}
