package report

import (
	"bytes"
	"strings"
	"testing"

	"rundown/cmd/internal/output"
)

// A spark spans its least and greatest value in eight steps; none has a mark of
// its own on a log scale, no value is a gap.
func TestSparks(t *testing.T) {
	band := func(low, middle, high float64) Band { return Band{N: 9, P05: low, P50: middle, P95: high} }
	for _, c := range []struct {
		why  string
		s    Spark
		want [3]string
	}{
		{"powers of ten", Spark{Log: true, Bands: []Band{band(1, 10, 100), band(0, 10, 1000)}}, [3]string{"▆█", "▃▃", "▁·"}},
		{"linear, below 0, a gap", Spark{Bands: []Band{band(-10, 0, 10), {}, band(10, 20, 30)}}, [3]string{"▅ █", "▃ ▇", "▁ ▅"}},
		{"all the same", Spark{Bands: []Band{band(5, 5, 5)}}, [3]string{"▅", "▅", "▅"}},
		{"none at all", Spark{Log: true, Bands: []Band{band(0, 0, 0)}}, [3]string{"·", "·", "·"}},
	} {
		if got := c.s.Lines(); got != c.want {
			t.Errorf("%s: %q, want %q", c.why, got, c.want)
		}
	}
}

// They are shown where the terminal can, and never in a pipe.
func TestSparksNeedATerminal(t *testing.T) {
	r := invented()
	r.Sparks, r.Span = []Spark{{"Heads", "per m²", true, []Band{{N: 1, P05: 1, P50: 2, P95: 3}}}}, [2]int{2031, 2031}
	for _, blocks := range []bool{false, true} {
		var b bytes.Buffer
		if err := r.Text(&b, output.Terminal{Columns: 80, Blocks: blocks}); err != nil {
			t.Fatal(err)
		}
		if strings.Contains(b.String(), "█") != blocks {
			t.Errorf("blocks %v: %s", blocks, b.String())
		}
	}
}
