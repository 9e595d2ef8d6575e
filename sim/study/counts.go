package study

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"rundown/params/date"
	"rundown/sim"
	"rundown/sim/counts"
)

// CountRow is one quadrat as written.
type CountRow struct {
	Day     date.Day
	Zone    string
	Kind    string // plants, heads or core-seedlings
	AreaM2  float64
	N       int
	DepthCM float64 // cores only
	Place   string  // file:line
}

// CountsRequest asks what quadrats say. It takes no runs.
type CountsRequest struct {
	Rows    []CountRow
	Level   float64 // confidence of the intervals
	Compare bool    // zones, of each kind and date
}

// Counts is what quadrats say.
type Counts struct {
	CountsRequest
	Groups   []CountGroup // by date, kind, depth and zone
	Pairs    []Pair       // compared
	Verdict  CountsVerdict
	Warnings []CountWarning
}

// CountGroup is the quadrats of one date, kind and zone.
type CountGroup struct {
	Day      date.Day
	Zone     string
	Kind     string
	DepthCM  float64 // of cores; else 0
	Quadrats []counts.Quadrat
	Fit      counts.Fit
}

// CountsVerdict says what a comparison came to.
type CountsVerdict string

// Verdicts of counts.
const (
	SidesDiffer CountsVerdict = "differ"  // the first two sides compared differ
	SidesAlike  CountsVerdict = "alike"   // they cannot be told apart
	OnlyCounted CountsVerdict = "counted" // nothing was compared
)

// Pair is two zones counted on one date in one way.
type Pair struct {
	Cleaner, Other *CountGroup
	Sure           float64         // how sure one can be of it, 0.5..1
	Ratio          counts.Interval // of the cleaner's density over the other's
	More           int             // further quadrats on each side that would settle it; 0 when settled, −1 when it cannot be said
	Fewest         int             // quadrats that both sides have
}

// FewestToSettle is the fewest quadrats on each side that settle a comparison.
const FewestToSettle = counts.FewestToSettle

// CountWarning is something to know of a group.
type CountWarning struct {
	Code   Code
	Group  *CountGroup
	Enough int // of ThinSampling: quadrats that would do
}

// Warnings of counts.
const (
	FewQuadrats  Code = "few-quadrats"  // too few to tell how patchy the weed is
	ThinSampling Code = "thin-sampling" // the mean is known worse than to a third
)

// What a group must have to be told without a warning.
const (
	patchyFrom = 10  // quadrats that show how patchy the weed is
	thirdOf    = 0.3 // standard error of the mean, of the mean
)

// Find groups the rows, fits each group and compares those that are alike but for the zone.
func (q *CountsRequest) Find() *Counts {
	c := &Counts{CountsRequest: *q, Groups: grouped(q.Rows), Verdict: OnlyCounted}
	for i := range c.Groups {
		g := &c.Groups[i]
		g.Fit = counts.Estimate(g.Quadrats, q.Level)
		if g.Fit.Quadrats < patchyFrom {
			c.Warnings = append(c.Warnings, CountWarning{Code: FewQuadrats, Group: g})
		}
		if n := g.Fit.Needed(thirdOf); n > g.Fit.Quadrats {
			c.Warnings = append(c.Warnings, CountWarning{Code: ThinSampling, Group: g, Enough: n})
		}
	}
	if q.Compare {
		c.compare()
	}
	return c
}

// grouped sorts rows by date, kind, depth and zone.
func grouped(rows []CountRow) []CountGroup {
	var out []CountGroup
	for _, r := range rows {
		i := slices.IndexFunc(out, func(g CountGroup) bool {
			return g.Day == r.Day && g.Zone == r.Zone && g.Kind == r.Kind && g.DepthCM == r.DepthCM
		})
		if i < 0 {
			out = append(out, CountGroup{Day: r.Day, Zone: r.Zone, Kind: r.Kind, DepthCM: r.DepthCM})
			i = len(out) - 1
		}
		out[i].Quadrats = append(out[i].Quadrats, counts.Quadrat{AreaM2: r.AreaM2, N: r.N})
	}
	slices.SortStableFunc(out, func(a, b CountGroup) int {
		return cmp.Or(cmp.Compare(a.Day, b.Day), strings.Compare(a.Kind, b.Kind), cmp.Compare(a.DepthCM, b.DepthCM), strings.Compare(a.Zone, b.Zone))
	})
	return out
}

