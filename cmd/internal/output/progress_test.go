package output

import (
	"bytes"
	"os"
	"strings"
	"testing"
	"time"
)

func TestProgressLine(t *testing.T) {
	cases := []struct {
		columns int
		done    int
		spent   time.Duration
		want    string
	}{
		{80, 500, 2 * time.Second, "[#######.......................] 500 of 2000 runs, 250 a second, 6 s left"},
		{60, 500, 2 * time.Second, "[####............] 500 of 2000 runs, 250 a second, 6 s left"},
		{80, 20, 10 * time.Second, "[.............................] 20 of 2000 runs, 2.0 a second, 16 min 30 s left"},
		{80, 1, 10 * time.Second, "[..............................] 1 of 2000 runs, 0.1 a second, 5 h 33 min left"},
		{80, 0, time.Second, "[..............................] 0 of 2000 runs, 0.0 a second, ? left"},
	}
	for _, c := range cases {
		p := Progress{what: "runs", show: Terminal{Columns: c.columns}}
		got := p.line(c.done, 2000, c.spent)
		if got != c.want {
			t.Errorf("%d columns, %d done:\n got %q\nwant %q", c.columns, c.done, got, c.want)
		}
		if len(got) >= c.columns {
			t.Errorf("%q is %d wide in %d columns", got, len(got), c.columns)
		}
	}
}

func TestProgressIsSilentInAPipe(t *testing.T) {
	var b bytes.Buffer
	clock := time.Unix(0, 0)
	p := startProgress(&b, Terminal{Columns: 80}, "runs", func() time.Time { clock = clock.Add(time.Second); return clock })
	p.Update(1, 10)
	p.Clear()
	if b.Len() > 0 {
		t.Errorf("wrote %q", b.String())
	}
}

func TestProgressClearsItsLine(t *testing.T) {
	var b bytes.Buffer
	clock := time.Unix(0, 0)
	p := startProgress(&b, Terminal{Columns: 80, Interactive: true}, "runs", func() time.Time { clock = clock.Add(60 * time.Millisecond); return clock })
	for i := 1; i <= 4; i++ {
		p.Update(i, 10)
	}
	p.Clear()
	p.Update(5, 10)
	if got := strings.Count(b.String(), " of 10 runs"); got != 2 {
		t.Errorf("drawn %d times in 240 ms; want 2", got)
	}
	if !strings.HasSuffix(b.String(), "\r\x1b[K") {
		t.Errorf("%q does not end with a cleared line", b.String())
	}
}

func TestLook(t *testing.T) {
	null, err := os.Open(os.DevNull)
	if err != nil {
		t.Fatal(err)
	}
	defer null.Close()
	for columns, want := range map[string]int{"": 80, "120": 120, "20": 60, "wide": 80, "-3": 80} {
		env := func(name string) string {
			if name == "COLUMNS" {
				return columns
			}
			return ""
		}
		got := Look(null, env)
		if got != (Terminal{Columns: want}) {
			t.Errorf("COLUMNS=%q: %+v, want %d columns and neither colour nor a person", columns, got, want)
		}
	}
}
