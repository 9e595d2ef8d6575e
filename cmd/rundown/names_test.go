package main

import (
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"rundown/sim/simtest"
)

// Nothing is cut at 100 columns in what is said of the examples.
func TestNothingIsCut(t *testing.T) {
	simtest.Stage(t, "texts")
	plans, err := filepath.Glob("../../examples/*.yaml")
	if err != nil || len(plans) < 5 {
		t.Fatalf("%d plans, %v", len(plans), err)
	}
	files := map[string]string{}
	for _, p := range plans {
		b, err := os.ReadFile(p)
		if err != nil {
			t.Fatal(err)
		}
		files[filepath.Base(p)] = string(b)
	}
	inFolder(t, files)
	shareRuns(t)
	t.Setenv("COLUMNS", "100")
	whole := func(args string) {
		got := run(t, strings.Fields(args)...)
		if got.code != exitDone {
			t.Fatalf("%s: exit %d, %s", args, got.code, got.stderr)
		}
		for _, line := range strings.Split(got.stdout, "\n") {
			if strings.Contains(line, "…") && strings.TrimSpace(line) != "…" { // alone it stands for rows that are left out
				t.Errorf("%s: something is cut: %q", args, line)
			}
		}
	}
	for name := range files {
		whole("forecast " + name + " --replicates 8 --full")
		whole("drivers " + name + " --replicates 8 --full")
		whole("drivers " + name + " --replicates 8")
	}
}

// A date is swept by its dates, written as dates again, and pasted back the same.
func TestSweepOfADate(t *testing.T) {
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	shareRuns(t)
	const path = "weeds/black-grass/heads_date"
	for _, span := range []string{"20-May:10-Jun:7", "20 May:10 Jun:7", "20 May:10 June:7"} {
		got := run(t, "drivers", "plan.yaml", "--replicates", "8", "--out", "out", "--sweep", path+"="+span, "--full")
		if got.code != exitDone {
			t.Fatalf("%s: %s", span, got.stderr)
		}
		for _, want := range []string{"\n20 May ", "\n27 May ", "\n 3 Jun ", "\n10 Jun ", "at 20 May", "at 10 Jun"} {
			if !strings.Contains(got.stdout, want) {
				t.Errorf("%s: no %q in\n%s", span, want, got.stdout)
			}
		}
		rows := readCSV(t, "out/sweep.csv")
		if r := rows[1]; r[0] != path || r[1] != "20 May" || r[2] != "date" {
			t.Errorf("sweep.csv: %v", r)
		}
		if b, err := os.ReadFile("out/provenance.json"); err != nil || !strings.Contains(string(b), path+"=20-May:10-Jun:7") {
			t.Errorf("the provenance does not hold the sweep in dates: %v", err)
		}
	}
	for span, want := range map[string]string{
		path + "=140:161:7":                             "write --sweep " + path + "=20-May:10-Jun:7",
		path + "=20-May:161:7":                          "expected two dates, or none",
		"weeds/black-grass/viability=20-May:10-Jun:7":   "is no date",
		path + "=10-Jun:20-May:7":                       "low end below the high end",
		"weeds/black-grass/viability=20-May:10-Jun:May": "not a number",
	} {
		if got := run(t, "drivers", "plan.yaml", "--replicates", "8", "--sweep", span); got.code != exitUsage || !strings.Contains(got.stderr, want) {
			t.Errorf("%s: exit %d, %q; expected %q", span, got.code, got.stderr, want)
		}
	}
}

// parameters.csv holds what every run drew: as many rows as runs and values, inside the
// limits; another number of runs changes none of them.
func TestParametersCSV(t *testing.T) {
	numbersAlone(t)
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	shareRuns(t)
	for _, n := range []string{"5", "20"} {
		if got := run(t, "forecast", "plan.yaml", "--replicates", n, "--out", n, "--replicates-csv", "--quiet"); got.code != exitDone {
			t.Fatal(got.stderr)
		}
	}
	few, many := readCSV(t, "5/parameters.csv"), readCSV(t, "20/parameters.csv")
	if strings.Join(few[0], ",") != "replicate,parameter,unit,value" || (len(many)-1) != 4*(len(few)-1) || len(few) < 5*50 {
		t.Fatalf("%v; %d and %d rows", few[0], len(few), len(many))
	}
	for i := range few {
		if strings.Join(few[i], ",") != strings.Join(many[i], ",") {
			t.Fatalf("row %d: %v and %v", i, few[i], many[i])
		}
	}
	dates := 0
	for _, r := range few[1:] {
		if r[2] == "date" || r[3] == "" {
			t.Errorf("%v", r)
		}
		if r[2] == "day of the year" {
			dates++
		}
	}
	if dates == 0 {
		t.Error("no value is a date")
	}
	got := run(t, "forecast", "plan.yaml", "--replicates", "1000000", "--out", "x", "--replicates-csv")
	if got.code != exitUsage || !strings.Contains(got.stderr, "parameters.csv would take about") || !strings.Contains(got.stderr, "give --replicates ") {
		t.Errorf("exit %d, %q", got.code, got.stderr)
	}
}

