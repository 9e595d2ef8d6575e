package findings

import (
	"fmt"
	"io"
	"math"
	"math/big"
	"slices"
	"strings"

	"rundown/cmd/internal/figure"
	"rundown/cmd/internal/report"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/decide"
	"rundown/sim/study"
)

// shortFront is the table of the usual text. Money is told by means.
func shortFront(r SearchRun) report.Table {
	f := r.Found
	each := perArea(r.Calendar) + " a year"
	w := f.Choices.Menu.Want
	t := report.Table{Keys: 1, Tight: true,
		Columns: []report.Column{{Head: "No."}, {Head: "Margin", Unit: each, Right: true}, {Head: "Seed at the end", Unit: "per m²", Band: true},
			{Head: "Seed left", Unit: "costs a year", Right: true}, {Head: "Worth", Unit: "a year", Right: true}},
		Legend: "No other rotation beats these. 180 (40–620): half of the runs are below 180, nine in ten lie between; money is the average. Worth: " +
			"margin less what the seed left costs, money that comes later counting for less."}
	if w != nil {
		t.Columns = append(t.Columns, wantColumn(w))
		t.Legend += " Want: of 100 runs, those that keep to it."
	}
	t.Columns = append(t.Columns, report.Column{Head: "Rotation"}) // last: it is long
	clean := cleanestOf(f)
	row := func(name, what string, k *study.Kept) {
		cells := []string{name, pounds(r.Calendar.Area, mean(k.Yearly)), forms[sim.SeedbankJune].Band(band(k.Seed)),
			pounds(r.Calendar.Area, mean(k.Value.LeftAYear())), pounds(r.Calendar.Area, mean(k.Value.Year))}
		if w != nil {
			cells = append(cells, wantCell(w, k))
		}
		t.Rows = append(t.Rows, report.Row{Key: k == f.Front[f.Worth] || k == f.Wanted || k == clean, Cells: append(cells, what)})
	}
	for i, k := range f.Told() {
		row(numbered(r, i), rotationWords(f.Choices.Menu, k.Rotation), k)
	}
	if f.Today != nil {
		row("–", "today's plan", f.Today)
	}
	return t
}

// cleanestOf is the rotation of the front that ends with the least seed by the middle run.
func cleanestOf(f *study.Search) *study.Kept {
	return slices.MinFunc(f.Front, func(a, b *study.Kept) int { return compareFloats(decide.Median(a.Seed), decide.Median(b.Seed)) })
}

// bestFew are the rotations of which the answer speaks, in few columns: a phone shows them at once.
func bestFew(r SearchRun) *report.Table {
	f := r.Found
	told, cleanest := f.Told(), cleanestOf(f)
	t := &report.Table{Keys: 1, Columns: []report.Column{{Head: "No."}, {Head: "Rotation"}, {Head: "Worth", Unit: perArea(r.Calendar) + " a year", Right: true}}}
	for i, k := range told {
		var why []string
		for _, is := range []struct {
			so   bool
			text string
		}{{i == f.Worth, "worth most"}, {i == 0, "earns most"}, {k == f.Wanted, "keeps to what is wanted"}, {k == cleanest, "cleanest"}} {
			if is.so {
				why = append(why, is.text)
			}
		}
		if why != nil {
			t.Rows = append(t.Rows, report.Row{Cells: []string{numbered(r, i), rotationWords(f.Choices.Menu, k.Rotation) + " (" + strings.Join(why, ", ") + ")",
				pounds(r.Calendar.Area, mean(k.Value.Year))}})
		}
	}
	if f.Today != nil {
		t.Rows = append(t.Rows, report.Row{Cells: []string{"–", "today's plan", pounds(r.Calendar.Area, mean(f.Today.Value.Year))}})
	}
	return t
}

// numbered is the number of a rotation, with a star where it is worth most.
func numbered(r SearchRun, i int) string {
	switch {
	case i == r.Found.Worth:
		return fmt.Sprintf("%d*", i+1)
	case i >= len(r.Found.Front):
		return fmt.Sprintf("(%d)", i+1)
	}
	return fmt.Sprint(i + 1)
}

// wantColumn is in how many runs a rotation keeps to what is wanted.
func wantColumn(w *rotations.Want) report.Column {
	if w.Heads > 0 && w.HasMargin {
		return report.Column{Head: "Want", Unit: "heads, margin", Right: true}
	}
	return report.Column{Head: "Want", Unit: "of 100", Right: true}
}

