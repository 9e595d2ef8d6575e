package sim_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rundown/params/date"
	"rundown/sim"
)

// limit is a model without season effects in a climate of one year repeated,
// with the parameters that let it be compared with the yearly matrix.
type limit struct {
	m     *sim.Model
	theta []float64
}

// refSeasonText is the season of the reference year: 200 plants of winter wheat
// per m² after shallow tillage, no herbicide in the crop.
const refSeasonText = `  - crop: winter-wheat
    cultivate: [{date: 25 Aug, with: shallow-disc}]
    spray_off: [24 Sep]
    drill: {date: 25 Sep, latest: 31 Dec, with: tine-drill, seeds_per_m2: 250}
    herbicides: []
`

// limitOf makes a limit of a field, a start and seasons. What differs between
// seasons is taken away (the spreads of season effects are 0), the spray before
// drilling kills what it kills in the reference year,
// and crowding is put out of reach, so that the step stays linear for as many
// seasons as are wanted.
func limitOf(t *testing.T, areaHa float64, start, seasons string) *limit {
	t.Helper()
	lib := t.TempDir()
	entry := func(kind, name string, values map[string]float64) {
		text := "name: " + name + "\nvalues:\n"
		for k, v := range values {
			text += fmt.Sprintf("  %s: {value: %v, spread: fixed, grade: assumed, source: \"assumed: a limit\"}\n", k, v)
		}
		if err := os.MkdirAll(filepath.Join(lib, kind), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(lib, kind, name+".yaml"), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	entry("weeds", "black-grass", map[string]float64{"non_dormant_year_sd": 0, "non_dormant_site_sd": 0, "seed_season_gsd": 1, "shedding_year_sd": 0})
	entry("crops", "winter-wheat", map[string]float64{"harvest_sd": 0})
	for _, active := range []string{"residual-15-oxyacetamide", "residual-12-phytoene", "residual-3-dinitroaniline"} {
		entry("herbicides", active, map[string]float64{"season_site_sd": 0}) // those of the stack
	}
	entry("herbicides", "spray-off", map[string]float64{"kill_below_one_leaf": 0.95, "kill_two_leaves_to_six_tillers": 0.95, "kill_beyond_six_tillers": 0.95})
	entry("herbicides", "spring-contact", map[string]float64{"kill_below_one_leaf": 0.9, "kill_two_leaves_to_six_tillers": 0.9, "kill_beyond_six_tillers": 0.9})
	year := filepath.Join(lib, "year.csv")
	if err := os.WriteFile(year, []byte(oneYear(t)), 0o644); err != nil {
		t.Fatal(err)
	}
	m := model(t, fmt.Sprintf("library: %s\nfield: {name: Limit, area_ha: %v, soil: clay, climate: east-lowland, weather: %s, work: on-its-day}\nweed: "+
		"{species: black-grass, %s}\nseasons:\n%s",
		lib, areaHa, year, start, seasons))
	l := &limit{m, m.Calendar().Space.Central()}
	l.set(t, "max_heads", 1e13)
	l.set(t, "max_plants", 1e13)
	l.set(t, "non_dormant_warmth", 0)
	return l
}

// oneYear is a year of the eastern climate as a record; on the days on which
// the reference year has work in it, none has to wait.
func oneYear(t *testing.T) string {
	t.Helper()
	m := model(t, trial(t, "shallow-disc", "start: 2026-08-15, heads_per_m2: 40", refSeasonText))
	sky := m.NewSky()
	sky.Fill(m, 3, 0)
	var b strings.Builder
	b.WriteString("date,tmin_c,tmax_c,rain_mm\n")
	for i := range sky.Days.MeanC {
		if d := sky.Days.Start + date.Day(i); d.Year() == 2026 {
			fmt.Fprintf(&b, "%v,%.2f,%.2f,%.2f\n", d, sky.Days.TminC[i], sky.Days.TmaxC[i], sky.Days.RainMM[i])
		}
	}
	return b.String()
}

// at is where a parameter of the weed is in theta.
func (l *limit) at(t *testing.T, key string) int {
	t.Helper()
	i := l.m.Calendar().Space.Index("weeds/black-grass/" + key)
	if i < 0 {
		t.Fatalf("the plan has no uncertain value weeds/black-grass/%s", key)
	}
	return i
}

func (l *limit) set(t *testing.T, key string, x float64) { l.theta[l.at(t, key)] = x }

// run is one replicate of a limit: all four kinds of randomness at index 0.
func (l *limit) run(t *testing.T) [][sim.MetricCount]float64 {
	t.Helper()
	w, err := l.m.NewWorker()
	if err != nil {
		t.Fatal(err)
	}
	sky, rec := l.m.NewSky(), l.m.NewRecord(0)
	sky.Fill(l.m, 1, 0)
	if err := w.Run(sim.Replicate{Seed: 1, Streams: sim.StreamsOf(0), Theta: l.theta}, sky, nil, rec); err != nil {
		t.Fatal(err)
	}
	for i, s := range rec.Seasons {
		if s[sim.WaitedDays] != 0 {
			t.Fatalf("season %d: work waited %v days; a limit needs a year in which none does", i+1, s[sim.WaitedDays])
		}
	}
	return rec.Seasons
}
