package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rundown/sim/simtest"
)

// lengths is what budget.mjs tells of a page.
type lengths struct {
	File     string
	Screens  float64   // of a phone, 390 px wide, with what is folded closed
	Answered float64   // how far down the answer ends there, px
	Full     []float64 // of each side of paper, how far down the lowest word stands, as a share
	First    string    // words of the first side
}

// halfFull is how full a side of paper is at least, but for the last.
const halfFull = 0.5

// The pages of all examples and shipped rotations keep to their budgets: on a phone the answer
// stands on the first screen, and all of it with what is folded closed on ten; on paper the first
// side is whole in itself, no side but the last is more than half empty, and the sides are not too many.
func TestPagesKeepToTheirBudgets(t *testing.T) {
	simtest.Stage(t, "browser")
	chromium := outside(t, "chromium", "chromium-browser")
	outside(t, "pdftotext")
	keep := keptPictures(t)
	folder := tools(t)
	files, most := examplePages(t)
	var pages []lengths
	script(t, folder, &pages, "budget.mjs", append([]string{chromium, keep}, files...)...)
	if len(pages) != len(files) {
		t.Fatalf("%d pages were opened, want %d", len(pages), len(files))
	}
	for _, p := range pages {
		name := filepath.Base(filepath.Dir(p.File))
		if p.Screens > 10 || p.Answered > 844 {
			t.Errorf("%s: %.1f phone screens, the answer ends %.0f px down; at most 10 and 844", name, p.Screens, p.Answered)
		}
		if n := len(p.Full); n > most[p.File] || n < 2 {
			t.Errorf("%s: %d sides of paper, at most %d", name, n, most[p.File])
		}
		for i, full := range p.Full[:len(p.Full)-1] {
			if full < halfFull {
				t.Errorf("%s: side %d of %d is filled to %.2f only", name, i+1, len(p.Full), full)
			}
		}
		for _, words := range []string{"A forecast is a spread, not a promise.", "a qualified adviser rule", "no dose is given"} {
			if name != "counts" && !strings.Contains(p.First, words) {
				t.Errorf("%s: the first side lacks %q", name, words)
			}
		}
		if strings.Contains(p.First, "How to reproduce") || strings.Contains(p.First, "The plan") {
			t.Errorf("%s: the first side is not a sheet of its own", name)
		}
	}
}

// examplePages writes the pages of every example and shipped rotation, and tells how many
// sides of paper each may have.
func examplePages(t *testing.T) (files []string, most map[string]int) {
	t.Helper()
	plans := plansOfBudget(t)
	quadrats := map[string]string{}
	for _, name := range []string{"counted-field.csv", "invented-strips.csv", "fields.csv"} {
		text, err := os.ReadFile("../../examples/" + name)
		if err != nil {
			t.Fatal(err)
		}
		quadrats[name] = string(text)
	}
	inFolder(t, plans)
	for name, text := range quadrats {
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	most = map[string]int{}
	write := func(folder, args string, sides int) {
		got := run(t, append(strings.Fields(args), "--out", folder, "--quiet")...)
		if got.code != exitDone {
			t.Fatalf("%s: exit %d, %s", args, got.code, got.stderr)
		}
		file, err := filepath.Abs(filepath.Join(folder, "report.html"))
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, file)
		most[file] = sides
	}
	for name := range plans {
		sides := 9
		if name == "longest.yaml" {
			sides = 17 // of 40 seasons
		}
		if !strings.Contains(plans[name], "Old Brick Kiln") || name == "longest.yaml" {
			write(strings.TrimSuffix(name, ".yaml"), fmt.Sprintf("forecast %s --replicates 60", name), sides)
		}
	}
	write("four-plans", "compare early-wheat.yaml late-wheat.yaml wheat-and-oats.yaml two-springs.yaml --replicates 60", 14)
	write("three-plans", "compare oats-with-cover.yaml oats-without-cover.yaml oats-sprayed-once.yaml --replicates 60", 10)
	write("dates", "drilling early-wheat.yaml --replicates 40", 9)
	write("drivers", "drivers two-springs.yaml --replicates 64", 9)
	write("sweep", "drivers two-springs.yaml --replicates 20 --sweep weeds/black-grass/seeds_per_head=60:150:30", 5)
	write("update", "update counted-field.yaml counted-field.csv --replicates 60", 13)
	write("farm", "farm fields.csv early-wheat.yaml late-wheat.yaml wheat-and-oats.yaml two-springs.yaml --replicates 40", 9)
	write("counts", "counts invented-strips.csv --compare zone", 5)
	return files, most
}
