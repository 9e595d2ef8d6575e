package sim_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"rundown/sim"
	"rundown/sim/decide"
	"rundown/sim/ensemble"
	"rundown/sim/simtest"
)

// The farmer's first question: winter wheat on 25 September or on 20 October, with a strong
// programme, from few heads to many. TestDecisions prints the table that README.md shows:
//
//	go test ./sim -run TestDecisions -v
//
// Fallback and latest day are the same for both dates: putting them off would be a second
// treatment. Differences are replicate by replicate, with 1.96 standard errors.

// decisionHeads are the heads per m² counted before the start.
var decisionHeads = []string{"1", "25", "100", "300"}

const decisionRuns = 400

// decisionPlan is six years of wheat drilled on a date. ground is clay that carries machines
// on every day, or clay with the weather's days.
func decisionPlan(heads, drill, ground, library string) string {
	if library != "" {
		library = "library: " + library + "\n"
	}
	return fmt.Sprintf(`%sfield: {name: Question, area_ha: 10, soil: clay, climate: east-lowland%s}
weed: {species: black-grass, start: 2026-08-15, heads_per_m2: %s, resistance: {"2": 0.6}}
repeat: 6
seasons:
  - crop: winter-wheat
    cultivate: [{date: 25 Aug, with: shallow-disc}]
    spray_off: [{days_before_drilling: 16}, {days_before_drilling: 1}]
    drill: {date: %s, latest: 30 Nov, with: tine-drill, seeds_per_m2: 350}
    herbicides: [{programme: autumn-residual-stack, days_after_drilling: 2}, {programme: autumn-residual-cineole, days_after_drilling: 2},
      {programme: spring-contact, date: 10 Mar}]
    otherwise: {crop: spring-barley}
`, library, map[bool]string{true: ", work: on-its-day", false: ""}[ground == "always"], heads, drill)
}

// gain is the paired difference of two plans in the margin of a year, with 1.96 standard errors.
type gain struct{ mean, error float64 }

func (g gain) String() string { return fmt.Sprintf("%+.0f ± %.0f", g.mean, g.error) }

func gainOf(late, early []float64) gain {
	var sum, sq float64
	for i := range late {
		d := late[i] - early[i]
		sum += d
		sq += d * d
	}
	n := float64(len(late))
	m := sum / n
	return gain{m, 1.96 * math.Sqrt((sq/n-m*m)/n)}
}

// perYear is the mean margin of a replicate over the seasons.
func perYear(o *ensemble.Outcome) []float64 {
	all := make([]float64, o.Replicates)
	for s := range 6 {
		for r, x := range o.Column(sim.Margin, s) {
			all[r] += x / 6
		}
	}
	return all
}

// bothDates are the outcomes of drilling on 25 September and on 20 October.
func bothDates(t *testing.T, heads, ground, library string) []*ensemble.Outcome {
	return run(t, decisionRuns, nil, decisionPlan(heads, "25 Sep", ground, library), decisionPlan(heads, "20 Oct", ground, library))
}

// waitingGain is, by replicate, what waiting gains a year over the six.
func waitingGain(o []*ensemble.Outcome) []float64 {
	return decide.Differences(perYear(o[1]), perYear(o[0]))
}

// waitingPays is the number of heads from which waiting pays over six years: from the gains of
// the table on, the heads between which the mean gain turns, or an end of its 95 % interval,
// are halved on the log scale until they lie within a factor of 1.5, and straight lines do the
// rest. The same luck at every number of heads.
func waitingPays(t *testing.T, ground string, gains []decide.Gain) decide.Crossover {
	for _, end := range []float64{0, 1, -1} {
		for {
			y := func(g decide.Gain) float64 {
				m := gainOf(g.Differences, make([]float64, len(g.Differences)))
				return m.mean + end*m.error
			}
			i := 1
			for i < len(gains) && (y(gains[i-1]) >= 0 || y(gains[i]) < 0) {
				i++
			}
			if i == len(gains) || gains[i].Density < 1.5*gains[i-1].Density {
				break
			}
			heads := math.Sqrt(gains[i-1].Density * gains[i].Density)
			gains = slices.Insert(gains, i, decide.Gain{Density: heads, Differences: waitingGain(bothDates(t, fmt.Sprintf("%.4g", heads), ground, ""))})
		}
	}
	return decide.Cross(gains)
}

