package findings

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/params"
	"rundown/params/date"
	"rundown/sim/drivers"
)

// kindWords say what each kind of the library is.
var kindWords = map[string]string{
	"weeds":      "grass weeds",
	"crops":      "crops, leys and fallow, each with its usual practice",
	"covers":     "cover-crop mixes, and the weedy stubble",
	"implements": "cultivators, drills, in-crop work, harvest weed-seed control",
	"herbicides": "programmes and what they are made of; no dose is given",
	"genes":      "how each weed inherits resistance to herbicides",
	"soils":      "soil textures",
	"climates":   "monthly climates for generated weather",
}

// gradeWords say what each grade means, best first.
var gradeWords = []struct {
	grade params.Grade
	means string
}{
	{params.Published, "read in a research paper or an official publication"},
	{params.Grey, "read in an extension page, a trade article or a company sheet"},
	{params.Memory, "recalled from published work, not read again"},
	{params.Derived, "arithmetic on values of the grades above"},
	{params.Assumed, "judgement; no source"},
}

// LibraryKinds lists the kinds.
func LibraryKinds(l *params.Library) *report.Report {
	r := &report.Report{
		Title:    "The library: what can be named in a plan",
		Subtitle: "'rundown library KIND' lists the entries of a kind, 'rundown library KIND NAME' the values of one.",
	}
	for _, kind := range params.Kinds {
		r.Terms = append(r.Terms, report.Term{Name: fmt.Sprintf("%s (%d)", kind, len(l.Names(kind))), Text: kindWords[kind]})
	}
	return r
}

// LibraryEntries lists the entries of a kind.
func LibraryEntries(kind string, entries []*params.Entry) *report.Report {
	r := &report.Report{Title: sentence(kind) + ": " + kindWords[kind], Cautions: append(cautionsOf(kind), dated(kind, entries)...)}
	for _, e := range entries {
		r.Terms = append(r.Terms, report.Term{Name: withCode(e), Text: e.About})
	}
	return r
}

// cautionsOf are those that belong beside the entries of a kind.
func cautionsOf(kind string) []string {
	if kind == "herbicides" || kind == "implements" {
		return Cautions()[1:]
	}
	return nil
}

// dated says of which years the prices of a kind's entries are.
func dated(kind string, entries []*params.Entry) []string {
	if kind != "crops" {
		return nil
	}
	return compact(priceYears(libraryPrices(entries)))
}

func withCode(e *params.Entry) string {
	if e.EPPO == "" {
		return e.Name
	}
	return e.Name + " (" + e.EPPO + ")"
}

// LibraryGrades counts values by grade, and says what each grade weighs where
// that was measured; nil: not for these entries. sha256 is the library's.
func LibraryGrades(entries []*params.Entry, weighed *drivers.Weighed, sha256 string) *report.Report {
	count, all := map[params.Grade]int{}, 0
	for _, e := range entries {
		for _, v := range e.Values {
			count[v.Grade]++
			all++
		}
	}
	t := report.Table{Keys: 1, Columns: []report.Column{{Head: "Grade"}, {Head: "Values", Right: true}, {Head: "Share", Unit: "%", Right: true}}}
	if weighed != nil {
		t.Columns = append(t.Columns, report.Column{Head: "Weight", Unit: "%", Right: true})
		t.Legend = weighedWords(weighed, sha256)
	}
	r := &report.Report{Title: fmt.Sprintf("How far the values can be trusted: %d values", all)}
	for _, g := range gradeWords {
		cells := []string{string(g.grade), fmt.Sprint(count[g.grade]), report.Of100(float64(count[g.grade]) / float64(max(all, 1)))}
		if weighed != nil {
			cells = append(cells, fmt.Sprintf("%.1f ± %.1f", 100*weighed.Share[g.grade], 100*weighed.Error[g.grade]))
		}
		t.Rows = append(t.Rows, report.Row{Cells: cells})
		r.Remarks = append(r.Remarks, report.Term{Name: string(g.grade), Text: g.means})
	}
	r.Tables = []report.Table{t}
	return r
}

// weighedWords says what the weight of a grade is and how it was measured.
func weighedWords(w *drivers.Weighed, sha256 string) string {
	text := fmt.Sprintf("Weight: of what uncertain values make of the spread of heads at the last harvest, how much rests on each grade (share of all "+
		"total indices, mean of %d example plans, %s rows each, ± standard error). 'rundown drivers' weighs a plan of yours.",
		w.Plans, report.Counted(w.Rows))
	if w.Library != sha256 {
		text += " It was measured with other values than those of this library."
	}
	return text
}

