package findings

import (
	"os"
	"testing"

	"rundown/sim/simtest"
	"rundown/sim/study"
)

// With a threshold that is too low, as in the example, more quadrats are worth less than few,
// beyond the paired error and before their cost, and a note says so; with the threshold chosen
// anew they are not. (Of 100 pairs that are alike two or three would seem to lose.)
func TestMoreQuadratsMayLose(t *testing.T) {
	if testing.Short() {
		t.Skip("some seconds")
	}
	simtest.NotRacing(t)
	text, err := os.ReadFile("../../../examples/decided-too-soon.yaml")
	if err != nil {
		t.Fatal(err)
	}
	c := simtest.Calendar(t, simtest.Library(t), string(text))
	w := asked(t, &study.WorthRequest{Calendar: c, Replicates: 300, Choosing: 20, Seed: 1})
	most, fewest := w.By[len(w.By)-2], w.By[1]
	if most.Quadrats != 80 || fewest.Quadrats != 5 {
		t.Fatalf("%d and %d quadrats", most.Quadrats, fewest.Quadrats)
	}
	if most.Fewest.Mean+most.Fewest.Error >= 0 || most.Written.Mean >= fewest.Written.Mean {
		t.Errorf("80 quadrats are worth %.1f, 5 %.1f: %.1f ± %.1f", most.Written.Mean, fewest.Written.Mean, most.Fewest.Mean, most.Fewest.Error)
	}
	if most.Value.Mean+most.Value.Error+fewest.Value.Error < fewest.Value.Mean {
		t.Errorf("with the threshold chosen anew 80 quadrats are worth %.1f, 5 %.1f", most.Value.Mean, fewest.Value.Mean)
	}
	warnings := Worth(WorthRun{Found: w, Run: Run{Calendar: c, Replicates: 300, Seed: 1}}).Warnings
	for _, x := range warnings {
		if x.Code == "better-look-loses" {
			return
		}
	}
	t.Errorf("no note says that a better look loses: %+v", warnings)
}
