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

// What is embedded is, to the bit, what would be made. A table of the library that is not there
// costs a millisecond at the start of a run; when a tenth of them are missing it is time to write them anew.
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
	if flag.Lookup("update").Value.String() != "[]" { // of any role
		if err := os.WriteFile("tabled/tables.bin", tabled.Write(slices.Sorted(maps.Keys(made)), made), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if !tabled.Same() {
		t.Skip("this machine's arithmetic is not that of the embedded tables: it makes its own")
	}
	tabled.Record(nil)
	missing := 0
	for key, table := range made {
		got := make([]float64, len(table))
		tabled.Of(key, got, func([]float64) { missing++; copy(got, table) })
		if !slices.Equal(got, table) {
			t.Errorf("table %x of %d numbers is not the one that would be made: go test ./sim -run TestTabled -update", key, len(table))
		}
	}
	t.Logf("%d tables, %d of them not embedded", len(made), missing)
	if 10*missing > len(made) {
		t.Errorf("%d of %d tables are missing: go test ./sim -run TestTabled -update", missing, len(made))
	}
}
