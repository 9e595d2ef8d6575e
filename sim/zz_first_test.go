package sim_test

import (
	"fmt"
	"testing"
	"time"

	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/simtest"
)

func TestZZFirst(t *testing.T) {
	lib := simtest.Library(t)
	c := simtest.Calendar(t, lib, string(rotations.Starter()))
	from := time.Now()
	if _, err := sim.New(c); err != nil {
		t.Fatal(err)
	}
	fmt.Printf("FIRST %.2f\n", float64(time.Since(from).Microseconds())/1e3)
}
