// Package fieldwork is the queue of what is to be done in a season: jobs wait
// for the harvest before and for the ground, in their order, and lapse past
// their own latest day.
package fieldwork

import (
	"math"

	"rundown/params/date"
)

// Needs is what a job asks of the ground.
type Needs uint8

// What jobs ask for.
const (
	Nothing Needs = iota // done whatever the ground is like
	Spraying
	Cultivation
	Drilling
)

// Ground is what a day allows.
type Ground struct {
	Fit  [4]bool // by Needs
	Cold bool    // cold and moist enough for residuals that ask for it
}

// Kind is what a job is.
type Kind uint8

// Kinds of job, in the order in which they are done on one day.
const (
	SprayOff Kind = iota
	DestroyCover
	Cultivate
	SowCover
	Herbicide
	InCrop
)

// Job is one thing to be done.
type Job struct {
	Kind    Kind
	With    int // index of the implement, herbicide or cover in the model's tables
	Due     date.Day
	Latest  date.Day
	Needs   Needs
	OnDrill bool // done on the day of drilling, just before the drill
	After   int  // days after the actual drilling, −1 for a job with a date
	Grace   int  // days it may wait, for a job counted from the drilling or the harvest
	// AfterHarvest is days after the actual harvest before, 0 for a job with a date. Due is
	// then that of the median harvest, which its place in the queue is taken from, and
	// Latest the day by which it has no place any more.
	AfterHarvest int
	Back         int  // a burn-off counted that many days back from the planned drilling; 0: not so
	Rule         int  // number of the rule that says whether it is done, from 1 to 64; 0: it is
	ID           int  // its place in the model's list of work, and in a queue's Log
	Ends         bool // the destruction of a cover
	Good         bool // a plough pass of good quality
	Cold         bool // waits for cold moist soil
}

// Queue is the jobs of one course, in order; it never lets one overtake another.
type Queue struct {
	Jobs      []Job
	next      int
	held      date.Day // when the ground last held it up
	burnt     date.Day // when what is green was last sprayed off
	asked     uint64   // rules that have been decided, by number
	called    uint64   // and of these those by which work is done
	Waited    int      // days that due jobs waited
	Lapsed    int      // jobs that were never done
	Harvested date.Day // the harvest before, which days after harvest are counted from
	Log       []Fate   // what became of jobs, by their ID; nil: nobody asks
}

// Start begins a queue, leaving out what was due before a day.
func (q *Queue) Start(jobs []Job, from date.Day) {
	*q = Queue{Jobs: jobs, Waited: q.Waited, Lapsed: q.Lapsed, burnt: q.burnt, Harvested: q.Harvested, Log: q.Log}
	for q.next < len(jobs) && jobs[q.next].dated() && jobs[q.next].Due < from {
		if jobs[q.next].Rule == 0 {
			q.logged(jobs[q.next].ID, LatestDay)
		}
		q.next++
	}
}

func (j *Job) dated() bool { return !j.OnDrill && j.After < 0 && j.AfterHarvest == 0 }

// window is from when until when a job that is not counted from the drilling may be done.
func (q *Queue) window(j *Job) (due, latest date.Day) {
	if j.AfterHarvest > 0 {
		due = q.Harvested + date.Day(j.AfterHarvest)
		return due, min(due+date.Day(j.Grace), j.Latest)
	}
	return j.Due, j.Latest
}

// Due is the day from which Take has something to look at; drilled is the day of the drilling, 0 before it.
func (q *Queue) Due(drilled date.Day) date.Day {
	if q.next >= len(q.Jobs) {
		return never
	}
	j := &q.Jobs[q.next]
	switch {
	case j.OnDrill, j.After >= 0 && drilled == 0:
		return never
	case j.After >= 0:
		return drilled + date.Day(j.After)
	}
	due, _ := q.window(j)
	return due
}

// never is a day that no run reaches.
const never = date.Day(math.MaxInt32)

// Take returns the next job that can be done today, or nil. A job that is due
// but finds no fit ground holds up those behind it; one past its latest lapses.
func (q *Queue) Take(today date.Day, g *Ground, drilled date.Day) *Job {
	for q.next < len(q.Jobs) {
		j := &q.Jobs[q.next]
		due, latest := q.window(j)
		if j.OnDrill {
			return nil // Drill takes these
		}
		if j.After >= 0 {
			if drilled == 0 {
				return nil
			}
			due = drilled + date.Day(j.After)
			latest = due + date.Day(j.Grace)
		}
		switch {
		case today < due:
			return nil
		case !q.calls(j):
			q.next++
		case today > latest:
			q.Lapsed++
			q.Lapse(j.ID, due)
			q.next++
		case !g.Fit[j.Needs] || j.Cold && !g.Cold:
			q.Hold(today)
			return nil
		default:
			q.next++
			q.note(j, today)
			return j
		}
	}
	return nil
}

// note remembers a burn-off.
func (q *Queue) note(j *Job, today date.Day) {
	if j.Kind == SprayOff || j.Kind == DestroyCover {
		q.burnt = today
	}
}

// burnOffLasts is how many days a drilling may slip before what has come up
// since the burn-off is sprayed again (common practice, no source).
const burnOffLasts = 7

// Drill takes the next job of the day of drilling: a burn-off counted back from
// it that was not done or was done over a week too soon, then what belongs to the
// day; what else is still waiting lapses.
func (q *Queue) Drill(today date.Day) *Job {
	if j := q.stale(today); j != nil {
		q.note(j, today)
		return j
	}
	for q.next < len(q.Jobs) {
		j := &q.Jobs[q.next]
		q.next++
		if !q.calls(j) {
			continue
		}
		if j.OnDrill {
			q.note(j, today)
			return j
		}
		q.Lapsed++
		due, _ := q.window(j)
		q.Lapse(j.ID, due)
	}
	return nil
}

// stale is the last burn-off that was counted back from the drilling, when the
// drill comes over a week later after it than planned and no other has been done.
func (q *Queue) stale(today date.Day) *Job {
	var last *Job
	for i := range q.Jobs {
		j := &q.Jobs[i]
		switch {
		case !q.calls(j):
		case i >= q.next && j.OnDrill && j.Kind == SprayOff:
			return nil // comes anyway
		case j.Back > 0:
			last = j
		}
	}
	if last == nil || today > last.Latest || today-q.burnt <= date.Day(last.Back+burnOffLasts) {
		return nil
	}
	return last
}
