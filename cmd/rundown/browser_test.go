package main

import (
	"encoding/json"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"rundown/sim/simtest"
)

var lookInto = flag.String("look", "", "keep the screenshots and the PDF of the reports in this `folder`")

// browserFolder holds the outside tools: its README says how to install them.
const browserFolder = "../internal/report/testdata/browser"

// outside finds a tool that the program itself does not need. Without it the
// test is skipped, but never where CI=true.
func outside(t *testing.T, names ...string) string {
	t.Helper()
	for _, name := range names {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	missing(t, "there is no "+strings.Join(names, " or "))
	return ""
}

func missing(t *testing.T, what string) {
	t.Helper()
	if os.Getenv("CI") == "true" {
		t.Fatalf("%s, and CI=true allows no skip: .ci/run installs it", what)
	}
	t.Skipf("skipped: %s (.ci/run installs it; see %s/README.md)", what, browserFolder)
}

// tools is the folder of the outside tools, installed.
func tools(t *testing.T) string {
	t.Helper()
	outside(t, "node")
	folder, err := filepath.Abs(browserFolder)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(filepath.Join(folder, "node_modules")); err != nil {
		missing(t, "npm ci has not been run in "+browserFolder)
	}
	return folder
}

// script runs one of the tools' scripts and reads what it prints.
func script(t *testing.T, folder string, into any, name string, args ...string) {
	t.Helper()
	if _, err := os.ReadFile(filepath.Join(folder, name)); err != nil { // also, a change of it makes the test run anew
		t.Fatal(err)
	}
	c := exec.Command("node", append([]string{filepath.Join(folder, name)}, args...)...)
	var errs strings.Builder
	c.Stderr = &errs
	out, err := c.Output()
	if err != nil {
		t.Fatalf("%s: %v\n%s", name, err, errs.String())
	}
	if err := json.Unmarshal(out, into); err != nil {
		t.Fatalf("%s printed no JSON: %v\n%.400s", name, err, out)
	}
}

// seen is what look.mjs tells of a page.
type seen struct {
	File  string
	Said  []string // console errors and warnings, exceptions, dialogs, and whatever was asked for besides the page
	Views []struct {
		Width, Overflow, Pictures, Broken, Unlabelled int
		Figures, Spots, Nameless                      int
		Smallest                                      float64
		Outside                                       []string
		Text                                          string
	}
	Violations []struct {
		Width                         int
		ColorScheme, ID, Impact, Help string
		Where                         []string
	}
	Keyboard *struct {
		First, Second string
		Stops, Spots  int
	}
	Scriptless string
	Print      struct {
		Tallest     float64
		Overflow    int
		Pages       int
		Ground, Box string
	}
}

// hostile is a name that a page must show and never obey.
const hostile = `<script>alert(1)</script><img src=x onerror=alert(2)> & "q" {{.}} 'Far'`

// reports writes the page of every command into folders of their own, each with
// the number of pictures its page should have.
func reports(t *testing.T) (files []string, pictures map[string]int) {
	t.Helper()
	quadrats := "date,zone,kind,quadrat_m2,count\n2027-04-12,north,plants,0.25,3\n2027-04-12,north,plants,0.25,0\n" +
		"2027-04-12,south,plants,0.25,9\n2027-04-12,south,plants,0.25,4\n"
	named, _ := json.Marshal(hostile) // a YAML string too
	later := strings.Replace(smallPlan, "  - crop: winter-wheat\n", "  - {crop: winter-wheat, drill: {date: 20 Oct}}\n", 1)
	inFolder(t, map[string]string{"plan.yaml": smallPlan, "later.yaml": later, "counts.csv": quadrats, "walked.csv": smallCounts,
		"fields.csv": strings.Replace(smallFarm, "Ash Corner", `"<img src=x onerror=alert(1)> & {{.}}"`, 1), "twelve.csv": examplesFor(t, "fields.csv")["fields.csv"],
		"hostile.yaml": strings.Replace(smallPlan, "Far Piece", string(named), 1)})
	pictures = map[string]int{}
	for _, c := range []struct {
		folder, args string
		pictures     int
	}{
		{"forecast", "forecast --replicates 300", 6},
		{"short", "forecast plan.yaml --replicates 1", 5},
		{"hostile", "forecast hostile.yaml --replicates 20", 5},
		{"compare", "compare plan.yaml later.yaml --replicates 40", 6},
		{"drilling", "drilling plan.yaml --replicates 20 --every 14d", 2},
		{"counts", "counts counts.csv --compare zone", 1},
		{"update", "update plan.yaml walked.csv --replicates 100 --posterior p.json", 4},
		{"goes-on", "forecast plan.yaml --posterior p.json", 5},
		{"drivers", "drivers plan.yaml --replicates 32", 2},
		{"farm", "farm twelve.csv plan.yaml later.yaml --replicates 20", 1},
		{"field", "farm fields.csv plan.yaml later.yaml --replicates 20 --field <img%src=x%onerror=alert(1)>%&%{{.}}", 1},
		{"one-plan", "farm fields.csv plan.yaml --replicates 20", 1},
		{"sweep", "drivers plan.yaml --replicates 20 --sweep weeds/black-grass/seeds_per_head=60:150:30", 1},
	} {
		args := append(strings.Fields(c.args), "--out", c.folder, "--quiet")
		for i := range args {
			args[i] = strings.ReplaceAll(args[i], "%", " ")
		}
		got := run(t, args...)
		if got.code != exitDone {
			t.Fatalf("%s: exit %d, %s", c.args, got.code, got.stderr)
		}
		file, err := filepath.Abs(filepath.Join(c.folder, "report.html"))
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, file)
		pictures[file] = c.pictures
	}
	return files, pictures
}

