package params

import (
	"encoding/csv"
	"os"
	"strings"
	"testing"

	"rundown/params/date"
	"rundown/params/sheet"
)

// TestChangesAreOfThisLibrary holds the list of changed values against the library:
// every path exists, and what the list gives as its value and grade now is so.
func TestChangesAreOfThisLibrary(t *testing.T) {
	file, err := os.Open("testdata/changes.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	l, err := Load()
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows[1:] {
		path, now, grade, source := row[0], row[3], row[4], row[5]
		part := strings.Split(path, "/")
		e := l.Find(part[0], part[1])
		if e == nil || e.Value(part[2]) == nil {
			t.Errorf("%s: the library has no such value", path)
			continue
		}
		v := e.Value(part[2])
		if got := written(v); got != now {
			t.Errorf("%s: the list says %q, the library %q", path, now, got)
		}
		if string(v.Grade) != grade || v.Source != source {
			t.Errorf("%s: the list says %s (%s), the library %s (%s)", path, grade, source, v.Grade, v.Source)
		}
	}
}

// written is the value and its spread as the list writes them.
func written(v *Value) string {
	numbers := map[SpreadKind][]float64{
		Lognormal: {v.Spread.A}, Normal: {v.Spread.A}, LogitNormal: {v.Spread.A}, Beta: {v.Spread.A, v.Spread.B},
		Triangular: {v.Spread.A, v.Spread.B, v.Spread.C}, Range: {v.Spread.A, v.Spread.B}, Stated: {v.Spread.A, v.Spread.B},
	}
	text := sheet.Plain(v.Central)
	if v.Unit == "date" {
		text = date.AnnualOf(int(v.Central)).String()
	}
	text += ", " + v.Spread.Kind.String()
	for _, x := range numbers[v.Spread.Kind] {
		text += " " + sheet.Plain(x)
	}
	if v.Spread.PerEvent {
		text += " per event"
	}
	return text
}
