package study

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"unicode"

	"rundown/params/date"
	"rundown/rotations"
)

// PracticeKind is a kind of thing that two plans do differently.
type PracticeKind string

// Kinds of practices.
const (
	CropsGrown   PracticeKind = "crop"      // What is grown in Here of 100 seasons of the one, There of the other
	CoverGrown   PracticeKind = "cover"     // likewise a cover before Crop
	DrilledDay   PracticeKind = "drilling"  // Here and There are days of the year
	LatestDay    PracticeKind = "latest"    // likewise, the latest day of drilling
	WorkDone     PracticeKind = "work"      // What is done so many times a season of Crop
	WorkDay      PracticeKind = "work-day"  // What is done on other days of the year, and not for the drilling's sake
	CoverEnd     PracticeKind = "cover-end" // likewise What ends a cover
	FallbackCrop PracticeKind = "otherwise" // What is grown where Crop cannot be drilled, as CropsGrown
	HarvestWork  PracticeKind = "harvest"   // What goes over the field at harvest, as WorkDone; "" is chopped straw
)

// Practice is a thing that two plans do differently.
type Practice struct {
	Kind        PracticeKind
	Crop        string // in which it is; "" for crops themselves
	What        string // name in the library
	Here, There float64
	Steady      bool // on days: as far apart every time; of work: as often in every season; else only on average
	Named       bool // the names of the two plans say so

	Seasons   [2]int // of Crop, in Here and in There; all where Crop is ""
	Alone     bool   // neither plan grows anything but Crop
	Nth, Of   int    // of WorkDay: which of how many in a season, from 1
	Instead   string // the work that What takes the place of, as often
	ButEnders bool   // the work that ends the cover of one of them is not counted
}

// Practices are what a plan does differently from another, in crops that both
// grow, and which crops only one grows. Names are how the two are called.
func Practices(here, there *rotations.Calendar, names [2]string) []Practice {
	a, b := habitsOf(here), habitsOf(there)
	a.meet(b)
	var out []Practice
	for _, k := range keysOf(a, b) {
		if k.kind == CropsGrown && (here.Rules != nil || there.Rules != nil) {
			continue // what a plan that decides grows is known of its runs alone
		}
		if k.crop != "" && (a.seasons[k.crop] == 0 || b.seasons[k.crop] == 0) {
			continue // the crop itself is what differs
		}
		p := Practice{Kind: k.kind, Crop: k.crop, What: k.what, Seasons: [2]int{a.seasons[k.crop], b.seasons[k.crop]},
			Alone: a.seasons[k.crop] == a.seasons[""] && b.seasons[k.crop] == b.seasons[""]}
		p.Named = said(p, names)
		if p.onDays() {
			out = append(out, p.moved(pieces(a.bySeason(k), b.bySeason(k)))...)
			continue
		}
		if p.Here, p.There = a.mean(k), b.mean(k); math.Abs(p.Here-p.There) < 1e-9 {
			continue
		}
		if k.kind == WorkDone {
			p.Steady = even(a.bySeason(k)) && even(b.bySeason(k))
			p.ButEnders = a.apart[k] || b.apart[k]
		}
		out = append(out, p)
	}
	return swapped(out, a, b)
}

// fewDays is by how many days work has to be moved to be worth a word (assumed).
const fewDays = 5

// onDays tells whether a practice is a day, and not how often a thing is done.
func (p Practice) onDays() bool {
	return slices.Contains([]PracticeKind{DrilledDay, LatestDay, WorkDay, CoverEnd}, p.Kind)
}

type habit struct {
	kind       PracticeKind
	crop, what string
}