// Every command's page, opened from disk in a real browser. What counts as an
// error of accessibility is axe-core's list for WCAG 2.2 AA; how names are
// computed, and what is an error, is the browser's.
func TestReportsInABrowser(t *testing.T) {
	simtest.Stage(t, "browser")
	chromium := outside(t, "chromium", "chromium-browser")
	keep := keptPictures(t)
	folder := tools(t)
	files, pictures := reports(t)
	var pages []seen
	script(t, folder, &pages, "look.mjs", append([]string{chromium, keep}, files...)...)
	if len(pages) != len(files) {
		t.Fatalf("%d pages were opened, want %d", len(pages), len(files))
	}
	for _, p := range pages {
		checkPage(t, p, pictures[p.File])
	}
}

func checkPage(t *testing.T, p seen, pictures int) {
	t.Helper()
	name := filepath.Base(filepath.Dir(p.File))
	if len(p.Said) > 0 {
		t.Errorf("%s: the browser complains: %q", name, p.Said)
	}
	for _, v := range p.Views {
		switch {
		case v.Overflow > 0:
			t.Errorf("%s at %d px: %d px too wide", name, v.Width, v.Overflow)
		case v.Pictures < pictures || v.Pictures != v.Figures || v.Broken > 0:
			t.Errorf("%s at %d px: %d of %d figures show their picture, %d images broken; want at least %d pictures", name, v.Width, v.Pictures, v.Figures,
				v.Broken, pictures)
		case v.Nameless > 0 || v.Unlabelled > 0:
			t.Errorf("%s at %d px: %d figures or spots have no accessible name, %d pictures no label", name, v.Width, v.Nameless, v.Unlabelled)
		case len(v.Outside) > 0:
			t.Errorf("%s at %d px: words leave their picture: %q", name, v.Width, v.Outside)
		case v.Smallest < 9: // our judgement, no source
			t.Errorf("%s at %d px: the smallest type of a picture is %.1f px, want 9", name, v.Width, v.Smallest)
		}
		if strings.Contains(v.Text, "NaN") || strings.Contains(v.Text, "%!") || strings.Contains(v.Text, "{{") &&
			!slices.Contains([]string{"hostile", "field", "one-plan"}, name) {
			t.Errorf("%s at %d px: the text holds a fault of the program", name, v.Width)
		}
	}
	for _, v := range p.Violations {
		if v.Impact == "serious" || v.Impact == "critical" {
			t.Errorf("%s at %d px, %s: %s (%s) at %q", name, v.Width, v.ColorScheme, v.Help, v.ID, v.Where)
		} else {
			t.Logf("%s at %d px, %s: %s (%s, %s) at %q", name, v.Width, v.ColorScheme, v.Help, v.ID, v.Impact, v.Where)
		}
	}
	if k := p.Keyboard; k == nil || k.First == "" || k.Second == "" || k.First == k.Second && k.Spots > 1 || k.Stops != 1 {
		t.Errorf("%s: the keyboard does not go from spot to spot: %+v", name, k)
	}
	if p.Scriptless != p.Views[1].Text {
		t.Errorf("%s: without script the page says something else", name)
	}
	if q := p.Print; q.Overflow > 0 || q.Tallest > 1001 || q.Pages < 1 || q.Pages > 14 || q.Ground != "rgb(255, 255, 255)" ||
		!strings.HasPrefix(q.Box, "0 0 594.9") {
		t.Errorf("%s: in print: %+v; want A4 pages, 14 at most, on white, no picture taller than a page (1001 px)", name, q)
	}
	if name == "hostile" && !strings.Contains(p.Views[1].Text, hostile) {
		t.Errorf("the hostile name is not shown as text")
	}
}

// keptPictures is the folder that screenshots are kept in where one is asked for, else "-".
func keptPictures(t *testing.T) string {
	t.Helper()
	if *lookInto == "" {
		return "-"
	}
	keep, err := filepath.Abs(*lookInto)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.MkdirAll(keep, 0o755); err != nil {
		t.Fatal(err)
	}
	return keep
}
