package findings

import (
	"fmt"
	"path/filepath"
	"rundown/cmd/internal/report"
	"slices"

	"rundown/cmd/internal/figure"
	"rundown/sim/study"
)

// How many fields the picture and the page show; farm.csv has all.
const (
	mostDrawn  = 16
	mostOnPage = 200
)

func farmPage(r FarmRun, out *report.Report) *report.Page {
	f := r.Found
	p := &report.Page{
		Field:    fmt.Sprintf("%s · %s · %s", filepath.Base(r.Table), plural(len(f.Fields), "field"), r.size(f.AreaHa)),
		Question: "Which plan suits which field, and what does the farm earn?",
		Scale:    verdictScale,
		Main:     &out.Pictures[0],
	}
	fields := f.ByStake()
	words := []string{}
	if len(fields) > mostOnPage {
		words = append(words, fmt.Sprintf("The %d fields on which the choice is worth most; farm.csv has all %s.", mostOnPage, report.Counted(len(fields))))
		fields = fields[:mostOnPage]
	}
	if x := r.alone(); x != nil {
		p.Field = fmt.Sprintf("%s · %s · %s · of %s", x.Name, r.size(x.AreaHa), spoken(x.Soil), filepath.Base(r.Table))
		p.Question = fmt.Sprintf("Which of %s suits %s?", plural(len(f.Names), "plan"), x.Name)
		if len(f.Names) == 1 {
			p.Question = fmt.Sprintf("What becomes of %s?", x.Name)
		}
	} else if len(f.Names) == 1 {
		p.Question = "What becomes of each field, and what does the farm earn?"
	}
	alone := aloneTable(r)
	alone.Rows = slices.DeleteFunc(alone.Rows, func(row report.Row) bool { return row.Cells[0] != fields[0].Name })
	if r.alone() != nil {
		p.Chapters = []report.Chapter{{ID: "plans", Title: "The plans", Tables: []report.Table{onFieldTable(r)}}}
		return p
	}
	p.Chapters = []report.Chapter{
		{ID: "fields", Title: "Field by field", Words: words, Tables: []report.Table{fieldsTable(r, fields, true)}},
		{ID: "money", Title: "The farm's money", Words: spreadSentences(r), Tables: []report.Table{plansTable(r)}},
	}
	p.Chapters = append(p.Chapters, report.Chapter{ID: "alone", Title: "A field alone",
		Words: []string{"A field's own page is made by its command, with --out and a folder. Its numbers are those that it has here. Another field's " +
			"has its name; --full prints them all."},
		Tables: []report.Table{alone}})
	return p
}

func farmPictures(r FarmRun) []report.Picture {
	f := r.Found
	caption := figure.Caption{Title: farmTitle(r), Subtitle: farmSubtitle(r), Note: noPromise,
		Provenance: fmt.Sprintf("%s, seed %d, %d replicates", builtLine(r.From[0]), r.Seed, r.Replicates)}
	fields := f.ByStake()
	if n := len(fields); n > mostDrawn {
		fields = fields[:mostDrawn]
		caption.Note = fmt.Sprintf("The first %d of %s fields. %s", mostDrawn, report.Counted(n), noPromise)
	}
	if x := r.alone(); x != nil {
		return []report.Picture{{Name: "heads", Figure: headsOfField(r, x, caption)}}
	}
	d := &figure.Dots{Caption: caption, Bars: true, Main: "best plan over the plan that earns least, for the field, with its error"}
	d.X = figure.Scale{Name: "Worth of the choice", Unit: r.Currency + " a year", Kind: figure.Linear}
	if len(f.Names) == 1 {
		d.X.Name, d.Main = "Margin of the field", "average, and nine runs in ten"
	}
	for _, x := range fields {
		p := &x.Plans[x.Best]
		row := figure.DotRow{Name: x.Name}
		if len(f.Names) == 1 {
			row.Under = r.size(x.AreaHa)
			row.Main = figure.Interval{Value: p.Field, Low: p.Margin.P05 * x.AreaHa, High: p.Margin.P95 * x.AreaHa}
		} else {
			row.Under = underName(f, x)
			wide := x.Gap.MarginError * x.AreaHa
			row.Main = figure.Interval{Value: x.Stake, Low: x.Stake - wide, High: x.Stake + wide}
		}
		d.Rows = append(d.Rows, row)
	}
	return []report.Picture{{Name: "fields", Figure: d}}
}

// underName says which plan suits a field.
func underName(f *study.Farm, x *study.Field) string {
	if x.Settled {
		return spoken(f.Names[x.Best])
	}
	return spoken(f.Names[x.Best]) + " or " + spoken(f.Names[x.Next])
}

// headsOfField are the heads of every plan on a field that stands alone.
func headsOfField(r FarmRun, x *study.Field, caption figure.Caption) figure.Figure {
	caption.Title = fmt.Sprintf("%s: weed heads under %s", x.Name, plural(len(r.Found.Names), "plan"))
	caption.Note = noPromise
	c := &figure.Comparison{Caption: caption, Quantity: figure.Panel{Name: "Weed heads", Unit: "per m²", Kind: figure.Log}}
	longest := 0
	for i := range x.Plans {
		longest = max(longest, len(x.Plans[i].ByYear))
	}
	for i := range longest {
		c.HarvestYears = append(c.HarvestYears, x.First+i)
	}
	for i, name := range r.Found.Names {
		plan := figure.Plan{Name: spoken(name)}
		for _, b := range x.Plans[i].ByYear {
			s := figure.None()
			if b.N > 0 {
				s = figure.Spread{P05: b.P05, P25: b.P25, P50: b.P50, P75: b.P75, P95: b.P95, Zero: b.Zero}
			}
			plan.Bands = append(plan.Bands, s)
		}
		c.Plans = append(c.Plans, plan)
	}
	return c
}
