package study

import (
	"cmp"
	"math"
	"slices"
)

// occasion is one time that a thing is done: a number to be averaged, and, of work
// on a day, how long before the drilling.
type occasion struct {
	value, before float64
	season        int // of those of its crop, from 0
}

// habits are what a plan does, by crop.
type habits struct {
	of      map[habit][]occasion
	ends    map[habit][]occasion // work that ends a cover, by the WorkDone that it is
	apart   map[habit]bool       // work that ends a cover is no part of what is counted there
	work    map[string]string    // of what kind a piece of work is, for those that stand in for one another
	seasons map[string]int       // by crop; "" all
}

// mean is how often a thing is done in a season.
func (h *habits) mean(k habit) float64 {
	sum := 0.0
	for _, o := range h.of[k] {
		sum += o.value
	}
	return sum / float64(h.seasons[k.crop])
}

// bySeason is what is done in each season of a crop, by its day.
func (h *habits) bySeason(k habit) [][]occasion {
	out := make([][]occasion, h.seasons[k.crop])
	for _, o := range h.of[k] {
		out[o.season] = append(out[o.season], o)
	}
	for _, list := range out {
		slices.SortStableFunc(list, func(x, y occasion) int { return cmp.Compare(x.value, y.value) })
	}
	return out
}

// even tells whether a thing is done as often in every season.
func even(seasons [][]occasion) bool {
	return !slices.ContainsFunc(seasons, func(x []occasion) bool { return len(x) != len(seasons[0]) })
}

// pair is the same piece of work in two plans, season by season.
type pair struct{ here, there []occasion }

// pieces pair the work of two plans within each season: the first with the first. Where one of
// them does more of it in a season no piece is known to be another that was moved. The seasons of
// the shorter plan come again.
func pieces(here, there [][]occasion) []pair {
	most := 0
	n := max(len(here), len(there))
	for i := range n {
		x, y := here[i%len(here)], there[i%len(there)]
		if len(x) != len(y) {
			return nil
		}
		most = max(most, len(x))
	}
	out := make([]pair, most)
	for i := range n {
		x, y := here[i%len(here)], there[i%len(there)]
		for j := range x {
			at := &out[most-len(x)+j] // the last come before the drilling everywhere
			at.here, at.there = append(at.here, x[j]), append(at.there, y[j])
		}
	}
	return out
}

// moved are the practices of work that is done on other days. A day or two is none: leap years
// alone move the mean day of a date.
func (p Practice) moved(list []pair) (out []Practice) {
	least := 1.0
	if p.Kind == WorkDay || p.Kind == CoverEnd {
		least = fewDays
	}
	for i, x := range list {
		p.Here, p.There = meanOf(x.here, valueOf), meanOf(x.there, valueOf)
		if math.Abs(p.Here-p.There) < least || p.Kind == WorkDay && sameDays(x.here, x.there) {
			continue
		}
		p.Nth, p.Of = i+1, len(list)
		p.Steady = steady(x.here, x.there)
		out = append(out, p)
	}
	return out
}

func valueOf(o occasion) float64 { return o.value }

func meanOf(x []occasion, of func(occasion) float64) float64 {
	sum := 0.0
	for _, o := range x {
		sum += of(o)
	}
	return sum / float64(len(x))
}

// steady tells whether every one of some days is as far from that of another plan, but for leap years.
func steady(x, y []occasion) bool {
	low, high := math.Inf(1), math.Inf(-1)
	for i := range x {
		d := x[i].value - y[i].value
		low, high = min(low, d), max(high, d)
	}
	return high-low <= 1
}

// sameDays tells whether work is done on the same days, or as long before drilling.
func sameDays(x, y []occasion) bool {
	for _, of := range []func(occasion) float64{valueOf, func(o occasion) float64 { return o.before }} {
		if math.Abs(meanOf(x, of)-meanOf(y, of)) < 1 {
			return true
		}
	}
	return false
}

// meet settles what the work is that ends a cover. Where both plans end one so, it is the same
// piece of work. Where one of them has a cover, it is work like any other if the other plan does as
// much about that day; else it belongs to the cover and is not counted.
func (h *habits) meet(other *habits) {
	for _, x := range [][2]*habits{{h, other}, {other, h}} {
		one, two := x[0], x[1]
		for k, list := range one.ends {
			days := habit{WorkDay, k.crop, k.what}
			switch {
			case len(two.ends[k]) > 0:
				end := habit{CoverEnd, k.crop, k.what}
				one.of[end] = list
			case two.covers(k.crop) || two.seasons[k.crop] > 0 && two.doesAbout(days, list):
				one.of[days] = append(one.of[days], list...)
				for _, o := range list {
					one.of[k] = append(one.of[k], occasion{value: 1, season: o.season})
				}
			default:
				one.apart[k] = true
			}
		}
	}
}

// covers tells whether a plan has a cover before a crop.
func (h *habits) covers(crop string) bool {
	for k := range h.of {
		if k.kind == CoverGrown && k.crop == crop {
			return true
		}
	}
	return false
}

// doesAbout tells whether a plan does a thing within a few days of each of some occasions.
func (h *habits) doesAbout(k habit, list []occasion) bool {
	seasons := h.bySeason(k)
	for _, o := range list {
		if !slices.ContainsFunc(seasons[o.season%len(seasons)], func(x occasion) bool { return math.Abs(x.value-o.value) < fewDays }) {
			return false
		}
	}
	return true
}

// swapped tells work that is done as much more often as other work of its kind is done less as
// one practice: the plough instead of the disc. Crops are told so too.
func swapped(list []Practice, a, b *habits) []Practice {
	kind := func(what string) string { return cmp.Or(a.work[what], b.work[what]) }
	for i := 0; i < len(list); i++ {
		p := &list[i]
		if p.Here < p.There || p.Instead != "" || p.Kind != CropsGrown && (p.Kind != WorkDone || kind(p.What) == "") {
			continue
		}
		j := slices.IndexFunc(list, func(q Practice) bool {
			return q.Kind == p.Kind && q.Crop == p.Crop && kind(q.What) == kind(p.What) && math.Abs(p.Here-p.There+q.Here-q.There) < 1e-9
		})
		if j < 0 {
			continue
		}
		p.Instead, p.Named = list[j].What, p.Named || list[j].Named
		list = slices.Delete(list, j, j+1)
		if j < i {
			i--
		}
	}
	return list
}
