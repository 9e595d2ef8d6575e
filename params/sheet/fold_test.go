package sheet

import (
	"strings"
	"testing"

	"rundown/params/date"
)

// What a repeated list says twice is told once, with how often; what many lines say is told at
// the first of them. Another text, another column and another file stay as they are.
func TestMistakesAreFolded(t *testing.T) {
	var m Mistakes
	at := func(file string, line, column int) Place { return Place{file, line, column} }
	m.Add(at("p.yaml", 4, 9), "the cover of season %d is destroyed on %s", 1, "1 Apr 2027")
	m.Add(at("p.yaml", 4, 9), "the cover of season %d is destroyed on %s", 3, "31 Mar 2029")
	m.Add(at("p.yaml", 4, 9), "the cover of season %d is destroyed on %s", 5, "1 Apr 2031")
	m.Add(at("p.yaml", 4, 9), "the drill of season %d is missing", 5)
	m.Add(at("p.yaml", 5, 9), "the cover of season %d is destroyed on %s", 2, "1 Apr 2028")
	for _, line := range []int{2, 3, 4, 7, 9, 10} {
		m.Add(at("c.csv", line, 1), "2017-04-12 is outside the plan")
	}
	m.Add(at("c.csv", 5, 1), "2017-04-13 is outside the plan")
	m.Add(at("c.csv", 6, 1), "2017-04-13 is outside the plan")
	m.Add(at("c.csv", 8, 2), "2017-04-12 is outside the plan")
	const want = "c.csv:2:1: lines 2 to 4, 7, 9 and 10: 2017-04-12 is outside the plan\n" +
		"c.csv:5:1: 2017-04-13 is outside the plan\n" +
		"c.csv:6:1: 2017-04-13 is outside the plan\n" +
		"c.csv:8:2: 2017-04-12 is outside the plan\n" +
		"p.yaml:4:9: the cover of season 1 is destroyed on 1 Apr 2027 (and so in 2 later seasons)\n" +
		"p.yaml:4:9: the drill of season 5 is missing\n" +
		"p.yaml:5:9: the cover of season 2 is destroyed on 1 Apr 2028"
	if got := m.Error(); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	if m.Len() != 14 {
		t.Errorf("%d mistakes are counted, 14 were noted", m.Len())
	}
}

// A day of a table may be written as people say it; what is no day keeps its message.
func TestSpokenDaysOfATable(t *testing.T) {
	var m Mistakes
	var got []date.Day
	columns := Columns{Keys: []Key{{Name: "date", Kind: FullDate, Required: true}, {Name: "count", Kind: Whole, High: 99, Required: true}}}
	ReadCSV("f", strings.NewReader("date,count\n14 Apr 2027,1\n3 june 2027,2\n2027-06-04,3\n"), columns, &m, func(r *Row) {
		got = append(got, r.Cells[0].Date.Day)
	})
	for i, want := range []date.Day{date.Of(2027, 4, 14), date.Of(2027, 6, 3), date.Of(2027, 6, 4)} {
		if m.Len() > 0 || i >= len(got) || got[i] != want {
			t.Fatalf("read %v, %v; want %v at %d", got, m.Error(), want, i)
		}
	}
	for _, wrong := range []string{"31 Apr 2027", "14 Apr", "14 Apr 1727", "14 Apl 2027", "Apr 2027"} {
		var m Mistakes
		ReadCSV("f", strings.NewReader("date,count\n"+wrong+",1\n"), columns, &m, func(*Row) {})
		if m.Len() != 1 {
			t.Errorf("%s: %q", wrong, m.Error())
		}
	}
}
