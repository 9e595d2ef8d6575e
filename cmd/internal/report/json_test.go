package report

import (
	"bytes"
	"encoding/json"
	"math"
	"strings"
	"testing"
)

func TestJSONKeepsOrderAndDigits(t *testing.T) {
	var b bytes.Buffer
	err := JSON(&b, Object{
		{"z", 0.1}, {"a", uint64(math.MaxUint64)}, {"text", "m² <–> \"5 %\""}, {"none", nil},
		{"list", []string{}}, {"objects", []Object{{{"k", 1}}}}, {"empty", Object{}},
		{"row", []float64{1, 0.25}}, {"yes", true},
	})
	if err != nil {
		t.Fatal(err)
	}
	want := `{
  "z": 0.1,
  "a": 18446744073709551615,
  "text": "m² <–> \"5 %\"",
  "none": null,
  "list": [],
  "objects": [
    {
      "k": 1
    }
  ],
  "empty": {},
  "row": [1, 0.25],
  "yes": true
}
`
	if b.String() != want {
		t.Errorf("got\n%swant\n%s", b.String(), want)
	}
}

// encoding/json is the reference for both directions: it reads every number
// back to the same bits, and it writes none in fewer digits.
func TestNumbersReadBack(t *testing.T) {
	for _, x := range []float64{0, 1, 0.1, 1.0 / 3, 1e-7, 5e-324, 1e21, 1.7976931348623157e308, 123456789.125, -2.5, 1e6} {
		var back float64
		if err := json.Unmarshal([]byte(Shortest(x)), &back); err != nil || back != x {
			t.Errorf("%s reads back as %v (%v)", Shortest(x), back, err)
		}
		reference, _ := json.Marshal(x)
		if len(Shortest(x)) > len(reference) {
			t.Errorf("%s is longer than %s", Shortest(x), reference)
		}
	}
	if got := Shortest(math.Copysign(0, -1)); got != "0" {
		t.Errorf("minus zero is written %s", got)
	}
}

func TestJSONRefusesWhatIsNotANumber(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		var b bytes.Buffer
		err := JSON(&b, Object{{"seasons", []Object{{{"yield", Band{N: 3, P75: x}}}}}})
		if err == nil || !strings.Contains(err.Error(), ".seasons[0].yield.p75 is") {
			t.Errorf("%v: error %v does not name the place", x, err)
		}
		if b.Len() > 0 {
			t.Errorf("%v: %q was written", x, b.String())
		}
	}
}

func TestEmptyBandIsNull(t *testing.T) {
	var b bytes.Buffer
	if err := JSON(&b, Object{{"q", Band{Mean: math.NaN()}}}); err != nil {
		t.Fatal(err)
	}
	want := `{"n": 0, "zero": null, "mean": null, "p05": null, "p25": null, "p50": null, "p75": null, "p95": null}`
	if !strings.Contains(b.String(), want) {
		t.Errorf("%s does not hold %s", b.String(), want)
	}
}