func wantCell(w *rotations.Want, k *study.Kept) string {
	x := few100(k.Earns)
	switch {
	case w.Heads > 0 && w.HasMargin:
		x = few100(k.Under) + ", " + x
	case w.Heads > 0:
		x = few100(k.Under)
	}
	switch k.Meets {
	case study.Keeps:
		return x + " yes"
	case study.OnTheEdge:
		return x + " edge"
	}
	return x + " no"
}

// searchTables are the front at length, against today's plan, and for other lengths afterwards.
func searchTables(r SearchRun) []report.Table {
	f := r.Found
	each := perArea(r.Calendar) + " a year"
	front := report.Table{Title: "The rotations that no other beats", Keys: 1,
		Columns: []report.Column{{Head: "No."}, {Head: "Rotation"}, {Head: "Margin", Unit: each, Band: true}, {Head: "Seed at the end", Unit: "per m²", Band: true},
			{Head: "Seed left costs", Unit: each, Band: true}, {Head: "Worth", Unit: each, Band: true}, {Head: "Crop missed", Unit: "of 100 seasons", Right: true}},
		Legend: valuedWords(r) + " 180 (40–620): nine runs in ten are between 40 and 620; 180 is the average of money, the middle of seed. *: worth most."}
	w := f.Choices.Menu.Want
	if w != nil {
		front.Columns = append(front.Columns, wantColumn(w))
		front.Legend += " Want: of 100 runs, those that keep to it; edge: the runs are too few to say whether enough do."
	}
	for i, k := range f.Told() {
		cells := []string{numbered(r, i), rotationWords(f.Choices.Menu, k.Rotation), averaged(r.Calendar.Area, band(k.Yearly)),
			forms[sim.SeedbankJune].Band(band(k.Seed)),
			averaged(r.Calendar.Area, band(k.Value.LeftAYear())), averaged(r.Calendar.Area, band(k.Value.Year)), few100(k.Failed)}
		if w != nil {
			cells = append(cells, wantCell(w, k))
		}
		front.Rows = append(front.Rows, report.Row{Cells: cells})
	}
	out := []report.Table{front}
	if f.Today != nil {
		out = append(out, againstToday(r))
	}
	if f.Front[0].Horizons != nil {
		out = append(out, horizons(r))
	}
	return out
}

func valuedWords(r SearchRun) string {
	all, err := r.Found.Front[0].Calendar.Continued(rotations.Behind{})
	if err != nil {
		return "" // it was run
	}
	return fmt.Sprintf("Behind every rotation %s grown; what the weed takes of %s yield, against clean ground, is what the seed left costs, told as "+
		"the equal sum in every year of the rotation at %s %% a year.",
		cropsBehind(all), itsOrTheir(all.After), report.Shortest(100*all.Discount))
}

func againstToday(r SearchRun) report.Table {
	each := perArea(r.Calendar) + " a year"
	t := report.Table{Title: "Against today's plan, run by run", Keys: 1,
		Columns: []report.Column{{Head: "No."}, {Head: "Margin", Unit: each + " more", Right: true}, {Head: "Worth", Unit: each + " more", Band: true},
			{Head: "Seed", Unit: "per m², difference", Right: true},
			{Head: "Heads", Unit: "per m², difference", Right: true}, {Head: "Cleaner", Unit: "of 100 runs", Right: true}, {Head: "Earns more",
				Unit: "of 100 runs", Right: true}},
		Legend: "Margin by its mean, seed and heads at the end by the middle run."}
	form := differences(sim.Heads)
	for i, k := range r.Found.Told() {
		a := k.Against
		t.Rows = append(t.Rows, report.Row{Cells: []string{numbered(r, i), pounds(r.Calendar.Area, a.MarginYear),
			averaged(r.Calendar.Area, band(decide.Differences(k.Value.Year,
				r.Found.Today.Value.Year))), form.Value(a.Seed), form.Value(a.Heads),
			few100(a.Cleaner), few100(a.EarnsMore)}})
	}
	return t
}