// alike tells whether two groups differ in nothing but the zone.
func (g *CountGroup) alike(other *CountGroup) bool {
	return g.Kind == other.Kind && g.Day == other.Day && g.DepthCM == other.DepthCM
}

// compare compares the zones of each kind and date with the first of them.
func (c *Counts) compare() {
	for i := range c.Groups {
		first := &c.Groups[i]
		if i > 0 && c.Groups[i-1].alike(first) {
			continue
		}
		for j := i + 1; j < len(c.Groups) && c.Groups[j].alike(first); j++ {
			c.Pairs = append(c.Pairs, pairOf(&c.Groups[j], first, c.Level))
		}
	}
	if len(c.Pairs) == 0 {
		return
	}
	if c.Verdict = SidesAlike; c.Pairs[0].More == 0 {
		c.Verdict = SidesDiffer
	}
}

// pairOf compares a group with another, the likelier cleaner first.
func pairOf(side, other *CountGroup, level float64) Pair {
	q := counts.Compare(side.Quadrats, other.Quadrats, level)
	s := Pair{Cleaner: side, Other: other, Sure: q.Cleaner, Ratio: q.Interval, More: q.MoreNeeded, Fewest: min(len(side.Quadrats), len(other.Quadrats))}
	if s.Sure < 0.5 {
		s.Cleaner, s.Other, s.Sure = other, side, 1-s.Sure
		s.Ratio = counts.Interval{Value: 1 / q.Value, Low: 1 / q.High, High: 1 / q.Low}
	}
	return s
}

// Depth is that of cores, NaN where there is none.
func (g *CountGroup) Depth() float64 {
	if g.DepthCM == 0 {
		return math.NaN()
	}
	return g.DepthCM
}

// Watched is what was counted of one kind on one date: a count with the word for its kind.
type Watched struct {
	Count
	Kind string // plants, heads or core-seedlings
}

// watchedAs are the quantities of a run that kinds of counts are held against.
var watchedAs = map[string]sim.Quantity{"plants": sim.WatchPlants, "heads": sim.WatchHeads, "core-seedlings": sim.WatchTop}

// WatchedOf sorts rows by date and kind, those of one zone or of all together, and tells
// which zones they are of and which were left out.
func WatchedOf(rows []CountRow, zone string) (out []Watched, zones, left []string) {
	for _, r := range rows {
		to := &zones
		if zone != "" && r.Zone != zone {
			to = &left
		}
		if !slices.Contains(*to, r.Zone) {
			*to = append(*to, r.Zone)
		}
		if to == &left {
			continue
		}
		w := sim.Watch{Day: r.Day, What: watchedAs[r.Kind], DepthCM: r.DepthCM}
		if r.Kind != "core-seedlings" {
			w.DepthCM = 0
		}
		i := slices.IndexFunc(out, func(c Watched) bool { return c.Watch == w })
		if i < 0 {
			i = len(out)
			out = append(out, Watched{Count: Count{Watch: w}, Kind: r.Kind})
		}
		out[i].Quadrats = append(out[i].Quadrats, Quadrat{AreaM2: r.AreaM2, N: r.N})
	}
	slices.SortStableFunc(out, func(a, b Watched) int {
		return cmp.Or(cmp.Compare(a.Watch.Day, b.Watch.Day), cmp.Compare(a.Watch.What, b.Watch.What), cmp.Compare(a.Watch.DepthCM, b.Watch.DepthCM))
	})
	return out, zones, left
}
