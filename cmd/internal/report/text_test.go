package report

import (
	"bytes"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"rundown/cmd/internal/output"
	"rundown/sim/simtest"
)

// invented is a report with everything in it; all of it is invented.
func invented() *Report {
	return &Report{
		Title: "Far Piece: black-grass, harvests 2031 to 2033", Subtitle: "7 ha, clay. 100 runs, seed 1.",
		Sentences: []string{"Seed in the soil on 30 June: 2,100 per m² in 2031, 160 (nine runs in ten: 0 to 3,400) in 2033."},
		Tables: []Table{{
			Keys: 1, Legend: "180 (40–620): half of the runs are below 180.",
			Columns: []Column{{Head: "Harvest"}, {Head: "Crop"}, {Head: "Heads", Unit: "per m²", Band: true},
				{Head: "Yield", Unit: "t/ha", Band: true}, {Head: "Runs", Right: true}},
			Rows: []Row{
				{Season: 1, Cells: []string{"2031", "spring barley", "25 (2.2–160)", "6.0 (4.9–7.1)", "98"}},
				{Season: 2, Cells: []string{"2032", "fallow", "8.6 (0.47–140)", "–", "100"}},
				{Season: 3, Cells: []string{"2033", "winter oilseed rape", "1,200 (90–9,000)", "3.1 (2.0–4.4)", "7"}},
			},
		}},
		Warnings: []Warning{
			{Code: "general", Text: "Something about all of it, long enough that it has to be wrapped in a narrow terminal."},
			{Code: "late", Season: 1, Text: "Drilled late in 2031.", Lead: "Drilled late:", Detail: "2031 in 5 of 100 runs"},
			{Code: "once", Season: 1, Text: "Only once."},
			{Code: "late", Season: 3, Text: "Drilled late in 2033.", Lead: "Drilled late:", Detail: "2033 in 9 of 100 runs"},
		},
		Cautions: []string{
			"A forecast is a spread, not a promise.",
			"Herbicide, seed and machinery advice is local: the product label, local codes and a qualified adviser rule.",
			"Efficacy figures are planning averages, not recommendations; no dose is given.",
		},
		Written: "Written to out: bands.csv.",
	}
}

// The layout as a person sees it, narrow (blocks, wrapped notes) and wide.
func TestTextGolden(t *testing.T) {
	for _, columns := range []int{60, 100} {
		var b bytes.Buffer
		if err := invented().Text(&b, output.Terminal{Columns: columns}); err != nil {
			t.Fatal(err)
		}
		file := filepath.Join("testdata", "report-"+strconv.Itoa(columns)+".txt")
		simtest.Golden(t, simtest.Documents, file, b.Bytes())
	}
}

func TestTextFitsAnyWidth(t *testing.T) {
	for columns := output.NarrowestColumns; columns <= 140; columns++ {
		var b bytes.Buffer
		if err := invented().Text(&b, output.Terminal{Columns: columns}); err != nil {
			t.Fatal(err)
		}
		if strings.Contains(b.String(), "\x1b") {
			t.Errorf("%d columns: colour where none is wanted", columns)
		}
		for _, line := range strings.Split(b.String(), "\n") {
			if n := utf8.RuneCountInString(line); n > columns {
				t.Errorf("%d columns: %q is %d wide", columns, line, n)
			}
			if strings.TrimRight(line, " ") != line {
				t.Errorf("%d columns: %q ends in spaces", columns, line)
			}
		}
		// Whatever the layout, no cell may be lost.
		for _, r := range invented().Tables[0].Rows {
			for _, cell := range r.Cells {
				if !strings.Contains(b.String(), cell) {
					t.Errorf("%d columns: the cell %q is missing", columns, cell)
				}
			}
		}
	}
}

func TestColourOnlyPaints(t *testing.T) {
	var plain, painted bytes.Buffer
	_ = invented().Text(&plain, output.Terminal{Columns: 80})
	_ = invented().Text(&painted, output.Terminal{Columns: 80, Interactive: true, Colour: true})
	stripped := painted.String()
	for _, code := range []string{"\x1b[0m", "\x1b[1m", "\x1b[2m"} {
		stripped = strings.ReplaceAll(stripped, code, "")
	}
	if stripped != plain.String() || painted.Len() == plain.Len() {
		t.Errorf("colour changes more than colour:\n%s", stripped)
	}
}
