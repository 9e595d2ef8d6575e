package crop

import (
	"math"
	"testing"
)

// Straw and stubble shelter the ground without regard to each other, rot alike, and stubble is left whatever becomes of the straw.
func TestStraw(t *testing.T) {
	p := &Params{StrawCover: 0.6, StubbleCover: 0.5, StrawHalfLife: 100}
	var s Straw
	if s.Day(); s.Shelter() != 0 {
		t.Errorf("bare ground shelters %.2f", s.Shelter())
	}
	s.Lay(p, false)
	if s.Cover != 0 || s.Shelter() != 0.5 {
		t.Errorf("straw removed: cover %.2f, shelter %.2f, expected 0 and 0.50", s.Cover, s.Shelter())
	}
	s.Lay(p, true)
	if math.Abs(s.Shelter()-0.8) > 1e-12 {
		t.Errorf("straw chopped: shelter %.3f, expected 0.800", s.Shelter())
	}
	for range 100 {
		s.Day()
	}
	s.Bury(0.5)
	if math.Abs(s.Cover-0.15) > 1e-9 || math.Abs(s.Stubble-0.125) > 1e-9 {
		t.Errorf("after a half-life and a pass that leaves half: straw %.3f, stubble %.3f, expected 0.150 and 0.125", s.Cover, s.Stubble)
	}
}
