package report

import (
	"math"
	"testing"
)

func TestBandsInWords(t *testing.T) {
	density := Form{Digits: 2, Least: 0.01}
	money := Form{Digits: 2, Least: 1, Even: true}
	tonnes := Form{Digits: 2, Least: 0.1, Even: true}
	band := func(low, middle, high float64) Band { return Band{N: 100, P05: low, P50: middle, P95: high} }
	for _, c := range []struct {
		why  string
		form Form
		band Band
		want string
	}{
		{"two digits each", density, band(38.4, 184, 623), "180 (38–620)"},
		{"thousands", density, band(421, 1949, 12345), "1,900 (420–12,000)"},
		{"a million", density, band(421, 1949, 1.2e6), "1,900 (420–1,200,000)"},
		{"none and next to none", density, band(0, 0.004, 0.23), "<0.01 (0–0.23)"},
		{"rounding up to the next power", density, band(0.0996, 9.96, 99.6), "10 (0.10–100)"},
		{"died out in nearly all", density, band(0, 0, 0), "0"},
		{"no value", density, Band{}, "–"},
		{"one step from the width", money, band(118, 437, 723), "440 (120–720)"},
		{"below zero", money, band(-131, 62, 248), "60 (-130 to 250)"},
		{"no minus nought", money, band(-4, 62, 248), "60 (0–250)"},
		{"a tenth", tonnes, band(4.13, 5.58, 6.97), "5.6 (4.1–7.0)"},
		{"no finer than the least", tonnes, band(5.571, 5.58, 5.589), "5.6"},
	} {
		if got := c.form.Band(c.band); got != c.want {
			t.Errorf("%s: %q, want %q", c.why, got, c.want)
		}
	}
	if got := density.Value(math.NaN()); got != "–" {
		t.Errorf("no value is written %q", got)
	}
}

func TestOf100(t *testing.T) {
	for share, want := range map[float64]string{0: "0", 0.001: "fewer than 1", 0.124: "12", 0.996: "more than 99", 1: "100"} {
		if got := Of100(share); got != want {
			t.Errorf("%v: %q, want %q", share, got, want)
		}
	}
}
