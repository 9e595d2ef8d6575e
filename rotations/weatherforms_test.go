package rotations_test

import (
	"fmt"
	"io"
	"math"
	"strings"
	"testing"
	"time"

	"rundown/params"
	"rundown/params/date"
	"rundown/params/sheet"
	"rundown/rotations"
)

// days writes two years of an invented record, a line a day in a form of its own.
func days(heading string, line func(d date.Day, low, high, rain float64) string) string {
	var b strings.Builder
	b.WriteString(heading + "\n")
	for d := date.Of(2024, time.January, 1); d < date.Of(2026, time.January, 1); d++ {
		wave := math.Round(50*math.Sin(float64(d)/58)) / 10
		b.WriteString(line(d, 5+wave, 12.5+wave, float64(int(d)%3)*1.5) + "\n")
	}
	return b.String()
}

func opener(text string) func(string) (io.ReadCloser, error) {
	return func(string) (io.ReadCloser, error) { return io.NopCloser(strings.NewReader(text)), nil }
}

func usualLine(d date.Day, low, high, rain float64) string {
	return fmt.Sprintf("%v,%g,%g,%g", d, low, high, rain)
}

const usualHeading = "date,tmin_c,tmax_c,rain_mm"

// weatherPlan resolves a plan with a weather file and gives its record.
func weatherPlan(t *testing.T, weather, file string) (*params.Record, string) {
	t.Helper()
	var m sheet.Mistakes
	p := rotations.Read("plan.yaml", []byte("field: {area_ha: 5, soil: clay, weather: "+weather+"}\n"+weed+"rotation: continuous-wheat\n"), &m)
	if p == nil {
		return nil, m.Error()
	}
	p.Open = opener(file)
	c := p.Resolve(library(t), &m)
	if c == nil || m.Len() > 0 {
		return nil, m.Error()
	}
	return c.Record, ""
}

// Whatever way a file is written in, the days are the same; and what the file does
// not decide, or writes in two ways, is refused with its place.
func TestWeatherPeopleHave(t *testing.T) {
	want, said := weatherPlan(t, "w.csv", days(usualHeading, usualLine))
	if want == nil {
		t.Fatal(said)
	}
	comma := func(x float64) string { return strings.Replace(fmt.Sprint(x), ".", ",", 1) }
	dmy := func(d date.Day) string { y, m, day := d.Date(); return fmt.Sprintf("%02d/%02d/%d", day, int(m), y) }
	mdy := func(d date.Day) string { y, m, day := d.Date(); return fmt.Sprintf("%d/%d/%d", int(m), day, y) }
	for _, c := range []struct {
		why, weather, text string
		slack              float64
	}{
		{"day first", "w.csv", days(usualHeading, func(d date.Day, low, high, rain float64) string {
			return fmt.Sprintf("%s,%g,%g,%g", dmy(d), low, high, rain)
		}), 0},
		{"month first", "w.csv", days(usualHeading, func(d date.Day, low, high, rain float64) string {
			return fmt.Sprintf("%s,%g,%g,%g", mdy(d), low, high, rain)
		}), 0},
		{"semicolons, decimal commas, day first with points", "w.csv", days("date;tmin_c;tmax_c;rain_mm", func(d date.Day, low, high, rain float64) string {
			return strings.Join([]string{strings.ReplaceAll(dmy(d), "/", "."), comma(low), comma(high), comma(rain)}, ";")
		}), 0},
		{"tabs", "w.csv", strings.ReplaceAll(days(usualHeading, usualLine), ",", "\t"), 0},
		{"°F and inches", "{file: w.csv, units: {temperature: F, rain: inches}}", days(usualHeading, func(d date.Day, low, high, rain float64) string {
			return fmt.Sprintf("%v,%v,%v,%v", d, low*1.8+32, high*1.8+32, rain/25.4)
		}), 1e-12},
	} {
		rec, said := weatherPlan(t, c.weather, c.text)
		if rec == nil {
			t.Errorf("%s: %.300s", c.why, said)
			continue
		}
		for i := range want.TminC {
			if math.Abs(rec.TminC[i]-want.TminC[i]) > c.slack*60 || math.Abs(rec.TmaxC[i]-want.TmaxC[i]) > c.slack*60 ||
				math.Abs(rec.RainMM[i]-want.RainMM[i]) > c.slack*60 {
				t.Errorf("%s: day %d is %v, %v, %v; want %v, %v, %v", c.why, i, rec.TminC[i], rec.TmaxC[i], rec.RainMM[i], want.TminC[i], want.TmaxC[i], want.RainMM[i])
				break
			}
		}
		if rec.Start != want.Start || len(rec.TminC) != len(want.TminC) {
			t.Errorf("%s: %d days from %v", c.why, len(rec.TminC), rec.Start)
		}
	}
	usual := days(usualHeading, usualLine)
	for _, c := range []struct{ why, weather, text, want string }{
		{"dates that may be either", "w.csv", usualHeading + "\n01/02/2024,1,2,3\n02/02/2024,1,2,3\n",
			"w.csv:2:1: no date of the file tells whether the day or the month comes first; write dates as 2024-02-01 or 2024-01-02"},
		{"dates of both kinds", "w.csv", usualHeading + "\n13/02/2024,1,2,3\n02/14/2024,1,2,3\n",
			"w.csv:3:1: the date begins with its month, but the one of line 2 with its day"},
		{"points and commas", "w.csv", "date;tmin_c;tmax_c;rain_mm\n2024-01-01;1,5;2;3\n2024-01-02;1.5;2;3\n",
			"w.csv:2:12: a number with a comma, but the one of line 3 has a decimal point"},
		{"rain in inches", "w.csv", days(usualHeading, func(d date.Day, low, high, rain float64) string { return usualLine(d, low, high, rain/25.4) }),
			"is it in inches? Then write weather: {file: …, units: {rain: inches}}"},
		{"one column for two", "{file: w.csv, columns: {tmin_c: lo, tmax_c: lo}}", usual, `plan.yaml:1:86: tmin_c and tmax_c are both read from the column "lo"`},
		{"one column under two names", "{file: w.csv, columns: {tmin_c: tmax_c}}", usual, `are both read from the column "tmax_c"`},
		{"two days missing", "w.csv", strings.Replace(strings.Replace(usual, "2024-03-05", "#", 1), "2024-03-06", "#", 1), "w.csv:66:1:"},
	} {
		if rec, said := weatherPlan(t, c.weather, c.text); rec != nil || !strings.Contains(said, c.want) {
			t.Errorf("%s: %v, %.400s; want %q", c.why, rec != nil, said, c.want)
		}
	}
	if rec, said := weatherPlan(t, "{file: w.csv, units: {rain: mm}}",
		days(usualHeading, func(d date.Day, low, high, rain float64) string { return usualLine(d, low, high, 0) })); rec == nil {
		t.Errorf("a desert that is said to be one: %s", said)
	}
}

