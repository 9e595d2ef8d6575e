package main

import (
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"rundown/sim/simtest"
)

// everyTable runs each command that writes tables, in the folder, and gives the headings
// by file.
func everyTable(t *testing.T) map[string][]string {
	t.Helper()
	for dir, args := range map[string]string{
		"a": "forecast decided-in-june.yaml --replicates 20 --replicates-csv", "b": "compare early-wheat.yaml late-wheat.yaml --replicates 10",
		"c": "drilling early-wheat.yaml --every 40d --replicates 10", "d": "drivers early-wheat.yaml --replicates 8 --values 2",
		"e": "drivers early-wheat.yaml --replicates 8 --sweep weeds/black-grass/viability=0.3:0.9:0.3",
		"f": "counts counted-field.csv", "h": "farm fields.csv early-wheat.yaml late-wheat.yaml --replicates 10 --replicates-csv --afterwards",
		"g": "update counted-field.yaml counted-field.csv --replicates 100", "i": "worth sprayed-if-needed.yaml --replicates 20 --choose-on 20",
		"k": "search menu.yaml --replicates 10 --season-runs 2000",
	} {
		if got := run(t, strings.Fields(args+" --quiet --out "+dir)...); got.code != exitDone {
			t.Fatalf("%s: exit %d, %s", args, got.code, got.stderr)
		}
	}
	files, err := filepath.Glob("?/*.csv")
	if err != nil {
		t.Fatal(err)
	}
	out := map[string][]string{}
	for _, f := range files {
		name := strings.TrimSuffix(filepath.Base(f), ".csv")
		if out[name] != nil {
			t.Errorf("two commands write %s.csv", name)
		}
		out[name] = readCSV(t, f)[0]
	}
	return out
}

// The dictionary of columns has every column of every table, with all its files, and no other.
func TestDictionaryOfColumns(t *testing.T) {
	numbersAlone(t)
	if testing.Short() {
		t.Skip("some seconds")
	}
	page, err := os.ReadFile("../../examples/numbers/README.md")
	if err != nil {
		t.Fatal(err)
	}
	inFolder(t, examplesFor(t, "early-wheat.yaml", "late-wheat.yaml", "counted-field.yaml", "counted-field.csv", "fields.csv", "decided-in-june.yaml",
		"sprayed-if-needed.yaml"))
	shareRuns(t)
	putFile(t, "menu.yaml", smallMenu)
	written := map[string]bool{}
	for file, columns := range everyTable(t) {
		for _, c := range columns {
			written[c+" in "+file] = true
		}
	}
	told := map[string]bool{}
	name := regexp.MustCompile("`([a-z0-9_]+)`")
	for _, line := range strings.Split(string(page), "\n") {
		cells := strings.Split(line, " | ")
		if len(cells) < 4 || !strings.HasPrefix(line, "| `") {
			continue
		}
		for _, m := range name.FindAllStringSubmatch(cells[0], -1) {
			for _, file := range strings.Split(cells[1], ", ") {
				if key := m[1] + " in " + file; told[key] {
					t.Errorf("%s stands twice", key)
				} else {
					told[key] = true
				}
			}
		}
	}
	for key := range written {
		if !told[key] {
			t.Errorf("the dictionary lacks %s", key)
		}
	}
	for key := range told {
		if !written[key] {
			t.Errorf("the dictionary has %s, which is not written", key)
		}
	}
}

// examplesFor are files of the examples.
func examplesFor(t testing.TB, names ...string) map[string]string {
	t.Helper()
	out := map[string]string{}
	for _, n := range names {
		b, err := os.ReadFile(filepath.Join("../../examples", n))
		if err != nil {
			t.Fatal(err)
		}
		out[n] = string(b)
	}
	return out
}

// sameToTheLastDigit tells whether two tables hold the same words, and numbers of six digits that are
// apart by one in the last at most: a middle of two numbers may be rounded up by one and down by the other.
func sameToTheLastDigit(t *testing.T, a, b string) bool {
	t.Helper()
	lines, others := strings.Split(a, "\n"), strings.Split(b, "\n")
	if len(lines) != len(others) {
		return false
	}
	for i := range lines {
		x, y := strings.Split(lines[i], ","), strings.Split(others[i], ",")
		if len(x) != len(y) {
			return false
		}
		for k := range x {
			if x[k] == y[k] {
				continue
			}
			if k == 0 || len(x) != 4 { // a year or a name, a rank correlation
				return false
			}
			if p, q := asNumber(t, x[k]), asNumber(t, y[k]); math.Abs(p-q) > 1e-5*math.Abs(p) {
				return false
			}
		}
	}
	return true
}

// The worked page: its scripts form the bands of bands.csv again, and Python and R agree
// to the last digit that they print.
func TestWorkedPage(t *testing.T) {
	numbersAlone(t)
	simtest.Stage(t, "r") // needs Rscript and python3
	root, err := filepath.Abs("../../examples")
	if err != nil {
		t.Fatal(err)
	}
	inFolder(t, examplesFor(t, "wheat-and-oats.yaml"))
	if got := run(t, strings.Fields("forecast wheat-and-oats.yaml --replicates 60 --replicates-csv --out out --quiet")...); got.code != exitDone {
		t.Fatal(got.stderr)
	}
	for _, metric := range []string{"heads_per_m2", "margin_per_ha"} {
		var said []string
		for _, call := range [][]string{{"python3", "numbers/bands.py"}, {"Rscript", "numbers/bands.R"}} {
			b, err := exec.Command(call[0], filepath.Join(root, call[1]), "out", metric).Output()
			if err != nil {
				t.Fatalf("%v: %v", call, err)
			}
			said = append(said, string(b))
		}
		if !sameToTheLastDigit(t, said[0], said[1]) {
			t.Errorf("%s: Python says\n%s\nR says\n%s", metric, said[0], said[1])
		}
		checked := 0
		for _, r := range readCSV(t, "out/bands.csv") {
			at := slices.Index([]string{"p05", "p50", "p95"}, r[3])
			if r[1] != metric || at < 0 {
				continue
			}
			for _, line := range strings.Split(said[0], "\n") {
				if cells := strings.Split(line, ","); cells[0] == r[0] {
					if got, want := asNumber(t, cells[1+at]), asNumber(t, r[4]); math.Abs(got-want) > 1e-5*(1+math.Abs(want)) {
						t.Errorf("%s %s %s: %v from the runs, bands.csv has %v", metric, r[0], r[3], got, want)
					}
					checked++
				}
			}
		}
		if checked < 12 {
			t.Errorf("%s: %d points were compared", metric, checked)
		}
	}
}
