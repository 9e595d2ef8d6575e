package drivers

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"rundown/sim"
)

var stability = flag.String("stability", "", "plans (a file pattern) for which rankings of ten seed pairs are compared; some minutes each")

// atDefault is the size that the command has when nothing else is asked for.
var atDefault = Options{Metric: sim.Heads, Rows: UsualRows, Walks: WalksFor(UsualRows), Own: 12}

// Of the five largest totals at least four are common in each of ten pairs of
// seeds, at the default size. Run it as:
//
//	go test ./sim/drivers -run RankingIsStable -stability '../../examples/*.yaml' -timeout 5h -v
func TestRankingIsStable(t *testing.T) {
	if *stability == "" {
		t.Skip("asked for with -stability PATTERN")
	}
	plans, err := filepath.Glob(*stability)
	if err != nil || len(plans) == 0 {
		t.Fatalf("%s names no plan (%v)", *stability, err)
	}
	for _, file := range plans {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		m := model(t, string(text))
		var common []int
		var took time.Duration
		for pair := range uint64(10) {
			from := time.Now()
			a, b := leadingPaths(t, m, 2*pair+1), leadingPaths(t, m, 2*pair+2)
			took = time.Since(from) / 2
			n := 0
			for _, path := range a {
				if slices.Contains(b, path) {
					n++
				}
			}
			common = append(common, n)
			fmt.Printf("%s, seeds %d and %d: %d common; %.0f s each; %v | %v\n", file, 2*pair+1, 2*pair+2, n, took.Seconds(), a, b)
		}
		t.Logf("%s: common among the first five in ten pairs of seeds: %v", file, common)
		if slices.Min(common) < Leading-1 {
			t.Errorf("%s: common among the first five in ten pairs of seeds: %v", file, common)
		}
	}
}

func leadingPaths(t *testing.T, m *sim.Model, seed uint64) (paths []string) {
	t.Helper()
	o := atDefault
	o.Seed, o.Season = seed, m.Seasons()-1
	o.only = []Group{} // the same totals, in two thirds of the time
	a := analysed(t, m, o, 0)
	for _, block := range a.Ranked()[:Leading] {
		paths = append(paths, a.Inputs.List[a.Blocks[block].Input].Path)
	}
	return paths
}
