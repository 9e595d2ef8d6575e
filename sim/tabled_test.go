package sim

import (
	"flag"
	"maps"
	"os"
	"slices"
	"testing"

	"rundown/params"
	"rundown/sim/tabled"
	"rundown/sim/weather"
)

// What is embedded is, to the bit, what would be made: of every climate and every value of the
// library that is drawn by table, no more and no less.
func TestTabled(t *testing.T) {
	lib, err := params.Load()
	if err != nil {
		t.Fatal(err)
	}
	made := map[uint64][]float64{}
	tabled.Record(func(key uint64, table []float64) { made[key] = slices.Clone(table) })
	defer tabled.Record(nil)
	Forget()
	for _, kind := range params.Kinds {
		for _, name := range lib.Names(kind) {
			e := lib.Find(kind, name)
			if kind == "climates" {
				var c weather.Climate
				b := binder{central: true}
				if b.bind(&c, e); b.err != nil {
					t.Fatal(b.err)
				}
				weather.NewGenerator(c)
			}
			for _, v := range e.Values {
				if v.Spread.Kind == params.Beta || v.Spread.PerEvent {
					tabulate(v)
				}
			}
		}
	}
	Forget()
	keys := slices.Sorted(maps.Keys(made))
	file := string(tabled.Write(keys, made))
	if flag.Lookup("update").Value.String() == "true" {
		if err := os.WriteFile("tabled/tables.bin", []byte(file), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	t.Logf("%d tables, %d kB", len(made), len(file)/1000)
	if !tabled.Same() {
		t.Skip("this machine's arithmetic is not that of the embedded tables: it makes its own")
	}
	if data, err := os.ReadFile("tabled/tables.bin"); err != nil || string(data) != file {
		t.Errorf("the embedded tables are not those that would be made (%v): go test ./sim -run TestTabled -update", err)
	}
}
