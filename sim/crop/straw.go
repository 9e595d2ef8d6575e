package crop

// Straw is what a harvested crop leaves on the ground: chopped straw, where it is left, and stubble with its litter.
// Both rot and are worked in alike. Seed on the surface under either is sheltered.
type Straw struct {
	Cover   float64 // ground under chopped straw, 0..1
	Stubble float64 // ground under stubble and litter, 0..1
	kept    float64 // of both in a day
}

// Lay is a harvest: stubble is left whatever becomes of the straw.
func (s *Straw) Lay(p *Params, chopped bool) {
	s.Stubble, s.kept = p.StubbleCover, p.StrawKept()
	if chopped {
		s.Cover = p.StrawCover
	}
}

// Day lets it rot.
func (s *Straw) Day() {
	s.Cover *= s.kept
	s.Stubble *= s.kept
}

// Bury is a pass that leaves a share of it on top.
func (s *Straw) Bury(left float64) {
	s.Cover *= left
	s.Stubble *= left
}

// Shelter is the share of the ground under straw or stubble, which lie without regard to each other.
func (s *Straw) Shelter() float64 { return 1 - (1-s.Cover)*(1-s.Stubble) }