func horizons(r SearchRun) report.Table {
	each := perArea(r.Calendar) + " a year"
	t := report.Table{Title: "Worth, by what is grown afterwards", Keys: 1, Columns: []report.Column{{Head: "No."}, {Head: "As told", Unit: each, Right: true}},
		Legend: fmt.Sprintf("Means; the last three of %d runs. How long one looks on decides how much seed costs.", len(r.Found.Front[0].Horizons[0].Year))}
	for _, h := range r.Found.Front[0].Horizons {
		head := fmt.Sprintf("%d seasons", h.Behind.Seasons)
		if h.Behind.Own {
			head = "Own course"
		}
		t.Columns = append(t.Columns, report.Column{Head: head, Unit: each, Right: true})
	}
	for i, k := range r.Found.Front {
		cells := []string{numbered(r, i), pounds(r.Calendar.Area, mean(k.Value.Year))}
		for _, h := range k.Horizons {
			cells = append(cells, pounds(r.Calendar.Area, mean(h.Year)))
		}
		t.Rows = append(t.Rows, report.Row{Cells: cells})
	}
	return t
}

// searchPictures is margin against seed.
func searchPictures(r SearchRun) []report.Picture {
	f := r.Found
	p := &figure.Front{Caption: figure.Caption{Title: r.Calendar.Name + ": what a cleaner field costs", Subtitle: forecastSubtitle(r.Run),
		Note: "Down is cleaner, right earns more. " + noPromise, Provenance: provenanceLine(r.Run)},
		X: figure.Scale{Name: "Margin, mean of the years", Unit: perArea(r.Calendar) + " a year", Kind: figure.Linear},
		Y: figure.Scale{Name: "Seed at the end, new seed included", Unit: "per m²", Kind: figure.Log}}
	for i, k := range f.Front {
		q := frontPoint(r.Calendar.Area, k)
		q.Name, q.Best = fmt.Sprint(i+1), i == f.Worth
		p.Points = append(p.Points, q)
	}
	for _, c := range f.Cloud {
		p.Cloud = append(p.Cloud, [2]float64{r.Calendar.Area.Per(c.Margin), math.Expm1(c.Seed)})
	}
	if f.Today != nil {
		q := frontPoint(r.Calendar.Area, f.Today)
		q.Name = "today"
		p.Today = &q
	}
	return []report.Picture{{Name: "front", Figure: p}}
}

// frontPoint is a rotation by its means, seed by the mean of its logarithm.
func frontPoint(a rotations.Area, k *study.Kept) figure.FrontPoint {
	logs := decide.Logs(k.Seed)
	m, s, em, es := a.Per(mean(k.Yearly)), mean(logs), a.Per(decide.MeanError(k.Yearly)), decide.MeanError(logs)
	return figure.FrontPoint{X: m, X0: m - em, X1: m + em, Y: math.Expm1(s), Y0: math.Expm1(max(0, s-es)), Y1: math.Expm1(s + es)}
}

// SearchCSV writes the bands of every rotation that is told of, tidily.
func SearchCSV(w io.Writer, r SearchRun) error {
	out := report.NewCSV(w)
	_ = out.Write([]string{"rotation", "seasons", "metric", "unit", "quantile", "estimate"}) // errors come at Error below
	c := r.Calendar
	rows := func(name, seasons string, k *study.Kept) {
		for _, q := range []struct {
			metric, unit string
			x            []float64
		}{{"margin_per_ha_year", unit(c, sim.Margin), k.Yearly}, {"seed_per_m2", unit(c, sim.SeedAfter), k.Seed}, {"left_behind_per_ha", unit(c,
			sim.Margin), k.Value.Left}, {"value_per_ha_year", unit(c, sim.Margin), k.Value.Year}} {
			bandRows(out, []string{name, seasons, q.metric, q.unit}, band(q.x))
		}
	}
	for i, k := range r.Found.Told() {
		rows(fmt.Sprint(i+1), rotationWords(r.Found.Choices.Menu, k.Rotation), k)
	}
	if r.Found.Today != nil {
		rows("today", "", r.Found.Today)
	}
	out.Flush()
	return out.Error()
}

// bigNumber is how many rotations are allowed, as JSON holds it.
func bigNumber(f *study.Search) any {
	if f.Choices.Allowed.IsInt64() && f.Choices.Allowed.Int64() < 1<<53 {
		return int(f.Choices.Allowed.Int64())
	}
	x, _ := new(big.Float).SetInt(f.Choices.Allowed).Float64()
	return x
}
