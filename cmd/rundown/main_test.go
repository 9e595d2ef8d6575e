package main

import (
	"bytes"
	"context"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strings"
	"testing"
	"time"

	"rundown/cmd/internal/figure"
)

// childVariable makes the test binary run the program itself, for tests that
// need a process of their own (signals, limits).
const childVariable = "RUNDOWN_TEST_CHILD"

func TestMain(m *testing.M) {
	if os.Getenv(childVariable) != "" {
		limitFileSize(os.Getenv(childVariable))
		main()
	}
	os.Exit(m.Run())
}

// result is what one run of the program left behind.
type result struct {
	code           int
	stdout, stderr string
}

func run(t *testing.T, args ...string) result {
	t.Helper()
	ctx := context.Background()
	if len(args) > 0 && args[0] == "open" && !slices.Contains(args, "--help") { // what serves is started and ended
		served, end := context.WithTimeout(ctx, 500*time.Millisecond)
		defer end()
		ctx = served
		if !slices.Contains(args, "--no-browser") {
			args = append(args, "--no-browser")
		}
	}
	return runWith(t, ctx, "", args...)
}

func runWith(t *testing.T, ctx context.Context, stdin string, args ...string) result {
	t.Helper()
	beginLight() // as main does; a command that needs much sets both otherwise
	debug.SetMemoryLimit(math.MaxInt64)
	beginShared(t, args)
	var out, err bytes.Buffer
	code := Main(ctx, args, strings.NewReader(stdin), &out, &err)
	shared.key = ""
	return result{code, out.String(), err.String()}
}

// inFull leaves a test that takes a second or more out of short runs.
func inFull(t *testing.T) {
	t.Helper()
	if testing.Short() {
		t.Skip("a second or more")
	}
}

// numbersAlone leaves out the drawing of pictures, which takes most of the time of a small run, in a
// test that reads numbers and words. (The tests of each command's files have them drawn, and so has TestSameCommandSameBytes.)
func numbersAlone(t *testing.T) {
	draw := drawPicture
	t.Cleanup(func() { drawPicture = draw })
	drawPicture = func(figure.Figure, figure.Format, io.Writer) error { return nil }
}

// linesAlone has every picture drawn as SVG, a fifth of the work, in a test that compares whole
// folders: both pens draw one layout, and that of PNG writes the same bytes again
// (TestSameFigureSameBytes of cmd/internal/figure; TestSameCommandSameBytes has both drawn).
func linesAlone(t *testing.T) {
	draw := drawPicture
	t.Cleanup(func() { drawPicture = draw })
	drawPicture = func(f figure.Figure, _ figure.Format, w io.Writer) error { return draw(f, figure.SVG, w) }
}

// inFolder moves the test to an empty folder, with files in it.
func inFolder(t *testing.T, files map[string]string) {
	t.Helper()
	t.Chdir(t.TempDir())
	for name, text := range files {
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// listing is every file and folder below a folder, sorted.
func listing(t *testing.T, dir string) []string {
	t.Helper()
	var names []string
	err := filepath.WalkDir(dir, func(path string, _ fs.DirEntry, err error) error {
		if path != dir {
			names = append(names, path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return names
}

// writing are the commands that write a folder, in short runs the first two, as
// small as they can be, for the folder that writingFolder makes.
func writing() []string {
	if testing.Short() {
		return allWriting[:2]
	}
	return allWriting
}

var allWriting = []string{
	"forecast plan.yaml --replicates 30 --replicates-csv",
	"forecast plan.yaml --posterior past.json",
	"compare plan.yaml later.yaml --replicates 30",
	"drilling plan.yaml --every 40d --replicates 10",
	"drivers plan.yaml --replicates 8 --values 1",
	"drivers plan.yaml --replicates 8 --sweep weeds/black-grass/viability=0.5:0.9:0.2",
	"update plan.yaml counts.csv --replicates 20",
	"counts counts.csv",
	"search menu.yaml --replicates 10 --season-runs 3000",
	"farm fields.csv plan.yaml later.yaml --replicates 10 --replicates-csv --resume",
	"join parts",
}

// writingFolder moves the test to a folder with what the commands of writing read.
func writingFolder(t *testing.T) {
	t.Helper()
	updateFolder(t)
	if got := run(t, strings.Fields("update plan.yaml counts.csv --replicates 20 --quiet --posterior past.json")...); got.code != exitDone {
		t.Fatalf("exit %d, %s", got.code, got.stderr)
	}
	inParts(t, "parts", 2, "forecast plan.yaml --replicates 30")
	putFile(t, "fields.csv", smallFarm)
	putFile(t, "menu.yaml", smallMenu)
}

// smallMenu is a menu of six rotations for an invented field.
const smallMenu = `field: {name: Far Piece, area_ha: 7, soil: clay, climate: east-lowland}
weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 30}
years: 2
menu:
  early wheat: {crop: winter-wheat}
  late wheat: {crop: winter-wheat, drill: {date: 20 Oct}, otherwise: spring-barley}
  barley: {crop: spring-barley}
rules: [{crop: winter-wheat, at_most_in_a_row: 1}, {crop: spring-barley, at_most: 2}]
`

// smallFarm is a table of invented fields for smallPlan.
const smallFarm = `name,area_ha,soil,heads_per_m2,heads_per_m2.low,heads_per_m2.high,resistance.2
Near Piece,4,clay,10,,,0.5
Bell Piece,9.5,silty-clay-loam,,2,30,
Long Piece,12,clay-loam,200,,,0.9
Mill Bank,3,clay,1,,,
Ash Corner,7,loam,55,,,0.2
Drove End,2.25,clay,,1,8,0.2
Top Twelve,12,clay,0.5,,,
`

// smallPlan is a two-season plan that runs fast; its field is invented.
const smallPlan = `field: {name: Far Piece, area_ha: 7, soil: clay, climate: east-lowland}
weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 30}
seasons:
  - crop: winter-wheat
  - crop: spring-barley
    cover: {mix: oats-legumes, sow: 12 Oct, destroy: 25 Jan}
`
