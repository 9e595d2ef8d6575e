package figure

import (
	"fmt"
	"math"
	"strings"
)

// Calendar shows what is done when: a strip for each season, all on one axis
// of months, with lanes for work on the soil, for sprays, and for what grows.
// Up to about 20 seasons.
type Calendar struct {
	Caption
	Seasons []CalendarSeason
}

// CalendarSeason is the work of one season. Days are counted from 1 January
// 1970; a NaN is a day that does not exist.
type CalendarSeason struct {
	Season
	Years            string // the harvests that the strip stands for, where they are several; "" for its own
	Open, Harvest    float64
	Sown, Destroyed  float64 // of the cover; NaN without one
	CoverSeldom      string  // in how many of 100 runs it is sown, where that is seldom; "" elsewhere
	CropSeldom       string  // likewise in how many the planned crop is drilled
	Jobs             []Job
	Planned, Latest  float64 // days of drilling in the plan; NaN where nothing is drilled
	From, Middle, To float64 // days of drilling in the runs: 5 %, 50 %, 95 % points
	Share            float64 // of the runs in which the planned crop was drilled, 0..1
	Otherwise        string  // what is grown in the others, in words; may be empty
	StandsOn         bool    // the crop stands on into the next season
	Bare             bool    // nothing is grown
}

// Job is one piece of work.
type Job struct {
	Kind JobKind
	Name string  // "shallow disc"
	On   float64 // day; of what follows drilling, counted from its median day
	When string  // "25 Aug", "2 days after drilling"
	// Seldom is in how many of 100 runs that grew the crop it is done, where that is
	// seldom; "" elsewhere.
	Seldom string
}

// JobKind is the kind of a Job; each has its own mark and lane.
type JobKind int

// The kinds of work.
const (
	SoilWork JobKind = iota
	SprayOff
	Spray
	InCrop
	jobKinds
)

// jobs describes the kinds: their name in the key, colour and mark.
var jobs = [jobKinds]struct {
	name string
	hue  Hue
	mark int // of paper.mark
	lane int
}{
	SoilWork: {"cultivation", Slate, 2, 0},
	SprayOff: {"spray before drilling", Vermilion, 4, 1},
	Spray:    {"herbicide in the crop", Vermilion, 0, 1},
	InCrop:   {"other work in the crop", Purple, 3, 0},
}

func (f *Calendar) caption() Caption {
	var out []string
	for i := range f.Seasons {
		out = append(out, f.Seasons[i].inWords())
	}
	return f.or("What is done when", fmt.Sprintf("A calendar of %s. %s", countOf(len(f.Seasons), "season"), strings.Join(out, " ")))
}

// words says which season it is, or which.
func (s *CalendarSeason) words() string {
	if s.Years == "" {
		return s.Season.words()
	}
	return strings.TrimSpace(s.Years + " " + s.Crop)
}

// inWords is a season in a sentence.
func (s *CalendarSeason) inWords() string {
	said := s.words()
	if finite(s.Sown) {
		said += fmt.Sprintf(", after a cover of %s from %s to %s", s.Cover, dayMonth(s.Sown), dayMonth(s.Destroyed))
		if s.CoverSeldom != "" {
			said += " (sown in " + s.CoverSeldom + " of 100 runs)"
		}
	}
	if finite(s.Planned) {
		said += ": drilling planned for " + dayMonth(s.Planned) + ", " + s.drilledWords()
	}
	if s.Bare {
		return said + ": nothing is grown, until " + dayMonth(s.Harvest) + "."
	}
	return said + "; harvest about " + dayMonth(s.Harvest) + "."
}

// drilledWords says when drilling came about in the runs.
func (s *CalendarSeason) drilledWords() string {
	switch {
	case !finite(s.Middle):
		return "done in no run"
	case s.From == s.To:
		return "done on " + dayMonth(s.Middle)
	}
	return fmt.Sprintf("done on %s (nine runs in ten: %s to %s)", dayMonth(s.Middle), dayMonth(s.From), dayMonth(s.To))
}

func dayMonth(d float64) string {
	if !finite(d) {
		return "–"
	}
	return day(d).Format("2 Jan")
}

func (f *Calendar) data() []Data {
	d := Data{Head: []string{"Harvest", "Crop", "Cover", "Work and sprays", "Drilling planned", "Drilled in the runs", "Harvest about", "Otherwise"}}
	for i := range f.Seasons {
		s := &f.Seasons[i]
		cover, work, planned, drilled := "–", []string{}, "–", "–"
		if finite(s.Sown) {
			cover = fmt.Sprintf("%s, %s to %s", s.Cover, dayMonth(s.Sown), dayMonth(s.Destroyed))
			if s.CoverSeldom != "" {
				cover += " (" + s.CoverSeldom + " of 100)"
			}
		}
		for _, j := range s.Jobs {
			said := j.When + " " + j.Name
			if j.Seldom != "" {
				said += " (" + j.Seldom + " of 100)"
			}
			work = append(work, said)
		}
		if finite(s.Planned) {
			planned = fmt.Sprintf("%s, by %s at the latest", dayMonth(s.Planned), dayMonth(s.Latest))
			drilled = fmt.Sprintf("%s; in %.0f of 100 runs", strings.TrimPrefix(s.drilledWords(), "done on "), 100*s.Share)
		}
		d.Rows = append(d.Rows, []string{or(s.Years, fmt.Sprint(s.HarvestYear)), s.Crop, cover, or(strings.Join(work, "; "), "–"), planned, drilled,
			dayMonth(s.Harvest), or(s.Otherwise, "–")})
	}
	return []Data{d}
}

// span is the days of all seasons, counted from 1 January of their harvest year.
func (f *Calendar) span() (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for i := range f.Seasons {
		s := &f.Seasons[i]
		origin := s.origin()
		for _, v := range []float64{s.Open, s.Harvest, s.Sown, s.Latest} {
			if finite(v) {
				lo, hi = math.Min(lo, v-origin), math.Max(hi, v-origin)
			}
		}
	}
	if lo > hi {
		return 0, 365
	}
	return lo - 4, hi + 6
}
