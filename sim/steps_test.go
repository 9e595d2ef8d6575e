package sim_test

import (
	"math"
	"testing"

	"rundown/sim"
)

// steppedPlan has what hangs on steps: a cover, burn-offs, residual and contact sprays, crops of both seasons.
const steppedPlan = `field:
  name: Long Ground
  area_ha: 12
  soil: clay
  climate: east-lowland
  history: shallow-disc
weed:
  species: black-grass
  start: 2026-08-01
  heads_per_m2: 40
  resistance: {2: 0.6}
  threshold_heads_per_m2: 10
seasons:
  - crop: spring-barley
    cultivate: [{date: 25 Aug, with: shallow-disc}]
    cover: {mix: oats-legumes, sow: 12 Oct, destroy: 25 Jan}
    spray_off: [10 Oct, 17 Mar]
    drill: {date: 18 Mar, latest: 20 Apr, with: tine-drill, seeds_per_m2: 400}
    herbicides: [{programme: spring-residual, days_after_drilling: 2}]
  - crop: winter-wheat
    cultivate: [{date: 5 Sep, with: shallow-disc}]
    spray_off: [7 Oct]
    drill: {date: 10 Oct, latest: 10 Nov, with: tine-drill}
    herbicides:
      - {programme: autumn-residual-stack, days_after_drilling: 2}
      - {programme: spring-contact, date: 10 Mar}
    otherwise: spring-barley
repeat: 3
`

// stepped runs n replicates from the first with steps that close every so many
// days (0: as the model does), and returns each season's metrics by replicate.
func stepped(t *testing.T, m *sim.Model, every, n int, first uint32) (out [][][sim.MetricCount]float64) {
	t.Helper()
	w, err := m.NewWorker()
	if err != nil {
		t.Fatal(err)
	}
	sky, theta := m.NewSky(), m.Calendar().Space.Central()
	for r := first; r < first+uint32(n); r++ {
		sky.Fill(m, 9, r)
		if every > 0 {
			for i := range sky.Grid {
				sky.Grid[i] = i%every == 0
			}
		}
		w.DrawTheta(9, r, theta)
		rec := m.NewRecord(0)
		if err := w.Run(sim.Replicate{Seed: 9, Streams: sim.StreamsOf(r), Theta: theta}, sky, nil, rec); err != nil {
			t.Fatal(err)
		}
		out = append(out, rec.Seasons)
	}
	return out
}

// Steps of one day and of seven agree, and with those of the model, which last
// up to 28 days in winter: replicate by replicate (same weather, seasons and
// parameters), the mean difference of logarithms lies within four standard errors
// of 0. Where chance is less than that, within 1 % for seven days, 2 % for the
// model's own: the fates of seed are exact over any step, but residual
// herbicides, covers and the size of seedlings are taken in the middle of one.
func TestStepsOfAnyLengthAgree(t *testing.T) {
	if testing.Short() {
		t.Skip("takes a second or two")
	}
	const n = 150
	m := model(t, steppedPlan)
	day, week, own := stepped(t, m, 1, n, 0), stepped(t, m, 7, n, 0), stepped(t, m, 0, n, 0)
	for _, q := range []sim.Metric{sim.PlantsEmerged, sim.Plants, sim.Heads, sim.SeedReturn, sim.SeedbankJune} {
		for s := range 2 {
			for name, other := range map[string][][][sim.MetricCount]float64{"seven days": week, "the model": own} {
				bar := map[string]float64{"seven days": 0.01, "the model": 0.02}[name]
				var d []float64
				for r := range day {
					a, b := day[r][s][q], other[r][s][q]
					if a > 0 && b > 0 {
						d = append(d, math.Log(b/a))
					}
				}
				se := standardError(d)
				t.Logf("%-22s season %d, steps of %-11s %+.2f %% ± %.2f", sim.Metrics[q].Name, s+1, name, 100*mean(d), 100*se)
				if math.Abs(mean(d)) > math.Max(4*se, bar) {
					t.Errorf("%s, season %d: steps of %s give %+.2f %% against steps of one day, standard error %.2f %%", sim.Metrics[q].Name, s+1, name, 100*mean(d), 100*se)
				}
			}
		}
	}
}
