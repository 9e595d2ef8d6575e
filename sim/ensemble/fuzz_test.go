package ensemble_test

import (
	"bytes"
	"context"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rundown/params/sheet"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/ensemble"
	"rundown/sim/simtest"
)

// FuzzRun: a plan that is accepted with the weather record that it may name can be
// run, with a ledger that balances, or is refused because its start cannot be
// counted.
func FuzzRun(f *testing.F) {
	const up = "../.."
	weather, err := os.ReadFile(filepath.Join(up, filepath.FromSlash("testdata/plans/weather.csv")))
	if err != nil {
		f.Fatal(err)
	}
	for _, pattern := range []string{"testdata/plans/ok/*.yaml", "testdata/plans/err/*.yaml", "examples/*.yaml"} {
		files, err := filepath.Glob(filepath.Join(up, filepath.FromSlash(pattern)))
		if err != nil || len(files) == 0 {
			f.Fatalf("no plans in %s: %v", pattern, err)
		}
		for _, file := range files {
			data, err := os.ReadFile(file)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(data, weather)
		}
	}
	f.Add(rotations.Starter(), []byte(nil))
	lib := simtest.Library(f)
	f.Fuzz(func(t *testing.T, data, weather []byte) {
		if strings.Contains(string(data), "library") {
			t.Skip() // would read folders of this disk
		}
		var m sheet.Mistakes
		p := rotations.Read("plan.yaml", data, &m)
		if p == nil {
			return
		}
		p.Open = func(string) (io.ReadCloser, error) { return io.NopCloser(bytes.NewReader(weather)), nil }
		c := p.Resolve(lib, &m)
		if c == nil || len(c.Seasons) > 8 {
			return
		}
		x, err := sim.New(c)
		if err != nil {
			t.Fatalf("accepted, but no model can be made of it: %v\n%s", err, data)
		}
		o, err := ensemble.Run(context.Background(), []*sim.Model{x}, ensemble.Options{Replicates: 2, Seed: 1})
		if err != nil {
			if strings.Contains(err.Error(), "can be counted") {
				return
			}
			t.Fatalf("%v\n%s", err, data)
		}
		for s := range c.Seasons {
			for k := range sim.MetricCount {
				for _, v := range o[0].Column(k, s) {
					if v < 0 && k != sim.Margin {
						t.Fatalf("season %d: %s is %v\n%s", s, sim.Metrics[k].Name, v, data)
					}
				}
			}
		}
	})
}
