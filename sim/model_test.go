package sim_test

import (
	"testing"

	"rundown/params"
	"rundown/params/sheet"
	"rundown/rotations"
	"rundown/sim"
)

// model makes a model of a plan's text.
func model(t testing.TB, text string) *sim.Model {
	t.Helper()
	lib, err := params.Load()
	if err != nil {
		t.Fatal(err)
	}
	var m sheet.Mistakes
	plan := rotations.Read("plan.yaml", []byte(text), &m)
	var c *rotations.Calendar
	if m.Len() == 0 {
		c = plan.Resolve(lib, &m)
	}
	if m.Len() > 0 {
		t.Fatal(m.Error())
	}
	x, err := sim.New(c)
	if err != nil {
		t.Fatal(err)
	}
	return x
}
