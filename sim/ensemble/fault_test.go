package ensemble

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"rundown/sim"
	"rundown/sim/simtest"
)

// A panic in a worker comes out where the runs are waited for, with the place it
// came from, so that a program can catch it.
func TestFaultOfAWorker(t *testing.T) {
	defer func() {
		if got := fmt.Sprint(recover()); !strings.HasPrefix(got, "assignment to entry in nil map\n") || !strings.Contains(got, "fault_test.go:") {
			t.Errorf("caught %s", got)
		}
	}()
	m := simtest.Model(t,
		"field: {area_ha: 2, soil: clay, climate: east-lowland}\nweed: {species: black-grass, start: 2026-08-01, heads_per_m2: 5}\nrotation: continuous-wheat\n")
	var nothing map[int]bool
	_, _ = Run(context.Background(), []*sim.Model{m}, Options{Replicates: 40, Jobs: 2, Progress: func(int, int) { nothing[1] = true }})
	t.Error("no panic")
}
