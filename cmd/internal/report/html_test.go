package report

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"rundown/cmd/internal/figure"
	"rundown/sim/simtest"
)

// inventedPage is the invented report with a page of its own, and everything
// that a page can hold.
func inventedPage() *Report {
	r := invented()
	seasons := []figure.Season{{HarvestYear: 2031, Crop: "spring barley", Cover: "oats", Drilled: "18 Mar"}, {HarvestYear: 2032, Crop: "fallow"}}
	bands := func(name string) Picture {
		return Picture{name, &figure.Bands{Caption: figure.Caption{Title: "Far Piece: " + name, Provenance: "seed 1"}, Seasons: seasons,
			Panels: []figure.Panel{{Name: "Weed heads", Unit: "per m²", Kind: figure.Log, Bands: []figure.Spread{
				{P05: 0, P25: 2, P50: 25, P75: 60, P95: 160, Zero: 0.07}, figure.Exactly(math.NaN())}}}}}
	}
	r.Made = Made{Seed: 7, Runs: 100, Provenance: Provenance{
		Version: "v1.2.3", Commit: "abc", Go: "go1", Modules: []Module{{"example.org/m", "v1"}}, PlanSHA256: "11", LibrarySHA256: "22",
		Arguments: []string{"forecast", "my plan.yaml", "--seed=7", "--season="}}}
	r.Plans = []PlanText{{"my plan.yaml", "field: {name: Far Piece}\n# a < b & c\n"}}
	r.Pictures = []Picture{bands("heads"), bands("again")}
	r.Page = func() *Page {
		return &Page{
			Field: "Far Piece · 7 ha", Question: "Does it run down?",
			Answer:   []Verdict{{"Likely to run down", ": from 2,100 to 160 (nine runs in ten: 0 to 3,400)."}, {"", "A margin of -40 GBP/ha."}},
			Keys:     []KeyNumber{{Name: "Heads", Value: "25", Unit: "per m²", Range: "-3 to 160"}},
			Chapters: []Chapter{{ID: "bands", Title: "Season by season", Words: []string{"Every row is a season."}, Leading: r.Tables, Pictures: r.Pictures[1:]}},
			Assumed:  &Chapter{ID: "assumed", Title: "What was assumed", Short: "Assumed", Words: []string{"Much."}},
		}
	}
	return r
}

func page(t *testing.T, r *Report) string {
	t.Helper()
	var b bytes.Buffer
	if err := r.HTML(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// block are the elements that begin a line.
var block = regexp.MustCompile(`^(p|h\d|dt|dd|li|td|th|figcaption|caption|summary|code|title)$`)

var aside = regexp.MustCompile(`(?s)<(style|script)>.*?</(style|script)>`)

// data is what a page says, a line to each element that holds words, without
// style, script and what is drawn; of pictures their label and what their spots
// say.
func data(t *testing.T, html string) string {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(aside.ReplaceAllString(html, "")))
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	var out, line strings.Builder
	drawing, narrow := 0, 0
	end := func() { endLine(&out, &line) }
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			end()
			return out.String()
		}
		if err != nil {
			t.Fatal(err)
		}
		switch e := token.(type) {
		case xml.StartElement:
			switch name := e.Name.Local; {
			case name == "div" && attribute(e, "class") == "narrow":
				narrow++
			case narrow > 0 && name == "div":
				narrow++
			case narrow > 0:
			case name == "svg":
				end()
				out.WriteString("picture: " + attribute(e, "aria-label") + "\n")
				drawing++
			case drawing > 0:
				drawing++
				if label := attribute(e, "aria-label"); label != "" {
					out.WriteString("spot: " + label + "\n")
				}
			case block.MatchString(name):
				end()
				line.WriteString(name + ": ")
			case name == "span" || name == "sup":
				line.WriteString(" ")
			}
		case xml.EndElement:
			switch {
			case narrow > 0:
				if e.Name.Local == "div" {
					narrow--
				}
			case drawing > 0:
				drawing--
			case block.MatchString(e.Name.Local):
				end()
			}
		case xml.CharData:
			if drawing == 0 && narrow == 0 {
				line.WriteString(string(e))
			}
		}
	}
}

// endLine ends a line that has words.
func endLine(out, line *strings.Builder) {
	if s := strings.Join(strings.Fields(line.String()), " "); s != "" {
		out.WriteString(s + "\n")
	}
	line.Reset()
}

