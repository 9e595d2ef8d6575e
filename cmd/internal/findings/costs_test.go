package findings

import "testing"

func TestYearRanges(t *testing.T) {
	for want, years := range map[string][]int{"2027": {2027}, "2027, 2028": {2027, 2028}, "2027–2029": {2027, 2028, 2029},
		"2027, 2029–2031, 2033": {2027, 2029, 2030, 2031, 2033}, "": nil} {
		if got := yearRanges(years); got != want {
			t.Errorf("%v: %q, want %q", years, got, want)
		}
	}
}