// Single days that are missing, or lack a value, have the mean of their neighbours, and
// are listed; more are refused.
func TestMissingDaysAreFilled(t *testing.T) {
	usual := days(usualHeading, usualLine)
	cut := func(text, day, to string) string {
		i := strings.Index(text, day)
		j := i + strings.Index(text[i:], "\n") + 1
		return text[:i] + to + text[j:]
	}
	whole, _ := weatherPlan(t, "w.csv", usual)
	rec, said := weatherPlan(t, "w.csv", cut(cut(usual, "2024-03-05", ""), "2025-07-01", "2025-07-01,,20,\n"))
	if rec == nil {
		t.Fatal(said)
	}
	if fmt.Sprint(rec.Filled) != "[2024-03-05 2025-07-01]" || len(rec.TminC) != len(whole.TminC) {
		t.Errorf("filled %v, %d days", rec.Filled, len(rec.TminC))
	}
	i := int(date.Of(2024, 3, 5) - rec.Start)
	if rec.RainMM[i] != (whole.RainMM[i-1]+whole.RainMM[i+1])/2 || rec.TmaxC[i] != (whole.TmaxC[i-1]+whole.TmaxC[i+1])/2 || rec.TmaxC[i+1] != whole.TmaxC[i+1] {
		t.Errorf("the missing day has %v mm and %v °C", rec.RainMM[i], rec.TmaxC[i])
	}
	if j := int(date.Of(2025, 7, 1) - rec.Start); rec.TmaxC[j] != 20 {
		t.Errorf("the value that was there is %v", rec.TmaxC[j])
	}
	for why, text := range map[string]string{
		"two days without a value": cut(cut(usual, "2024-03-05", "2024-03-05,1,2,\n"), "2024-03-06", "2024-03-06,1,2,\n"),
		"two days missing":         cut(cut(usual, "2024-03-05", ""), "2024-03-06", ""),
		"the last without a value": cut(usual, "2025-12-31", "2025-12-31,1,2,\n"),
	} {
		if rec, said := weatherPlan(t, "w.csv", text); rec != nil || !strings.Contains(said, "missing") || !strings.Contains(said, "w.csv:") {
			t.Errorf("%s: %v, %s", why, rec != nil, said)
		}
	}
}

// Two records of the same sums are two weathers.
func TestWeatherOfEqualSums(t *testing.T) {
	usual := days(usualHeading, usualLine)
	lines := strings.Split(usual, "\n")
	y, x := lines[100], lines[101] // two days exchange their values
	_, b, _ := strings.Cut(y, ",")
	first, a, _ := strings.Cut(x, ",")
	day, _, _ := strings.Cut(y, ",")
	other := strings.Replace(strings.Replace(usual, y, day+","+a, 1), x, first+","+b, 1)
	plan := func(file string) *rotations.Calendar {
		var m sheet.Mistakes
		p := rotations.Read("plan.yaml", []byte("field: {area_ha: 5, soil: clay, weather: w.csv}\n"+weed+"rotation: continuous-wheat\n"), &m)
		p.Open = opener(file)
		c := p.Resolve(library(t), &m)
		if m.Len() > 0 {
			t.Fatal(m.Error())
		}
		return c
	}
	one, two := plan(usual), plan(other)
	until := one.Seasons[0].End
	if here, there := two.Departures(until, one.Past(until)); len(here)+len(there) == 0 {
		t.Error("a posterior of the one would go on with the other")
	}
	if here, there := plan(usual).Departures(until, one.Past(until)); len(here)+len(there) != 0 {
		t.Errorf("the same file departs from itself: %v, %v", here, there)
	}
}
