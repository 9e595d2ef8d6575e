package findings

import (
	"context"
	"fmt"
	"math"
	"reflect"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"rundown/cmd/internal/figure"
	"rundown/cmd/internal/report"
	"rundown/params/date"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/simtest"
	"rundown/sim/study"
)

// The acre of 1959, in hectares: 4840 square yards of 0.9144 m.
const acre = 4840 * 0.9144 * 0.9144 / 1e4

const areaPlan = `
field: {name: Long Piece, area_ha: 9, soil: clay, climate: east-lowland}
weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 20, resistance: {2: 0.4}}
seasons:
  - {crop: winter-wheat, drill: {date: 20 Sep, latest: 15 Nov}, otherwise: spring-barley}
  - {crop: winter-wheat, drill: {date: 20 Sep, latest: 15 Nov}}
`

// What is shown of one set of runs in acres is what is shown of it in hectares, times the
// acre where it is over land and the same where it is not: in every sentence, table, picture
// and page. JSON and CSV are the same but for the sentences.
func TestAcres(t *testing.T) {
	lib := simtest.Library(t)
	if simtest.Calendar(t, lib, areaPlan).Area.Name != "ha" || simtest.Calendar(t, lib, areaPlan+"units: {area: ac}\n").Area.Name != "ac" {
		t.Fatal("a plan is in hectares, and in acres where it says so")
	}
	run := func(c *rotations.Calendar, name string) Run {
		return Run{Name: name, Calendar: c, Replicates: 60, Seed: 1}
	}
	reports := map[string]func(plan string) *report.Report{
		"forecast": func(plan string) *report.Report {
			c := simtest.Calendar(t, lib, plan)
			return Forecast(ForecastRun{run(c, ""), asked(t, &study.ForecastRequest{Calendar: c, Replicates: 60, Seed: 1})})
		},
		"compare": func(plan string) *report.Report {
			c, late := simtest.Calendar(t, lib, plan), simtest.Calendar(t, lib, strings.ReplaceAll(plan, "20 Sep", "20 Oct"))
			return Compare(CompareRun{[]Run{run(c, "early"), run(late, "late")}, asked(t, &study.CompareRequest{
				Calendars: []*rotations.Calendar{c, late}, Names: []string{"early", "late"}, Replicates: 60, Seed: 1, Afterwards: true})})
		},
		"drilling": func(plan string) *report.Report {
			c := simtest.Calendar(t, lib, plan)
			return Drilling(DrillingRun{run(c, ""), asked(t, &study.DrillingRequest{Calendar: c, Replicates: 60, Seed: 1, Seasons: []int{0, 1}, GoesIn: 0.8,
				Dates: []date.Day{date.Of(2026, 9, 20), date.Of(2026, 10, 5), date.Of(2026, 10, 20)}})})
		},
		"sweep": func(plan string) *report.Report {
			c := simtest.Calendar(t, lib, plan)
			return Sweep(SweepRun{Run: run(c, ""), Value: c.Space.Values[c.Space.Index(sweptPath)], Sweep: asked(t, sure{&study.SweepRequest{
				Calendar: c, Metric: sim.Margin, Season: 1, Path: sweptPath, At: []float64{60, 120}, Replicates: 60, Seed: 1}, t})})
		},
	}
	for name, make := range reports {
		t.Run(name, func(t *testing.T) {
			ha, ac := make(areaPlan), make(areaPlan+"units: {area: ac}\n")
			w := &areaWalk{t: t}
			for _, r := range []*report.Report{ha, ac} { // what is not to be shown
				r.Made, r.Plans = report.Made{}, nil
			}
			if h, a := fmt.Sprint(ha.Series), fmt.Sprint(ac.Series); h != a {
				t.Errorf("the CSV is of other numbers")
			}
			w.documents(ha.Document, ac.Document)
			ha.Document, ac.Document, ha.Series, ac.Series = nil, nil, nil, nil
			w.walk("page", reflect.ValueOf(ha.Page()), reflect.ValueOf(ac.Page()))
			ha.Page, ac.Page = nil, nil
			w.walk("report", reflect.ValueOf(ha), reflect.ValueOf(ac))
			if w.scaled < 20 || w.same < 50 {
				t.Errorf("only %d numbers are over land and %d are not", w.scaled, w.same)
			}
			t.Logf("%d numbers are over land, %d are not", w.scaled, w.same)
		})
	}
}

