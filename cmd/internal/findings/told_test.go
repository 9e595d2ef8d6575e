package findings

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"rundown/cmd/internal/report"
	"rundown/rotations"
	"rundown/sim/simtest"
	"rundown/sim/study"
)

// A mean of money reads the same beside its band as where it stands alone, however wide the band is
// and whatever the unit of land.
func TestAMeanReadsTheSameInAllTables(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 8))
	for _, area := range rotations.Areas {
		for range 400 {
			b := report.Band{N: 50, Mean: 1200*r.Float64() - 300}
			width := 5 + math.Exp(8*r.Float64())
			b.P05, b.P95 = b.Mean-width, b.Mean+width
			text := averaged(area, b)
			if middle, _, _ := strings.Cut(text, " ("); middle != pounds(area, b.Mean) {
				t.Fatalf("%s: %v reads %q beside its band and %q alone", area.Name, b, text, pounds(area, b.Mean))
			}
		}
	}
}

// Crops that are missed are told with their years, then in how many runs; what stood in hardly ever is left out.
func TestMissedCropsAreToldWithTheirYears(t *testing.T) {
	c := simtest.Calendar(t, simtest.Library(t), areaPlan)
	grown := []study.Grown{{Name: "winter-wheat", Share: 0.9}, {Name: "spring-barley", Share: 0.097}, {Name: "fallow", Share: 0.003}}
	var seasons []study.Season
	var warnings []study.Warning
	for i, year := range []int{2028, 2029} {
		s := study.Season{Season: &rotations.Season{HarvestYear: year}, Crop: "winter-wheat", Grown: grown}
		seasons = append(seasons, s)
		warnings = append(warnings, study.Warning{Code: study.NotDrilled, Season: i + 1, X: 0.1})
	}
	got := allInWords(Run{Calendar: c}, seasons, warnings)
	if want := "winter wheat of 2028, 2029 in 10 of 100 runs (spring barley)"; got[0].Detail != want || got[1].Detail != "" {
		t.Errorf("%q and %q, expected %q and nothing", got[0].Detail, got[1].Detail, want)
	}
	if want := "(grown instead: spring barley 10)"; !strings.Contains(got[0].Text, want) {
		t.Errorf("%q lacks %q", got[0].Text, want)
	}
}

// Heads of a ley are spoken of where a plan has one.
func TestALeyIsSpokenOf(t *testing.T) {
	lib := simtest.Library(t)
	const place = "field: {name: A, area_ha: 9, soil: clay, climate: east-lowland}\nweed: {species: black-grass, start: 2026-08-01, heads_per_m2: 20}\n"
	if hasLey(simtest.Calendar(t, lib, areaPlan)) || !hasLey(simtest.Calendar(t, lib, place+"seasons: [{crop: winter-wheat}, {crop: grass-ley, years: 2}]\n")) {
		t.Error("a ley is found where there is none, or not where there is one")
	}
}
