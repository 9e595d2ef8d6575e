package sim_test

import (
	"testing"

	"rundown/rotations"
	"rundown/sim"
)

// TestDrawsPerSeason runs 500 replicates of the six seasons of the starter
// plan for .ci/bench, which counts their draws by coverage.
func TestDrawsPerSeason(t *testing.T) {
	if testing.CoverMode() != "count" {
		t.Skip("counts draws with -covermode count: bash .ci/bench")
	}
	m := model(t, string(rotations.Starter()))
	if m.Seasons() != 6 {
		t.Fatalf("%d seasons; .ci/bench divides by 3,000", m.Seasons())
	}
	w, err := m.NewWorker()
	if err != nil {
		t.Fatal(err)
	}
	sky, rec, theta := m.NewSky(), m.NewRecord(0), m.Calendar().Space.Central()
	for r := range uint32(500) {
		sky.Fill(m, 1, r)
		w.DrawTheta(1, r, theta)
		if err := w.Run(1, sim.LuckOf(r), theta, sky, nil, rec); err != nil {
			t.Fatal(err)
		}
	}
}
