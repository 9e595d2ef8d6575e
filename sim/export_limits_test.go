package sim

import "rundown/sim/seedbank"

// Kinds of seed in the yearly step: the year's rain, and old seed by layer on 1 July.
const SeedKinds = 1 + seedbank.Layers

// YearlyMatrix is the yearly step at low density in the reference year: seed
// of each kind from one year (column) to the next (row).
func (m *Model) YearlyMatrix(theta []float64) (a [SeedKinds][SeedKinds]float64, err error) {
	w, err := m.NewWorker()
	if err != nil {
		return a, err
	}
	w.setTheta(theta)
	w.past.run(m.reference, &m.reference.usual, &w.u.weed, &w.rates)
	for k := range a {
		a[0][k] = w.past.returns[k] * w.past.heads
		for l := range seedbank.Layers {
			a[1+l][k] = w.past.bank[k][l]
		}
	}
	return a, nil
}

// Bearing is the plants of one step of the reference year that live to bear seed.
type Bearing struct {
	Heads, Seeds float64            // mean heads of a plant; mean viable seed on a head
	Plants       [SeedKinds]float64 // chance that a seed of each kind becomes such a plant
}

// Bearings are the plants that one seed of each kind may become.
func (m *Model) Bearings(theta []float64) ([]Bearing, error) {
	w, err := m.NewWorker()
	if err != nil {
		return nil, err
	}
	w.setTheta(theta)
	r := m.reference
	w.past.run(r, &r.usual, &w.u.weed, &w.rates)
	season := refSeason()
	var all []Bearing
	for i := range r.steps {
		var b Bearing
		live, rho, seeds := fruit(i, &r.steps[i], &r.usual, &w.u.weed, &season)
		b.Heads, b.Seeds = rho*w.past.heads, seeds
		for k, n := range w.past.emerged[i] {
			b.Plants[k] = n * live
		}
		all = append(all, b)
	}
	return all, nil
}
