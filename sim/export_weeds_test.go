package sim

// Fecundity is the mean viable seed of a plant, at low density in the reference
// wheat at central values, over plants emerged before and after 15 January,
// each step weighed by the plants it brings.
func (m *Model) Fecundity() (autumn, spring float64, err error) {
	w, err := m.NewWorker()
	if err != nil {
		return 0, 0, err
	}
	r := m.reference
	w.past.run(r, &r.usual, &w.u.weed, &w.rates)
	season := refSeason()
	var seed, plants [2]float64
	for i := range r.steps {
		s := &r.steps[i]
		live, rho, seeds := fruit(i, s, &r.usual, &w.u.weed, &season)
		half := 0
		if s.middle() > season.January15 {
			half = 1
		}
		n := 0.0
		for _, x := range w.past.emerged[i] {
			n += x * live
		}
		seed[half] += n * rho * w.past.heads * seeds
		plants[half] += n
	}
	return seed[0] / plants[0], seed[1] / plants[1], nil
}