// waiting is what drilling on 20 October gains over 25 September at each infestation.
func waiting(t *testing.T, ground, library string) (sixYears []gain, rows []string, gains []decide.Gain) {
	for _, heads := range decisionHeads {
		o := bothDates(t, heads, ground, library)
		first, six := gainOf(o[1].Column(sim.Margin, 0), o[0].Column(sim.Margin, 0)), gainOf(perYear(o[1]), perYear(o[0]))
		sixYears = append(sixYears, six)
		pair := func(m sim.Metric, scale float64, form string) string {
			return fmt.Sprintf(form+" → "+form, scale*meanOf(o[0].Column(m, 0)), scale*meanOf(o[1].Column(m, 0)))
		}
		at, err := strconv.ParseFloat(heads, 64)
		if err != nil {
			t.Fatal(err)
		}
		gains = append(gains, decide.Gain{Density: at, Differences: waitingGain(o)})
		rows = append(rows, fmt.Sprintf("| %s | %s | %s | %s | %v | %v |",
			heads, pair(sim.Plants, 1, "%.1f"), pair(sim.Heads, 1, "%.0f"), pair(sim.YieldLoss, 100, "%.1f %%"), first, six))
	}
	return sixYears, rows, gains
}

// meanOf is the mean of the runs that have a value: those that grew the wheat.
func meanOf(x []float64) float64 {
	sum, n := 0.0, 0.0
	for _, v := range x {
		if !math.IsNaN(v) {
			sum, n = sum+v, n+1
		}
	}
	return sum / n
}

func TestDecisions(t *testing.T) {
	if !simtest.Updating(simtest.Documents) {
		simtest.Stage(t, "long")
	}
	const heading = "| heads before | plants/m² | heads/m² | yield lost | margin this year | margin a year over six |\n|---|---|---|---|---|---|\n"
	always, rows, alwaysGains := waiting(t, "always", "")
	table := "On ground that carries machines on every day:\n\n" + heading + strings.Join(rows, "\n") + "\n"
	weather, rows, weatherGains := waiting(t, "weather", "")
	table += "\nWith the days that the weather gives on clay, spring barley where the wheat is missed:\n\n" + heading + strings.Join(rows, "\n") + "\n"
	table += "\n" + crossovers(t, alwaysGains, weatherGains)
	t.Log("\n" + table)
	readmeBlock(t, "decisions", table)
	// Common practice, no source: waiting pays where there is much of the weed, and costs where there is little.
	for _, g := range [][]gain{always, weather} {
		if clean := g[0]; clean.mean+clean.error > 0 {
			t.Errorf("on clean land waiting gains %v a year over six years; it should cost", clean)
		}
		if bad := g[3]; bad.mean-bad.error < 0 {
			t.Errorf("at 300 heads waiting gains %v a year over six years; it should pay", bad)
		}
	}
	if g := always[2]; g.mean-g.error < 0 {
		t.Errorf("at 100 heads, on ground that always carries a drill, waiting gains %v a year over six years; it should pay", g)
	}
}

