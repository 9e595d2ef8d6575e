package sim

import (
	"rundown/params/date"
	"rundown/sim/biotype"
)

// Timeline is the first and the last day of a model's weather.
func (m *Model) Timeline() (first, last date.Day) { return m.first, m.last }

// RunTo begins a run and stops it after a day.
func (w *Worker) RunTo(day date.Day, r Replicate, sky *Sky, watches []Watch, out *Record) error {
	w.begin(r, sky, watches, out)
	return w.runTo(day)
}

// CopyFrom makes the worker go on where another stands.
func (w *Worker) CopyFrom(o *Worker, out *Record) { w.copyFrom(o, out) }

// GoOn runs to the end.
func (w *Worker) GoOn() error {
	if err := w.runTo(w.m.last); err != nil {
		return err
	}
	return w.wrong()
}

// NewPatchedWorker is a worker of a field whose patches have these shares of it, each with
// so many populations.
func (m *Model) NewPatchedWorker(populations int, shares ...float64) (*Worker, error) {
	return m.newWorker(shares, populations)
}

// NameField makes the model's field one among others.
func (m *Model) NameField(name string) { m.fieldName = name }

// Carriers are the seeds and plants that carry a gene of large effect, when last counted; follows
// is false where this replicate's resistance is of many genes.
func (w *Worker) Carriers() (n int64, follows bool) {
	for _, s := range w.spots {
		seed, plants := s.carriers()
		n += seed.Sum() + plants.Sum()
	}
	return n, w.u.genes.Followed[1]
}

// SeedTest is the share of the seed in the soil, grown into plants, that outlives a test with an
// HRAC group which kills a share of the sensitive standard.
func (w *Worker) SeedTest(hrac string, kill float64) float64 {
	var n int64
	var kin biotype.Kin
	for _, s := range w.spots {
		for i := range s.bank.Lots {
			kin.Merge(n, &s.bank.Kin[i], s.bank.Lots[i].N, w.u.genes.Traits)
			n += s.bank.Lots[i].N
		}
	}
	g := &w.u.genes
	return 1 - w.spots[0].killOf([]biotype.Part{g.part(kinship{group: g.group(hrac)}, kill)}, n, &kin)
}

// Inherited is what the seed in the soil carries: the shares that carry a gene against HRAC groups 1
// and 2, and both, and the means of the traits of the groups that the plan sprays.
func (w *Worker) Inherited() (one, two, both float64, seeds int64, traits map[string]float64) {
	var kin biotype.Kin
	for _, s := range w.spots {
		for i := range s.bank.Lots {
			kin.Merge(seeds, &s.bank.Kin[i], s.bank.Lots[i].N, w.u.genes.Traits)
			seeds += s.bank.Lots[i].N
		}
	}
	n := max(float64(seeds), 1)
	for c := 1; c < biotype.Classes; c++ {
		x := float64(kin.By[c]) / n
		if biotype.Copies(c, 0) > 0 {
			one += x
		}
		if biotype.Copies(c, 1) > 0 {
			two += x
		}
		if biotype.Copies(c, 0) > 0 && biotype.Copies(c, 1) > 0 {
			both += x
		}
	}
	traits = map[string]float64{}
	for _, g := range w.u.genes.groups {
		if g.trait >= 0 {
			traits[g.hrac] = kin.Traits[g.trait].Mean
		}
	}
	return one, two, both, seeds, traits
}
