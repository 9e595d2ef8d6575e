package params

import (
	"math"
	"strings"
	"testing"
)

// Texture classes that the library has not are answered with the soil of the library whose middle of the
// class lies nearest in sand and clay. Middles in per cent: Cosby et al. 1984, Water Resources Research
// 20:682 (recalled), the clay of the library apart, which is an arable one.
func TestTextureClasses(t *testing.T) {
	l := load(t)
	have := map[string][2]float64{"sand": {92, 3}, "loamy-sand": {82, 6}, "sandy-loam": {58, 10}, "loam": {43, 18}, "silt-loam": {17, 13},
		"silt": {10, 5}, "clay-loam": {32, 34}, "silty-clay-loam": {10, 34}, "silty-clay": {6, 47}, "clay": {22, 48}}
	for name := range have {
		if l.Find("soils", name) == nil {
			t.Fatalf("the library has no %s", name)
		}
	}
	for word, at := range map[string][2]float64{"sandy-clay-loam": {58, 27}, "sandy clay": {52, 42}} {
		best, nearest := "", math.Inf(1)
		for name, middle := range have {
			if far := math.Hypot(middle[0]-at[0], middle[1]-at[1]); far < nearest {
				best, nearest = name, far
			}
		}
		if got := l.DidYouMean(word, "soils"); !strings.Contains(got, `"`+best+`"`) {
			t.Errorf("%s: %s, want %s", word, got, best)
		}
	}
	for word, want := range map[string]string{"Sandy Clay Loam": `did you mean "loam" or "sandy-loam"?`, "sandy-silt-loam": `did you mean "loam"?`,
		"silty loam": `did you mean "silt-loam"?`, "heavy loam": `did you mean "clay-loam"?`, "heavy clay": `did you mean "clay"?`} {
		if got := l.DidYouMean(word, "soils"); got != want {
			t.Errorf("%s: %s, want %s", word, got, want)
		}
	}
}