const sweptPath = "weeds/black-grass/seeds_per_head"

// asked is what the runs of a request found.
func asked[F any](t *testing.T, q interface {
	study.Request
	Find([]study.Outcomes) F
}) F {
	t.Helper()
	given, _, err := study.Answer(context.Background(), q, 2)
	if err != nil {
		t.Fatal(err)
	}
	return q.Find(given)
}

// sure is a sweep whose Find cannot fail here.
type sure struct {
	*study.SweepRequest
	t *testing.T
}

func (q sure) Find(given []study.Outcomes) *study.Sweep {
	found, err := q.SweepRequest.Find(given)
	if err != nil {
		q.t.Fatal(err)
	}
	return found
}

// areaWalk sets what is shown in hectares against what is shown in acres.
type areaWalk struct {
	t            *testing.T
	scaled, same int
}

// documents are the JSON: the same but for sentences.
func (w *areaWalk) documents(ha, ac report.Object) {
	strip := func(o report.Object) string {
		var out []string
		for _, m := range o {
			if answer, ok := m.Value.(report.Object); ok && m.Key == "answer" {
				m.Value = answer[:2]
			}
			if m.Key != "warnings" { // sentences
				out = append(out, fmt.Sprintf("%s: %v", m.Key, m.Value))
			}
		}
		return strings.Join(out, "\n")
	}
	if h, a := strip(ha), strip(ac); h != a {
		w.t.Errorf("the JSON is of other numbers: %s", simtest.FirstDifference(h, a))
	}
}

func (w *areaWalk) walk(at string, ha, ac reflect.Value) {
	if ha.Kind() != ac.Kind() || ha.IsValid() && ha.Type() != ac.Type() {
		w.t.Errorf("%s: %v and %v", at, ha, ac)
		return
	}
	switch ha.Kind() {
	case reflect.Pointer, reflect.Interface:
		if !ha.IsNil() && !ac.IsNil() {
			w.walk(at, ha.Elem(), ac.Elem())
		}
	case reflect.Slice, reflect.Array:
		if ha.Len() != ac.Len() {
			w.t.Errorf("%s: %d and %d", at, ha.Len(), ac.Len())
			return
		}
		for i := range ha.Len() {
			w.walk(fmt.Sprintf("%s %d", at, i+1), ha.Index(i), ac.Index(i))
		}
	case reflect.String:
		w.words(at, ha.String(), ac.String(), false)
	case reflect.Struct:
		w.fields(at, ha, ac)
	}
}

func (w *areaWalk) fields(at string, ha, ac reflect.Value) {
	switch x := ha.Interface().(type) {
	case report.Table:
		w.table(at, x, ac.Interface().(report.Table))
		return
	case report.Spark:
		y := ac.Interface().(report.Spark)
		w.numbers(at+" "+x.Name, reflect.ValueOf(x.Bands), reflect.ValueOf(y.Bands), y.Unit)
		return
	case report.KeyNumber:
		y := ac.Interface().(report.KeyNumber)
		w.words(at+" "+x.Name, x.Value+" "+x.Range, y.Value+" "+y.Range, perAcre(y.Unit))
		return
	case figure.Panel:
		y := ac.Interface().(figure.Panel)
		w.numbers(at+" "+x.Name, reflect.ValueOf(x.Bands), reflect.ValueOf(y.Bands), y.Unit)
		return
	case figure.Comparison:
		y := ac.Interface().(figure.Comparison)
		w.numbers(at, reflect.ValueOf(x.Plans), reflect.ValueOf(y.Plans), y.Quantity.Unit)
		return
	case figure.Choice:
		y := ac.Interface().(figure.Choice)
		w.numbers(at+" across", reflect.ValueOf(x.X), reflect.ValueOf(y.X), "/ac")
		w.numbers(at+" up", reflect.ValueOf(x.Y), reflect.ValueOf(y.Y), "")
		for i := range x.Runs {
			w.number(at, x.Runs[i][0], y.Runs[i][0], true)
			w.number(at, x.Runs[i][1], y.Runs[i][1], false)
		}
		return
	}
	for i := range ha.NumField() {
		if f := ha.Type().Field(i); f.IsExported() {
			w.walk(at+" "+f.Name, ha.Field(i), ac.Field(i))
		}
	}
}

func perAcre(s string) bool { return strings.Contains(s, "/ac") }