func habitsOf(c *rotations.Calendar) *habits {
	h := &habits{of: map[habit][]occasion{}, ends: map[habit][]occasion{}, apart: map[habit]bool{}, work: map[string]string{},
		seasons: map[string]int{}}
	add := func(kind PracticeKind, crop, what string, x occasion) {
		k := habit{kind, crop, what}
		x.season = h.seasons[crop] - 1
		h.of[k] = append(h.of[k], x)
	}
	for i := range c.Seasons {
		s := &c.Seasons[i]
		k := &s.Courses[0]
		crop := k.Crop.Name
		h.seasons[""]++
		h.seasons[crop]++
		add(CropsGrown, "", crop, occasion{value: 1})
		if s.Cover != nil {
			add(CoverGrown, crop, s.Cover.Mix.Name, occasion{value: 1})
			if s.Cover.DestroyWith != nil {
				end := occasion{value: dayIn(s, s.Cover.Destroy), season: h.seasons[crop] - 1}
				if k.Drill != nil {
					end.before = float64(k.Drill.On - s.Cover.Destroy)
				}
				done := habit{WorkDone, crop, s.Cover.DestroyWith.Name}
				h.ends[done] = append(h.ends[done], end)
			}
		}
		if k.Drill != nil {
			add(DrilledDay, crop, "", occasion{value: dayIn(s, k.Drill.On)})
			add(LatestDay, crop, "", occasion{value: dayIn(s, k.Drill.Latest)})
			add(WorkDone, crop, k.Drill.With.Name, occasion{value: 1})
			h.work[k.Drill.With.Name] = "drill"
			add(FallbackCrop, crop, s.Courses[1].Crop.Name, occasion{value: 1})
		}
		for j := range k.Operations {
			o := &k.Operations[j]
			add(WorkDone, crop, o.With.Name, occasion{value: 1})
			if o.Action == rotations.Cultivate {
				h.work[o.With.Name] = "tillage"
			}
			switch {
			case o.Timing == rotations.AfterDrilling:
				add(WorkDay, crop, o.With.Name, occasion{value: float64(o.Days), before: -float64(o.Days)})
			case o.Timing == rotations.AfterHarvest:
				add(WorkDay, crop, o.With.Name, occasion{value: dayIn(s, o.On), before: float64(o.Days)})
			case o.Timing == rotations.BeforeDrilling, o.Timing == rotations.OnDate && k.Drill != nil && o.On <= k.Drill.On:
				add(WorkDay, crop, o.With.Name, occasion{value: dayIn(s, o.On), before: float64(k.Drill.On - o.On)})
			case o.Timing == rotations.OnDate:
				add(WorkDay, crop, o.With.Name, occasion{value: dayIn(s, o.On), before: dayIn(s, o.On)})
			}
		}
		if k.HarvestWith != nil {
			add(HarvestWork, crop, k.HarvestWith.Name, occasion{value: 1})
		}
		if k.StrawChopped {
			add(HarvestWork, crop, "", occasion{value: 1})
		}
	}
	return h
}

// dayIn is a day of a season as days from 1 January of its harvest year.
func dayIn(s *rotations.Season, d date.Day) float64 {
	return float64(d - date.Of(s.HarvestYear, 1, 1))
}

// keysOf are the habits of two plans, in an order that hangs on neither.
func keysOf(a, b *habits) []habit {
	var out []habit
	for _, h := range []*habits{a, b} {
		for k := range h.of {
			if !slices.Contains(out, k) {
				out = append(out, k)
			}
		}
	}
	order := []PracticeKind{CropsGrown, CoverGrown, DrilledDay, WorkDone, HarvestWork, WorkDay, CoverEnd, FallbackCrop, LatestDay}
	slices.SortFunc(out, func(x, y habit) int {
		return cmp.Or(cmp.Compare(slices.Index(order, x.kind), slices.Index(order, y.kind)), cmp.Compare(x.crop, y.crop), cmp.Compare(x.what, y.what))
	})
	return out
}

// Words in the names of plans that speak of a practice, besides its own name's.
var speakOf = map[PracticeKind][]string{
	CropsGrown: {"rotation", "spring", "winter", "break", "cereal", "cereals", "wheat", "barley", "ley", "fallow"},
	CoverGrown: {"cover", "covers", "catch", "bare"},
	DrilledDay: {"early", "late", "earlier", "later", "sooner", "delayed", "date", "drill", "drilled", "drilling", "autumn", "sep", "oct", "nov", "mar", "apr",
		"sept", "september", "october", "november", "december", "february", "march", "april"},
	WorkDone: {"spray", "sprays", "sprayed", "herbicide", "herbicides", "glyphosate", "chemical", "plough", "ploughed", "tillage", "till", "cultivation",
		"direct"},
	HarvestWork:  {"harvest", "straw", "chaff"},
	FallbackCrop: {"otherwise", "fallback"},
	LatestDay:    {"latest", "deadline"},
}

// said tells whether the names of two plans speak of a practice: by a word that only
// one of them has, or that both have where one is with it and one without.
func said(p Practice, names [2]string) bool {
	a, b := wordsOf(names[0]), wordsOf(names[1])
	var told []string
	both := false
	for i, one := range [][]string{a, b} {
		other := [][]string{b, a}[i]
		for _, w := range one {
			if !slices.Contains(other, w) {
				told = append(told, w)
				both = both || w == "without" || w == "no"
			}
		}
	}
	if both {
		told = append(told, a...)
	}
	keys := append(slices.Clone(speakOf[p.Kind]), wordsOf(p.What)...)
	return slices.ContainsFunc(told, func(w string) bool { return slices.Contains(keys, w) })
}

func wordsOf(name string) []string {
	return strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) })
}
