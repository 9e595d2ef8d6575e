package report

import "testing"

// The scale of Mastrandrea et al. 2010 at its borders (from memory).
func TestLikelihood(t *testing.T) {
	for share, want := range map[float64]string{1: "virtually certain", 0.991: "virtually certain", 0.98: "very likely", 0.901: "very likely", 0.7: "likely",
		0.5: "about as likely as not", 0.331: "about as likely as not", 0.3: "unlikely", 0.05: "very unlikely", 0.009: "exceptionally unlikely", 0: "exceptionally unlikely"} {
		if got := likelihood(share, 1e6); got != want {
			t.Errorf("%v is %q, want %q", share, got, want)
		}
	}
	// The rule of succession: (n + 1)/(n + 2) after n of n.
	for runs, want := range map[int]string{1: "likely", 7: "likely", 8: "very likely", 97: "very likely", 98: "virtually certain"} {
		if got := likelihood(1, runs); got != want {
			t.Errorf("all of %d runs: %q, want %q", runs, got, want)
		}
	}
}

func TestYearRanges(t *testing.T) {
	for want, years := range map[string][]int{"2027": {2027}, "2027, 2028": {2027, 2028}, "2027–2029": {2027, 2028, 2029}, "2027, 2029–2031, 2033": {2027, 2029, 2030, 2031, 2033}, "": nil} {
		if got := yearRanges(years); got != want {
			t.Errorf("%v: %q, want %q", years, got, want)
		}
	}
}
