package study

import (
	"slices"

	"rundown/sim"
	"rundown/sim/decide"
)

// Find values what was chosen.
func (q *WorthRequest) Find(given []Outcomes) *Worth {
	chosen, at := q.values(q.choose, given[0]), q.values(q.at, given[1])
	w := &Worth{WorthRequest: *q, Ruling: q.ruling}
	fixed := best(q.fixed, chosen, netOf)
	w.BestFixed = q.plans[fixed].words
	w.RuleValue = estimate(decide.Differences(at["as written"].net, at[fixed].net))
	for _, k := range q.fixed {
		w.Fixed = append(w.Fixed, FixedValue{q.plans[k].words, estimate(chosen[k].net)})
	}
	w.looks(chosen, at)
	w.points(chosen, at)
	return w
}

// looks value every number of quadrats with the threshold that was chosen for it.
func (w *Worth) looks(chosen, at map[string]valuation) {
	hold := []string{Bound{Always: true}.key(own), Bound{Never: true}.key(own)}
	none := best(hold, chosen, netOf)
	w.By = []Glance{{Quadrats: 0, Threshold: w.boundOf(none, own), AsGood: true}}
	nets := [][]float64{at[none].net}
	fewest := at[w.written.key(w.Quadrats[0])]
	most := mean(chosen[none].net)
	for _, n := range append(slices.Clone(w.Quadrats), Truth) {
		key := best(w.keys(n), chosen, beforeOf)
		v, base := at[key], at[none]
		l := Glance{Quadrats: n, Threshold: w.boundOf(key, n), Value: estimate(decide.Differences(v.before(), base.net)),
			Cost: mean(v.looking), Net: estimate(decide.Differences(v.net, base.net))}
		written := at[w.written.key(n)]
		l.Written = estimate(decide.Differences(written.before(), base.net))
		l.Fewest = estimate(decide.Differences(written.before(), fewest.before()))
		w.By, nets = append(w.By, l), append(nets, v.net)
		if x := mean(chosen[key].net); n != Truth && x > most {
			w.BestLook, most = len(w.By)-1, x
		}
	}
	for i := range w.By {
		w.By[i].AsGood = i == w.BestLook || asGood(nets[i], nets[w.BestLook])
	}
}

// asGood tells whether one is not worse than another beyond the paired error.
func asGood(x, best []float64) bool {
	d := estimate(decide.Differences(x, best))
	return d.Mean+d.Error >= 0
}

func (w *Worth) boundOf(key string, quadrats int) Bound {
	for _, b := range w.bounds() {
		if b.key(quadrats) == key {
			return b
		}
	}
	return Bound{}
}

// points value every threshold with the plan's own counting.
func (w *Worth) points(chosen, at map[string]valuation) {
	keys := w.keys(own)
	top := best(keys, chosen, netOf)
	w.BestPoint = slices.Index(keys, top)
	for i, b := range w.bounds() {
		v := at[keys[i]]
		c := w.plans[keys[i]].Calendar
		n := len(c.Seasons) - c.After
		margin := 0.0
		for s := range n {
			margin += mean(v.outcome.Column(sim.Margin, s)) / float64(n)
		}
		w.Points = append(w.Points, ThresholdPoint{Bound: b, Value: estimate(v.net), Less: estimate(decide.Differences(v.net, at[top].net)),
			AsGood: i == w.BestPoint || asGood(v.net, at[top].net), Margin: margin, Seed: median(v.outcome.Column(sim.SeedAfter, n-1))})
	}
}

// Flat are the first and the last threshold, about the best, that are as good as it.
func (w *Worth) Flat() (from, to Bound) {
	i, j := w.BestPoint, w.BestPoint
	for i > 0 && w.Points[i-1].AsGood {
		i--
	}
	for j < len(w.Points)-1 && w.Points[j+1].AsGood {
		j++
	}
	return w.Points[i].Bound, w.Points[j].Bound
}
