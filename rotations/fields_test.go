package rotations_test

import (
	"bytes"
	"strings"
	"testing"

	"rundown/params"
	"rundown/params/sheet"
	"rundown/rotations"
)

const onField = `field: {name: Old Name, area_ha: 9, soil: silty-clay-loam, weather: gone.csv, latitude: 51}
weed: {species: black-grass, start: 2026-08-01, heads_per_m2: {low: 5, high: 50}, trend: 2, resistance: {1: 0.2, 2: 0.5}}
seasons: [{crop: winter-wheat}]
`

// written is the plan with the field of the only row of a table, as it is written out.
func writtenOn(t *testing.T, table string) string {
	t.Helper()
	var m sheet.Mistakes
	rows := rotations.ReadFields("fields.csv", []byte(table), &m)
	if m.Len() > 0 || len(rows) != 1 {
		t.Fatalf("%d rows, %v", len(rows), &m)
	}
	lib, err := params.Load()
	if err != nil {
		t.Fatal(err)
	}
	c := rotations.ReadOn("plan.yaml", sheet.Parse("plan.yaml", []byte(onField), &m), rows[0], &m).Resolve(lib, &m)
	if m.Len() > 0 {
		t.Fatal(&m)
	}
	var b bytes.Buffer
	if err := c.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// A row lies over a plan: what it says stands, what it leaves empty is the plan's. A
// climate takes away the plan's weather, and an infestation told in one way that of another.
func TestRowOverPlan(t *testing.T) {
	for table, c := range map[string]struct{ has, not []string }{
		"name,climate\nNear Piece,east-lowland\n": {[]string{"name: Near Piece", "area_ha: 9",
			"low: 5, high: 50", "trend: 2"}, []string{"gone.csv", "latitude", "Old Name"}},
		"name,climate,heads_per_m2,resistance.2\nA,east-lowland,7,0.9\n": {[]string{"heads_per_m2: 7", "0.2", "0.9"},
			[]string{"trend", "0.5", "{low"}},
		"name,climate,weed.heads_per_m2.low,heads_per_m2.high\nA,east-lowland,2,3\n": {[]string{"{low: 2, high: 3}"}, []string{"trend"}},
		"name,field.climate,seedbank_per_m2.0-5,area_ha,history\nA,east-lowland,700,2.5,plough\n": {[]string{"700", "area_ha: 2.5", "history: plough"},
			[]string{"heads_per_m2", "trend"}},
		"name;climate;resistance.2;resistance.15\nA;east-lowland;0,7;some survive\n": {[]string{"0.7", `"15": some survive`}, nil},
		"name;climate;area_ha\nA;east-lowland;2,5\n":                                 {[]string{"area_ha: 2.5"}, nil},
	} {
		got := writtenOn(t, table)
		for _, want := range c.has {
			if !strings.Contains(got, want) {
				t.Errorf("%q: no %q in\n%s", table, want, got)
			}
		}
		for _, not := range c.not {
			if strings.Contains(got, not) {
				t.Errorf("%q: %q is still in\n%s", table, not, got)
			}
		}
	}
}

// FuzzFields: a table is read with mistakes or gives rows that can be laid over a plan,
// whatever then is said of them; names are told apart.
func FuzzFields(f *testing.F) {
	for _, text := range []string{"name,area_ha\nA,3\nB,4\n", "name,heads_per_m2.low,heads_per_m2.high,resistance.2\nA,3,4,0.5\n",
		"name;soil;field.weather.file\nA;clay;x.csv\n",
		"name,weed.resistance.2.rating\nA,R?\n", "name,name\nA,B\n", "\ufeffname\nA\n\"A", "name,field\nA,1\n"} {
		f.Add([]byte(text))
	}
	lib, err := params.Load()
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, table []byte) {
		if bytes.Contains(table, []byte("library")) || bytes.Contains(table, []byte("weather")) || bytes.Contains(table, []byte("climate")) {
			t.Skip() // would read files of this disk
		}
		var m sheet.Mistakes
		seen := map[string]bool{}
		for _, row := range rotations.ReadFields("fields.csv", table, &m) {
			if seen[row.Name] || row.Name == "" {
				t.Fatalf("two fields are called %q", row.Name)
			}
			seen[row.Name] = true
			if len(seen) > 3 {
				break
			}
			text := strings.Replace(onField, "weather: gone.csv, latitude: 51", "climate: east-lowland", 1)
			if p := rotations.ReadOn("plan.yaml", sheet.Parse("plan.yaml", []byte(text), &m), row, &m); p != nil {
				p.Resolve(lib, &m)
			}
		}
	})
}
