package report

import "testing"

// A middle that is known better than its band is wide keeps its own rounding; the ends have the
// step of the band's width, and a band without width is its middle.
func TestAroundKeepsTheMiddle(t *testing.T) {
	f := Form{Digits: 3, Least: 1, Even: true}
	for _, c := range []struct {
		middle string
		b      Band
		want   string
	}{
		{"340", Band{N: 9, P05: -213, P50: 341.7, P95: 812}, "340 (-200 to 800)"},
		{"310", Band{N: 9, P05: -213, P50: 312, P95: 812}, "310 (-200 to 800)"},
		{"612", Band{N: 9, P05: 598, P50: 612, P95: 641}, "612 (598–641)"},
		{"5", Band{N: 9, P05: 5, P50: 5, P95: 5}, "5"},
		{"–", Band{}, "–"},
	} {
		if got := f.Around(c.middle, c.b); got != c.want {
			t.Errorf("%q, expected %q", got, c.want)
		}
	}
}
