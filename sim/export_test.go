package sim

import (
	"fmt"

	"rundown/params"
	"rundown/sim/seedbank"
)

// Draws is how many draws of chance the worker has made.
func (w *Worker) Draws() (n int) {
	for _, s := range w.spots {
		n += s.draw.Made + s.plants.Made
	}
	return n
}

// Recycle runs the reference cycle whether or not it has just been run.
func (w *Worker) Recycle() {
	w.cycled = nil
	w.Cycle()
}

// OldBank is the old seed per m² by layer on 1 July after rains of seed (first
// the oldest) under a tillage implement for each year, at central values.
func (m *Model) OldBank(tillage []string, rains []float64) ([seedbank.Layers]float64, error) {
	var bank [seedbank.Layers]float64
	w, err := m.NewWorker()
	if err != nil {
		return bank, err
	}
	for i, rain := range rains {
		work, err := m.workWith(tillage[i])
		if err != nil {
			return bank, err
		}
		w.past.run(m.reference, work, &w.u.weed, &w.rates)
		bank = w.past.year(bank, rain)
	}
	return bank, nil
}

// workWith is the reference work with another implement.
func (m *Model) workWith(name string) (*refWork, error) {
	e := m.calendar.Library.Find("implements", name)
	if e == nil {
		return nil, fmt.Errorf("no implement %s", name)
	}
	return m.workOf(e)
}

func (m *Model) workOf(e *params.Entry) (*refWork, error) {
	return m.reference.workOf(m, e)
}

// Growth is the seed returned per seed shed at a steady rain, and the old share
// of plants, in the reference year under a tillage implement, at central values.
func (m *Model) Growth(name string) (returned, old float64, err error) {
	w, err := m.NewWorker()
	if err != nil {
		return 0, 0, err
	}
	work, err := m.workWith(name)
	if err != nil {
		return 0, 0, err
	}
	w.past.run(m.reference, work, &w.u.weed, &w.rates)
	returned, old = w.past.yearly()
	return returned, old, nil
}

// Forget empties what is kept of sites.
func Forget() {
	keptFits.forget()
	keptSources.forget()
	keptReferences.forget()
	keptQuantiles.forget()
}

// Held is how much is kept of each kind, and the most that may be.
func Held() (held, most [4]int) {
	return [4]int{len(keptFits.held), len(keptSources.held), len(keptReferences.held), len(keptQuantiles.held)},
		[4]int{keptFits.most, keptSources.most, keptReferences.most, keptQuantiles.most}
}

func (k *kept[K, V]) forget() {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.held = nil
}