func attribute(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// What a page says, not how it looks.
func TestHTMLGolden(t *testing.T) {
	html := page(t, inventedPage())
	got := data(t, html)
	file := filepath.Join("testdata", "page.txt")
	simtest.Golden(t, simtest.Documents, file, []byte(got))
	if page(t, inventedPage()) != html {
		t.Error("two pages of one report differ")
	}
	for _, bad := range []string{"http://", "https://", "src=", "@import", "url("} {
		if at := strings.Index(html, bad); at >= 0 && !strings.Contains(html[at:min(at+40, len(html))], "www.w3.org") {
			t.Errorf("the page holds %q: …%.60s", bad, html[at:])
		}
	}
}

// A report without a page of its own, as a new command has it, still gets a
// whole one.
func TestHTMLOfAnyReport(t *testing.T) {
	r := inventedPage()
	r.Page = nil
	said := data(t, page(t, r))
	for _, want := range []string{"h1: " + r.Title, "p: " + r.Sentences[0], "picture: Far Piece: heads.", "picture: Far Piece: again.",
		"td: Crop winter oilseed rape",
		"li: A forecast is a spread", "dd: 22", "code: rundown forecast 'my plan.yaml' --seed=7", "code: field: {name: Far Piece} # a < b & c"} {
		if !strings.Contains(said, want) {
			t.Errorf("the page lacks %q; it says\n%s", want, said)
		}
	}
	if empty := data(t, page(t, &Report{Title: "Nothing"})); !strings.Contains(empty, "h1: Nothing") {
		t.Errorf("an empty report says %q", empty)
	}
}

// Names come from users: whatever they are, they stay text in every place.
func TestHTMLEscapes(t *testing.T) {
	const name = `<script>alert(1)</script> & "x" 'y' <img onerror=z> {{.}} --> ]]>`
	r := inventedPage()
	r.Title, r.Subtitle, r.Sentences, r.Cautions = name, name, []string{name}, []string{name}
	r.Warnings = []Warning{{Code: name, Text: name}}
	r.Plans = []PlanText{{name, name}}
	r.Tables[0].Title, r.Tables[0].Legend = name, name
	r.Tables[0].Columns[0] = Column{Head: name, Unit: name}
	r.Tables[0].Rows[0].Cells[1] = name
	f := r.Pictures[0].Figure.(*figure.Bands)
	f.Caption.Title, f.Caption.Desc, f.Seasons[0].Crop, f.Panels[0].Name, f.Panels[0].Unit = name, name, name, name, name
	made := r.Page
	r.Page = func() *Page {
		p := made()
		p.Field, p.Question, p.Answer[0] = name, name, Verdict{name, name}
		p.Keys[0] = KeyNumber{name, name, name, name}
		p.Chapters[0].Title, p.Chapters[0].Words = name, []string{name}
		p.Main = &r.Pictures[0]
		return p
	}
	html := page(t, r)
	if n := strings.Count(html, "<script"); n != 1 {
		t.Errorf("the page has %d script elements, want its own alone", n)
	}
	if strings.Contains(html, "<img") {
		t.Error("the page has an image of a name's making")
	}
	said := data(t, html)
	for _, place := range []string{"title: ", "h1: ", "p: ", "h2: ", "figcaption: ", "picture: ", "li: ", "dt: ", "h3: ", "caption: "} {
		if !strings.Contains(said, place+name) {
			t.Errorf("%q does not hold the name as it is written; the page says\n%.3000s", place, said)
		}
	}
}

func TestCommandLine(t *testing.T) {
	for want, arguments := range map[string][]string{
		"rundown forecast plan.yaml --seed=1":    {"forecast", "plan.yaml", "--seed=1"},
		"rundown forecast 'a b.yaml' --out=x":    {"forecast", "a b.yaml", "--from=", "--out=x"},
		`rundown counts 'it'\''s.csv' '$(x)' ''`: {"counts", "it's.csv", "$(x)", ""},
	} {
		if got := CommandLine(arguments); got != want {
			t.Errorf("%q: got %s, want %s", arguments, got, want)
		}
	}
}

func TestMinus(t *testing.T) {
	for s, want := range map[string]string{"-40 (-210 to 17)": "−40 (−210 to 17)", "18 Mar-17 Apr": "18 Mar-17 Apr",
		"black-grass 5-10 cm": "black-grass 5-10 cm", "to -3": "to −3"} {
		if got := Minus(s); got != want {
			t.Errorf("%q becomes %q, want %q", s, got, want)
		}
	}
}

// A shortlist stands open between answer and picture, for a phone as well, and is not on paper, which
// has the table to keep; a row that stands for others is marked and has no empty cells.
func TestShortlistStandsOpen(t *testing.T) {
	r := invented()
	few := twelve().trimmed(5)
	page := &Page{Question: "Which?", Answer: []Verdict{{Word: "This one."}}, Few: &few}
	r.Page = func() *Page { return page }
	var b bytes.Buffer
	if err := r.HTML(&b); err != nil {
		t.Fatal(err)
	}
	text := b.String()
	at, nav := strings.Index(text, `<div class="few">`), strings.Index(text, "<nav ")
	if at < 0 || at > nav || strings.Contains(text[:at], "<details") {
		t.Errorf("the shortlist stands at %d, the contents at %d", at, nav)
	}
	if n := strings.Count(text[at:nav], `<tr role="row" class="gap"><td role="cell" colspan="3">…</td></tr>`); n != 1 {
		t.Errorf("%d rows are marked as left out", n)
	}
	paper := text[strings.Index(text, "@media print"):]
	if !strings.Contains(paper[:strings.Index(paper, "</style>")], ".few { display: none; }") {
		t.Error("the shortlist is printed beside the table to keep")
	}
}
