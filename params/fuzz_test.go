package params

import (
	"maps"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rundown/params/sheet"
)

// FuzzLibrary: whatever the file of a user's library holds, it is an entry
// whose every value keeps its limits or a list of mistakes with their places, and the
// program's own entries are not touched.
func FuzzLibrary(f *testing.F) {
	addEntries(f)
	own, err := Load()
	if err != nil {
		f.Fatal(err)
	}
	if err := own.Check(); err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, k uint8, name string, data []byte) {
		kind := Kinds[int(k)%len(Kinds)]
		if name == "" || strings.ContainsAny(name, "/\\\n\r\x00") {
			t.Skip() // no name of a file
		}
		l := &Library{entries: maps.Clone(own.entries)}
		l.entries[kind] = maps.Clone(own.entries[kind])
		var m sheet.Mistakes
		file := filepath.Join(kind, name+".yaml")
		l.add(kind, file, "user/"+kind+"/"+name+".yaml", data, &m)
		drafted := len(l.drafts) > 0
		l.check(&m)
		for _, x := range m.Sorted() {
			if x.Place.File != file || x.Text == "" || strings.ContainsAny(x.Text, "\n\r") {
				t.Fatalf("a mistake without place, without reason or of several lines: %q", x)
			}
		}
		if m.Len() > 0 {
			return
		}
		if !drafted || l.Find(kind, name) == nil {
			t.Fatal("no entry, and nothing said")
		}
		for key, v := range l.Find(kind, name).Values {
			for _, u := range []float64{1e-12, 0.05, 0.5, 0.95, 1 - 1e-12} {
				if x := v.Quantile(u); !(x >= v.Low && x <= v.High) {
					t.Fatalf("%s: quantile %v is %v, outside %v to %v", key, u, x, v.Low, v.High)
				}
			}
			for _, x := range v.Row {
				if math.IsNaN(x) || math.IsInf(x, 0) {
					t.Fatalf("%s holds %v", key, x)
				}
			}
		}
	})
}

// addEntries begins with the program's own entries, and with some mistakes.
func addEntries(f *testing.F) {
	for k, kind := range Kinds {
		files, err := filepath.Glob(filepath.Join(kind, "*.yaml"))
		if err != nil || len(files) == 0 {
			f.Fatalf("no %s: %v", kind, err)
		}
		for _, file := range files {
			data, err := os.ReadFile(file)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(uint8(k), strings.TrimSuffix(filepath.Base(file), ".yaml"), data)
		}
	}
	for _, x := range libraryMistakes {
		f.Add(x.kind, x.name, []byte(x.text))
	}
}

// libraryMistakes are files with something wrong in them, to begin with.
var libraryMistakes = []struct {
	kind       uint8 // in Kinds
	name, text string
}{
	{0, "black-grass", "name: blackgrass\n"},
	{0, "black-grass", "name: [black-grass\n"},
	{0, "black-grass", "name: black-grass\nvalues:\n  seeds_per_head: {value: 80, spread: {lognormal: 4}, grade: grey, source: own}\n"},
	{0, "black-grass", "name: black-grass\nvalues:\n  viability: {value: 0.5, spread: {normal: 0.1, beta: [5, 5]}, grade: grey, source: own}\n"},
	{0, "black-grass", "name: black-grass\nvalues:\n  viability: {value: 0.5, spread: {range: [0.6, 0.8]}, grade: grey, source: own}\n"},
	{0, "black-grass", "name: black-grass\nvalues:\n  viability: {value: 0, spread: {lognormal: 1.2}, grade: grey, source: own}\n"},
	{0, "black-grass", "name: black-grass\nvalues:\n  shedding_date: {value: 200, grade: grey, source: own}\n"},
	{0, "wild-oat", "name: wild-oat\neppo: ALOMY\n"},
	{0, "couch", "name: couch\nabout: A grass.\n"},
	{1, "winter-wheat", "name: winter-wheat\nusual: {drill: {date: 25 Sep}}\n"},
	{3, "flail", "name: flail\nrole: in-crop\n"},
	{3, "rolls", "name: rolls\nvalues:\n  movement: {value: {surface: [0.8, 0.1, 0, 0, 0]}, grade: assumed, source: own}\n"},
	{4, "spring-residual", "name: spring-residual\nactives: [spray-off, none-such]\n"},
}
