package sim

// every is every age, or every layer.
const every = -1

// seeds counts the living seed in the soil of an age and a layer. Steps must be
// closed. Seed that hangs on the plants is told from seed in the soil, and layers
// from each other, by counting every pool.
func (w *Worker) seeds(age, layer int) (n int64) {
	for _, s := range w.spots {
		n += s.seeds(age, layer)
	}
	return n
}

func (s spot) seeds(age, layer int) (n int64) {
	if layer == every && !s.bank.Hangs() {
		s.bank.Count(s.rates.P.Eaten, &s.draw, &s.lost)
		if age == every {
			return s.bank.Total()
		}
		return s.bank.Aged(uint8(age))
	}
	seen := s.bank.Look(s.rates.P.Eaten, &s.draw, &s.lost)
	for a := range seen {
		for l := range seen[a] {
			for _, x := range seen[a][l] {
				if (age == every || a == age) && (layer == every || l == layer) {
					n += x
				}
			}
		}
	}
	return n
}
