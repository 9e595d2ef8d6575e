package drivers

import (
	"encoding/csv"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"rundown/params"
	"rundown/sim"
	"rundown/sim/simtest"
)

var evidence = flag.Int("evidence", 0, "rows by which the evidence behind the example plans is weighed; some minutes a plan at 256")

// weighed are the plans whose evidence is weighed: every weed, early and late
// wheat, spring crops and a cover, each once.
var weighed = []string{"early-wheat", "late-wheat", "wheat-and-oats", "two-springs", "oats-with-cover", "rye-grass", "brome", "wild-oat"}

// Weighs the evidence and writes evidence.csv, which the program carries:
//
//	go test ./sim/drivers -run EvidenceOfTheExamples -evidence 256 -timeout 2h -v
func TestEvidenceOfTheExamples(t *testing.T) {
	if *evidence == 0 {
		t.Skip("asked for with -evidence ROWS")
	}
	file := os.Getenv("RUNDOWN_EVIDENCE")
	if file == "" {
		file = "evidence.csv"
	}
	dir := os.Getenv("RUNDOWN_EXAMPLES")
	if dir == "" {
		dir = "../../examples"
	}
	rows := [][]string{{"plan", "rows", "grade", "share", "error", "library_sha256"}}
	library := simtest.Library(t).SHA256()
	for _, plan := range weighed {
		text, err := os.ReadFile(filepath.Join(dir, plan+".yaml"))
		if err != nil {
			t.Fatal(err)
		}
		m := model(t, string(text))
		o := Options{Metric: sim.Heads, Rows: *evidence, Walks: 16, Own: 32, Seed: 1, Season: m.Seasons() - 1, only: []Group{OtherInput}}
		a := analysed(t, m, o, 0)
		e := a.Evidence()
		for _, g := range Grades {
			rows = append(rows, []string{plan, fmt.Sprint(*evidence), string(g), fmt.Sprintf("%.4f", e.Share[g]), fmt.Sprintf("%.4f", e.Error[g]), library})
			fmt.Println(plan, g, e.Share[g], e.Error[g])
		}
		x := a.Seasons[a.Season]
		for _, b := range a.Ranked()[:12] {
			in := &a.Inputs.List[a.Blocks[b].Input]
			fmt.Printf("  %.3f %s %s\n", x.Total[b].Value, in.Path, in.Grade)
		}
		fmt.Printf("  %.3f rest\n", x.Total[a.Block(OtherInput)].Value)
	}
	var text strings.Builder
	out := csv.NewWriter(&text)
	if err := out.WriteAll(rows); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, []byte(text.String()), 0o644); err != nil {
		t.Fatal(err)
	}
}

// What is carried has every plan and grade, and shares that add up to one.
func TestWeighedExamples(t *testing.T) {
	w, err := WeighedExamples()
	if err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	for _, g := range Grades {
		sum += w.Share[g]
		if !(w.Error[g] >= 0 && w.Error[g] < 0.05) {
			t.Errorf("%s: a standard error of %v", g, w.Error[g])
		}
	}
	if math.Abs(sum-1) > 0.002 || len(w.Share) != len(Grades) || w.Plans != len(weighed) || w.Rows < 64 || len(w.Library) != 64 {
		t.Errorf("%d plans, %d rows, %d grades with shares that add up to %v", w.Plans, w.Rows, len(w.Share), sum)
	}
	for _, text := range []string{"", "plan,rows,grade,share,error,library_sha256\n", "plan,rows,grade,share,error,library_sha256\na,8,grey,much,0,x\n"} {
		if _, err := readWeighed(text); err == nil {
			t.Errorf("%q was read", text)
		}
	}
}

// A made-up analysis, by hand: two inputs with an index of their own and two
// that share one.
func TestEvidenceIsWeighedByTotals(t *testing.T) {
	a := &Analysis{
		Inputs:  &Inputs{List: []Input{{Grade: params.Published}, {Grade: params.Assumed}, {Grade: params.Grey}, {Grade: params.Assumed}}},
		Effects: []Effect{{Root: 9}, {Root: 9}, {Root: 1}, {Root: 2}},
		Blocks:  []Block{{OneInput, 0}, {OneInput, 1}, {Group: OtherInput}, {Group: Luck}},
		Seasons: []*Indices{{Variance: 1, Total: []Estimate{{Value: 0.3}, {Value: 0.2}, {Value: 0.5}, {Value: 0.9}},
			draws: []draw{{total: []float64{0.3, 0.2, 0.5, 0.9}, variance: 1}, {total: []float64{0.5, 0.2, 0.3, 0.9}, variance: 1}}}},
	}
	e := a.Evidence()
	for g, want := range map[params.Grade]float64{params.Published: 0.3, params.Grey: 0.1, params.Assumed: 0.2 + 0.4} {
		if got := e.Share[g]; math.Abs(got-want) > 1e-12 {
			t.Errorf("%s: %v, want %v", g, got, want)
		}
	}
	if got := e.Error[params.Published]; math.Abs(got-0.1) > 1e-9 { // of 0.3 and 0.5
		t.Errorf("error of published: %v, want 0.1", got)
	}
	if !slices.Equal(Grades, []params.Grade{params.Published, params.Grey, params.Memory, params.Derived, params.Assumed}) {
		t.Errorf("the grades are %v", Grades)
	}
}