// From runs.csv alone the total indices come out as indices.csv has them: half the mean
// squared difference that replacing an input makes, over the variance (Jansen 1999).
func TestIndicesFromTheRuns(t *testing.T) {
	numbersAlone(t)
	inFull(t)
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	shareRuns(t)
	if got := run(t, strings.Fields("drivers plan.yaml --replicates 32 --values 3 --quiet --out out")...); got.code != exitDone {
		t.Fatal(got.stderr)
	}
	first, mixed, all := map[string]float64{}, map[string]map[string]float64{}, []float64{}
	for _, r := range readCSV(t, "out/runs.csv")[1:] {
		y := asNumber(t, r[6])
		switch r[1] {
		case "first":
			first[r[0]] = y
			all = append(all, y)
		case "second":
			all = append(all, y)
		default:
			if mixed[r[2]] == nil {
				mixed[r[2]] = map[string]float64{}
			}
			mixed[r[2]][r[0]] = y
		}
	}
	mean, variance := 0.0, 0.0
	for _, y := range all {
		mean += y / float64(len(all))
	}
	for _, y := range all {
		variance += (y - mean) * (y - mean) / float64(len(all))
	}
	checked := 0
	for _, r := range readCSV(t, "out/indices.csv")[1:] {
		if r[0] != "2028" || r[5] != "total" {
			continue
		}
		sum := 0.0
		for row, y := range mixed[r[2]] {
			sum += (y - first[row]) * (y - first[row])
		}
		if got, want := sum/2/32/variance, asNumber(t, r[6]); len(mixed[r[2]]) != 32 || math.Abs(got-want) > 0.01*math.Max(1, want) {
			t.Errorf("%s: %d runs give %v, indices.csv has %v", r[2], len(mixed[r[2]]), got, want)
		}
		checked++
	}
	if rows := readCSV(t, "out/design.csv"); checked < 8 || len(rows) != 1+2*32*3 {
		t.Errorf("%d indices; design.csv has %d rows, want a heading and 32 rows × 2 samples × 3 inputs", checked, len(rows))
	}
}

func asNumber(t *testing.T, s string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// Every work that a method is cited from stands in the bibliography, which BibTeX can
// read: braces are balanced and keys are there once.
func TestBibliography(t *testing.T) {
	inFull(t)
	inFolder(t, examplesFor(t, "early-wheat.yaml", "counted-field.yaml", "counted-field.csv"))
	shareRuns(t)
	bib := run(t, "library", "--bibtex")
	if bib.code != exitDone {
		t.Fatal(bib.stderr)
	}
	keys := map[string]bool{}
	for _, entry := range strings.Split(bib.stdout, "\n@article{")[1:] {
		key, rest, _ := strings.Cut(entry, ",")
		if keys[key] {
			t.Errorf("%s stands twice", key)
		}
		keys[key] = true
		if rest, _, _ = strings.Cut(rest, "\n}\n"); strings.Count(rest, "{") != strings.Count(rest, "}") {
			t.Errorf("%s: braces are not balanced", key)
		}
	}
	if len(keys) < 40 {
		t.Errorf("%d works", len(keys))
	}
	work := regexp.MustCompile(`([A-Z][A-Za-z]+)[^;().]*? ((?:19|20)[0-9]{2})[;,)]`)
	for args, want := range map[string]string{
		"drivers early-wheat.yaml --replicates 8 --full": "morris1991 campolongo2007 sobol1993 " +
			"saltelli2010 jansen1999 archer1997 joe2008",
		"drivers early-wheat.yaml --replicates 8 --full --sweep weeds/black-grass/viability=0.3:0.9:0.3": "hyndman1996",
		"forecast early-wheat.yaml --replicates 8 --full":                                                "hyndman1996 wilson1927 fieller1957",
		"update counted-field.yaml counted-field.csv --replicates 50 --full":                             "chopin2002 neal2001 delmoral2006 gilks2001 cotter2013",
		"counts counted-field.csv --full":                                                                "anscombe1949 venzon1988 hanley1983",
	} {
		got := run(t, strings.Fields(args)...)
		if got.code != exitDone {
			t.Fatalf("%s: %s", args, got.stderr)
		}
		text := strings.Join(strings.Fields(got.stdout), " ")
		_, method, found := strings.Cut(text, "How it was done: ")
		if !found || !strings.Contains(method, "rundown library --bibtex") || len(work.FindAllString(method, -1)) == 0 {
			t.Errorf("%s does not say how it was done", args)
		}
		for _, key := range strings.Fields(want) {
			if year := key[len(key)-4:]; !keys[key] || !strings.Contains(strings.ToLower(strings.NewReplacer(" ", "", "'", "").Replace(method)),
				key[:len(key)-4]) || !strings.Contains(method, year) {
				t.Errorf("%s: %s is not cited, or not in the bibliography", args, key)
			}
		}
	}
}