// numbers are all floats of a value, over land where its unit is.
func (w *areaWalk) numbers(at string, ha, ac reflect.Value, unit string) {
	switch ha.Kind() {
	case reflect.Slice:
		for i := range ha.Len() {
			w.numbers(at, ha.Index(i), ac.Index(i), unit)
		}
	case reflect.Struct:
		for i := range ha.NumField() {
			w.numbers(at+" "+ha.Type().Field(i).Name, ha.Field(i), ac.Field(i), unit)
		}
	case reflect.Float64:
		w.number(at, ha.Float(), ac.Float(), perAcre(unit) && !strings.HasSuffix(at, " Zero"))
	}
}

func (w *areaWalk) number(at string, ha, ac float64, land bool) {
	by := 1.0
	if w.same++; land {
		by = acre
		w.scaled++
		w.same--
	}
	if want := by * ha; math.Abs(ac-want) > 1e-9*math.Abs(want) {
		w.t.Errorf("%s: %g, want %g", at, ac, want)
	}
}

// table holds each column to its unit; the title may give it for all.
func (w *areaWalk) table(at string, ha, ac report.Table) {
	at += " " + ac.Title
	w.words(at, ha.Title+" | "+ha.Legend+" | "+ha.Foot, ac.Title+" | "+ac.Legend+" | "+ac.Foot, false)
	money := false // a column of differences has its unit from the one before
	for c, column := range ac.Columns {
		money = perAcre(column.Unit) || perAcre(ac.Title+ac.Legend) && c > 0 || money && strings.HasPrefix(column.Unit, "less ") ||
			strings.HasSuffix(column.Unit, "a year") && !strings.Contains(column.Unit, "m²")
		for i := range ac.Rows {
			a, b := ha.Rows[i].Cells[c], ac.Rows[i].Cells[c]
			w.words(fmt.Sprintf("%s, %s, row %d", at, column.Head, i+1), a, b, money && c >= ac.Keys)
		}
	}
}

var (
	digits   = regexp.MustCompile(`\d+(,\d{3})*(\.\d+)?`)
	landUnit = strings.NewReplacer("/ha", "/LAND", "/ac", "/LAND", " ha", " LAND", " ac", " LAND", "LANDrea", "area")
)

// words hold numerals to their unit, and all else to be the same.
func (w *areaWalk) words(at, ha, ac string, land bool) {
	if strings.Contains(ac, "/ha") || regexp.MustCompile(`\d ha\b`).MatchString(ac) {
		w.t.Errorf("%s: in hectares: %s", at, ac)
	}
	if h, a := landUnit.Replace(digits.ReplaceAllString(ha, "#")), landUnit.Replace(digits.ReplaceAllString(ac, "#")); h != a &&
		strings.NewReplacer("-", "", "+", "", "<", "").Replace(h) != strings.NewReplacer("-", "", "+", "", "<", "").Replace(a) {
		w.t.Errorf("%s: other words:\n%s\n%s", at, ha, ac)
		return
	}
	hs, as := digits.FindAllStringIndex(ha, -1), digits.FindAllStringIndex(ac, -1)
	for i := range hs {
		h, a := ha[hs[i][0]:hs[i][1]], ac[as[i][0]:as[i][1]]
		over, size := land || regexp.MustCompile(`^ GBP/ac`).MatchString(ac[as[i][1]:]), strings.HasPrefix(ac[as[i][1]:], " ac")
		x, dx := written(h)
		y, dy := written(a)
		by := 1.0
		switch {
		case size:
			by = 1 / acre
		case over:
			by = acre
		case x > 2000 && x < 2100 && h == a: // a year
		case x != y && strings.Contains(ac, "/ac"): // a range of money in a sentence
			over, by = true, acre
		}
		if math.Abs(y-by*x) > dy/2+by*dx/2+1e-9 {
			w.t.Errorf("%s: %s, want %s times %.4f\n%s\n%s", at, a, h, by, ha, ac)
		}
		if over {
			w.scaled++
		} else {
			w.same++
		}
	}
}

// written is a numeral, and how finely it is written.
func written(s string) (x, step float64) {
	s = strings.ReplaceAll(s, ",", "")
	x, _ = strconv.ParseFloat(s, 64)
	step = 1
	if _, fraction, ok := strings.Cut(s, "."); ok {
		return x, math.Pow(10, -float64(len(fraction)))
	}
	for step < 100 && math.Mod(x, 10*step) == 0 {
		step *= 10
	}
	return x, step
}
