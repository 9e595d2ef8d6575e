package rotations

import (
	"rundown/params/date"
	"rundown/params/sheet"
)

// Rules are the decisions that a plan leaves to the run: which branch of a choice is
// grown, and which work is done. A calendar without any has none, and its Seasons are all
// there is. With rules, Seasons are those of one way through the plan, which takes the last
// branch of every choice.
type Rules struct {
	Counting Counting
	First    Decision // of the first season
	Ways     []Way
	Years    []Year // one per season
	// Places are where whoever runs a menu chooses what comes next, by entry; nil: the entry
	// does not fit there.
	Places [][]*Decision

	items []item // as written
}

// Counting is how a field is counted, and what that costs.
type Counting struct {
	Quadrats       int // 0: all of the field is seen as it is, for nothing
	QuadratM2      float64
	Cores          int
	CoreM2         float64
	DepthCM        float64
	Cost           float64 // per ha and visit
	CostPerQuadrat float64 // for the field
	CostPerCore    float64
}

// All tells whether what is there is seen as it is.
func (c *Counting) All() bool { return c.Quadrats == 0 }

// Way is a season behind one that can precede it: where the one before ends tells when it
// opens, and from there its days are found.
type Way struct {
	Season
	Year   int // its place among the seasons of a run, from 0
	Branch int // of that year's branches, from 0
	Then   Decision
	Fork   int // number of the place behind it, from 1; 0: Then says what comes

	written written
	behind  string // the crop before it, in words
}

// Decision is what comes next: one way, or the first of several whose condition holds.
type Decision struct {
	Next []int        // ways; none behind the last season
	Ifs  []*Condition // one for each of Next but the last, which is taken where none holds
	On   date.Day     // day of deciding; 0: the day on which the season opens
	// Fork is the number of the place where whoever runs it chooses, from 1; 0: none.
	Fork int
}

// Year is what may be grown for one harvest.
type Year struct {
	Branches []Branch // one where nothing is chosen
	Chosen   bool     // it is chosen among them in this year; else they are what was chosen before
}

// Branch is one of what may be grown, as written.
type Branch struct {
	Crop  string
	If    string // in words; "" for the last, which has no condition
	Place string
}

// Observation is what a condition is about.
type Observation uint8

// Observations.
const (
	HeadsSeen   Observation = iota // per m², of the last mid-June
	PlantsSeen                     // per m², on a day
	SeedSeen                       // per m², what of the seed in cores shows as seedlings, on a day
	DrilledBy                      // whether a crop was drilled by a day
	GroundDry                      // whether the ground carries a drill on a day
	CropBefore                     // what stood before
	AnyOf                          // whether any of some conditions holds
	KnownAhead                     // what is known when the plan is read
	observation = iota
)

// Condition holds when all of its tests do.
type Condition struct {
	Tests []Test
	Text  string // in words

	as *sheet.Value
}

// Test is one thing that a condition asks for.
type Test struct {
	What         Observation
	Above, Below float64  // what is seen is more than Above and less than Below
	Seen         date.Day // day of looking; 0: Before days before the work is due
	Before       int
	ThisSeason   bool     // of HeadsSeen: the heads of the season's own June; of DrilledBy: its own crop
	By           date.Day // of DrilledBy
	Holds        bool     // of GroundDry: dry is asked for, else wet; of KnownAhead
	Crops        []string // of CropBefore
	Any          []*Condition
}

// Counted tells whether a test needs a visit to the field on a day.
func (t *Test) Counted() bool { return t.What == PlantsSeen || t.What == SeedSeen }

// Taken is the season of a branch in a year: of the ways in which it can stand, the first.
// Without rules it is the year's only one.
func (c *Calendar) Taken(year, branch int) *Season {
	if c.Rules == nil {
		return &c.Seasons[year]
	}
	for i := range c.Rules.Ways {
		if w := &c.Rules.Ways[i]; w.Year == year && w.Branch == branch {
			return &w.Season
		}
	}
	return nil
}

// Branches is how many branches a year has.
func (c *Calendar) Branches(year int) int {
	if c.Rules == nil {
		return 1
	}
	return len(c.Rules.Years[year].Branches)
}

// SeasonAt is a season of a model of the calendar, by its place there.
func (c *Calendar) SeasonAt(at int) *Season {
	if c.Rules == nil {
		return &c.Seasons[at]
	}
	return &c.Rules.Ways[at].Season
}

// Path is the branch of a year that the calendar's Seasons take, from 0.
func (c *Calendar) Path(year int) int {
	for b := range c.Branches(year) {
		if s := c.Taken(year, b); s != nil && s.Place == c.Seasons[year].Place {
			return b
		}
	}
	return 0
}