// crossovers says from how many heads waiting pays on either ground.
func crossovers(t *testing.T, always, weather []decide.Gain) string {
	words := "Heads counted before, per m², from which waiting pays over the six years (95 % interval, the same luck at every number of heads):"
	for i, ground := range []string{"always", "weather"} {
		c := waitingPays(t, ground, [][]decide.Gain{always, weather}[i])
		if c.Verdict != decide.Crosses || !(c.Low < c.Density && c.Density < c.High) || math.IsInf(c.High, 1) {
			t.Errorf("ground %s: waiting pays from %+v heads/m²; it should cost at one and pay at 300", ground, c)
		}
		words += fmt.Sprintf(" %.2g (%.2g to %.2g) %s", c.Density, c.Low, c.High,
			[]string{"on ground that always carries a drill,", "with the days of the weather.\n"}[i])
	}
	return words
}

// mechanisms are what makes waiting pay or cost, each with the values that switch it off.
var mechanisms = []struct{ name, file, values string }{
	{"none", "", ""},
	{"emergence on stirred ground as late as before (ripening 22 September ± 18 d, sleep from March)", "weeds/black-grass.yaml",
		"autumn_ripening_date: {value: 22 Sep, %[1]s}\n  autumn_ripening_scale: {value: 18, %[1]s}\n  secondary_dormancy_autumn_date: {value: 1 Mar, " +
			"%[1]s}\n  spring_ripening_date: {value: 15 Feb, %[1]s}\n  autumn_ready_share: {value: 0.82, %[1]s}\n  emergence_thermal_time: {value: 180, %[1]s}"},
	{"late plants bear and cost as much as early ones", "weeds/black-grass.yaml", "fecundity_february: {value: 1, %[1]s}\n  heads_per_plant: {value: 4.5, %[1]s}"},
	{"residuals leave seedlings that are just up", "herbicides/RESIDUAL.yaml", "kill_just_up: {value: 0, %[1]s}"},
	{"residuals take no longer in cold soil", "herbicides/RESIDUAL.yaml", "slow_emergence_exponent: {value: 0, %[1]s}"},
	{"every burn-off the same (0.97, 0.9, 0.85)", "herbicides/spray-off.yaml",
		"kill_below_one_leaf: {value: 0.85, %[1]s}\n  kill_two_leaves_to_six_tillers: {value: 0.97, %[1]s}\n  kill_beyond_six_tillers: {value: 0.9, %[1]s}"},
	{"a late stand as thick as an early one", "crops/winter-wheat.yaml", "establishment_late_share: {value: 1, %[1]s}"},
	{"very early drilling free", "crops/winter-wheat.yaml", "drilling_loss_early: {value: 0, %[1]s}"},
}

// residualActives of the programmes of decisionPlan.
var residualActives = []string{"residual-15-oxyacetamide", "residual-12-phytoene", "residual-3-dinitroaniline", "residual-30-cineole"}

// TestDecisionsByMechanism switches what stands behind the table off, one at a time, on ground
// that carries machines on every day, and says what is left of the gain.
func TestDecisionsByMechanism(t *testing.T) {
	simtest.Stage(t, "long")
	const fixed = "spread: fixed, grade: assumed, source: \"switched off for a comparison\""
	table := "| switched off | gain at 1 | 25 | 100 | 300 heads/m² |\n|---|---|---|---|---|\n"
	for _, m := range mechanisms {
		lib := ""
		if m.file != "" {
			lib = t.TempDir()
			for _, active := range residualActives {
				file := strings.ReplaceAll(m.file, "RESIDUAL", active)
				path := filepath.Join(lib, file)
				if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
					t.Fatal(err)
				}
				name := strings.TrimSuffix(filepath.Base(file), ".yaml")
				if err := os.WriteFile(path, []byte("name: "+name+"\nvalues:\n  "+fmt.Sprintf(m.values, fixed)+"\n"), 0o644); err != nil {
					t.Fatal(err)
				}
			}
		}
		gains, _, _ := waiting(t, "always", lib)
		table += fmt.Sprintf("| %s | %v | %v | %v | %v |\n", m.name, gains[0], gains[1], gains[2], gains[3])
	}
	t.Log("\n" + table)
	readmeBlock(t, "mechanisms", table)
}