// LibraryEntry shows every value of an entry. Sources are numbered, since many
// values share one.
func LibraryEntry(l *params.Library, e *params.Entry) *report.Report {
	t := report.Table{Keys: 1, Columns: []report.Column{
		{Head: "Key"}, {Head: "Value", Right: true}, {Head: "Nine in ten"}, {Head: "Unit"}, {Head: "Grade"}, {Head: "Source", Right: true},
	}}
	r := &report.Report{Title: withCode(e), Subtitle: e.About, Cautions: append(slices.Clone(cautionsOf(e.Kind)), dated(e.Kind, []*params.Entry{e})...)}
	for _, key := range sortedKeys(e.Text) {
		r.Sentences = append(r.Sentences, key+": "+e.Text[key])
	}
	if other := e.Aliases(); len(other) > 0 {
		r.Sentences = append(r.Sentences, "also looked for as: "+strings.Join(other, ", "))
	}
	for _, key := range sortedKeys(e.Lists) {
		if key == "aliases" {
			continue // said above
		}
		r.Sentences = append(r.Sentences, key+": "+strings.Join(e.Lists[key], ", "))
	}
	if crops, known := l.CropsOf(e); known && len(e.Lists["crops"]) == 0 {
		r.Sentences = append(r.Sentences, "crops, those of all its actives: "+strings.Join(crops, ", "))
	}
	var sources []string
	for _, key := range e.Keys {
		v := e.Values[key]
		at := slices.Index(sources, v.Source)
		if at < 0 {
			at = len(sources)
			sources = append(sources, v.Source)
		}
		t.Rows = append(t.Rows, report.Row{Cells: []string{key, valueWords(v), rangeWords(v), v.Unit, string(v.Grade), fmt.Sprint(at + 1)}})
		r.Remarks = append(r.Remarks, report.Term{Name: key, Text: strings.TrimSuffix(v.Short+" – "+v.Label+"; "+v.Note, "; ")})
	}
	r.Tables = []report.Table{t}
	for i, s := range sources {
		r.Sources = append(r.Sources, report.Term{Name: fmt.Sprint(i + 1), Text: s})
	}
	return r
}

func sortedKeys[T any](m map[string]T) []string {
	var keys []string
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// valueWords writes the central value; a long row of numbers is left to JSON.
func valueWords(v *params.Value) string {
	switch {
	case len(v.Row) > 0:
		return fmt.Sprintf("%d numbers", len(v.Row))
	case v.Unit == "date":
		return annual(v.Central)
	}
	return brief(v.Central, 5)
}

// brief is a number in so many significant digits, without trailing zeros.
func brief(x float64, digits int) string {
	s := strconv.FormatFloat(x, 'g', digits, 64)
	if short, err := strconv.ParseFloat(s, 64); err == nil {
		return report.Shortest(short)
	}
	return s
}

func annual(yearDay float64) string { return date.AnnualOf(int(yearDay + 0.5)).String() }

// rangeWords is the 90 % range of what is drawn.
func rangeWords(v *params.Value) string {
	s := v.Spread
	switch {
	case len(v.Row) > 0 || s.Kind == params.Fixed:
		return ""
	case s.Kind == params.Stated:
		return between(v.Unit, s.A, s.B) + ", not drawn"
	case s.PerEvent:
		return between(v.Unit, v.Quantile(0.05), v.Quantile(0.95)) + ", each pass"
	}
	return between(v.Unit, v.Quantile(0.05), v.Quantile(0.95))
}

func between(unit string, low, high float64) string { return betweenIn(unit, low, high, 3) }

// betweenIn is a range in so many digits.
func betweenIn(unit string, low, high float64, digits int) string {
	switch {
	case unit == "date":
		return annual(low) + "–" + annual(high)
	case low < 0:
		return brief(low, digits) + " to " + brief(high, digits)
	}
	return brief(low, digits) + "–" + brief(high, digits)
}

// LibraryDocument is entries with all their values, for programs.
func LibraryDocument(l *params.Library, entries []*params.Entry) report.Object {
	list := []report.Object{}
	for _, e := range entries {
		list = append(list, entryObject(e))
	}
	return report.Object{{"format", "rundown.library/1"}, {"library_sha256", l.SHA256()}, {"entries", list}}
}

func entryObject(e *params.Entry) report.Object {
	words, lists, values := report.Object{}, report.Object{}, []report.Object{}
	for _, k := range sortedKeys(e.Text) {
		words = append(words, report.Member{k, e.Text[k]})
	}
	for _, k := range sortedKeys(e.Lists) {
		if k == "aliases" {
			continue
		}
		lists = append(lists, report.Member{k, e.Lists[k]})
	}
	for _, k := range e.Keys {
		values = append(values, valueObject(k, e.Values[k]))
	}
	return report.Object{{"kind", e.Kind}, {"name", e.Name}, {"eppo", e.EPPO}, {"about", e.About}, {"aliases", append([]string{}, e.Aliases()...)},
		{"words", words}, {"lists", lists}, {"values", values}}
}

func valueObject(key string, v *params.Value) report.Object {
	o := report.Object{{"key", key}, {"label", v.Label}, {"short", v.Short}, {"unit", v.Unit}}
	if len(v.Row) > 0 {
		o = append(o, report.Member{"row", v.Row})
	} else {
		low, high := v.Central, v.Central
		if v.Spread.Kind != params.Fixed && v.Spread.Kind != params.Stated {
			low, high = v.Quantile(0.05), v.Quantile(0.95)
		}
		o = append(o, report.Member{"value", v.Central}, report.Member{"p05", low}, report.Member{"p95", high})
	}
	return append(o, report.Member{"spread", v.Spread.String()}, report.Member{"grade", string(v.Grade)},
		report.Member{"source", v.Source}, report.Member{"note", v.Note}, report.Member{"from", v.From})
}
