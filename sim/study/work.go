package study

import (
	"cmp"
	"slices"

	"rundown/params"
	"rundown/params/date"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/ensemble"
)

// Work is what became of a piece of work over the runs. Shares are of the runs that called
// for it: of the planned course all runs, of what is grown instead those that came to it.
type Work struct {
	sim.Work
	Crop     *params.Entry // that it belongs to
	With     *params.Entry // implement, herbicide, cover
	Planned  date.Day      // wished day; counted from planned drilling or median harvest where the plan counts
	Op       *rotations.Operation
	Called   float64              // share of all runs that called for it
	Done     float64              // of those, in which it was done
	Lapsed   [sim.Reasons]float64 // and of those, in which it was not, by reason
	Passes   float64              // and how often the pass was made, mean: it may be made again, or find nothing to act on
	Day      Band                 // on which it was done
	Killed   Band                 // share killed of what it met, over the runs in which it met any
	OfGrown  float64              // share of the runs that grew its crop in which the pass was made; NaN: none grew it
	Grown    float64              // share of all runs that grew its crop, and whose rule called for it
	If       *rotations.Condition // the rule that it hangs on; nil: none
	AskedFor float64              // share of the runs that grew its crop in which that called for it; the rest is told of those
	Mostly   sim.Reason           // what most often kept it from being done in those
}

// OftenDone is the share of the runs that grew the crop below which a piece of its work is
// told to be seldom done.
const OftenDone = 0.80

// seldom tells that planned work is seldom done where its crop is grown. A crop that does
// not go in is told elsewhere.
func (w *Work) seldom() bool { return w.Is != sim.Drilled && w.Course == 0 && w.OfGrown < OftenDone }

// workOf is what became of the work of a season, in the order in which it is planned: the
// planned course first.
func workOf(o *ensemble.Outcome, planned *rotations.Season, season, branch int) []Work {
	var out []Work
	if !o.KeepsWork() {
		return nil
	}
	c := o.Model.Calendar()
	var sorts []*alikeWork
	for id, w := range o.Model.Work() {
		if w.Season == season && branchOf(c, w.At) == branch {
			sorts = addAlike(c, sorts, id, w)
		}
	}
	for _, s := range sorts {
		out = append(out, workDone(o, c.SeasonAt(s.At), s.ids, s.Work))
	}
	slices.SortStableFunc(out, func(a, b Work) int {
		return cmp.Or(cmp.Compare(a.Course, b.Course), cmp.Compare(a.Planned, b.Planned))
	})
	return out
}

func workDone(o *ensemble.Outcome, planned *rotations.Season, ids []int, w sim.Work) Work {
	out := Work{Work: w, Crop: planned.Courses[w.Course].Crop}
	out.place(planned, o.Model.Calendar().Library)
	course := o.Column(sim.Course, w.Season)
	var days, killed []float64
	called, grown, made, spared := 0.0, 0.0, 0.0, 0.0
	var why [sim.Reasons]int
	for k := range o.Replicates {
		d := doneOf(o, ids, k)
		if d.Why == sim.NotCalled {
			continue
		}
		if d.Why == sim.NotAsked {
			if int(course[k]) == w.Course {
				spared++
			}
			continue
		}
		called++
		out.Passes += float64(d.Times)
		pass := d.Why == sim.Made || d.Why == sim.NoObject
		if int(course[k]) == w.Course {
			grown++
			if pass {
				made++
			} else if why[d.Why]++; why[d.Why] > why[out.Mostly] {
				out.Mostly = d.Why
			}
		}
		out.Lapsed[d.Why]++
		if d.Why == sim.Made {
			days = append(days, float64(d.Day))
		}
		killed = append(killed, d.Killed)
	}
	for i := range out.Lapsed {
		out.Lapsed[i] /= max(called, 1)
	}
	out.Passes /= max(called, 1)
	out.Done, out.Lapsed[sim.Made] = out.Lapsed[sim.Made], 0
	n := float64(o.Replicates)
	out.AskedFor = grown / (grown + spared)
	out.Called, out.Grown, out.OfGrown = called/n, grown/n, made/grown // 0/0: not a number
	out.Day, out.Killed = band(days), band(killed)
	return out
}

// place finds what is used, and the day that is wished.
func (w *Work) place(s *rotations.Season, lib *params.Library) {
	c := &s.Courses[w.Course]
	switch w.Is {
	case sim.Drilled:
		w.With, w.Planned = c.Drill.With, c.Drill.On
	case sim.CoverSown:
		w.With, w.Planned, w.If = s.Cover.Mix, s.Cover.Sow, s.Cover.If
	case sim.CoverDestroyed:
		w.If = s.Cover.If
		if w.With, w.Planned = s.Cover.DestroyWith, s.Cover.Destroy; w.With == nil {
			w.With = lib.Find("herbicides", "spray-off")
		}
	case sim.SeedControlled:
		w.With, w.Planned, w.If = c.HarvestWith, s.End, c.HarvestIf
	default:
		w.Op = &c.Operations[w.Index]
		w.With, w.Planned, w.If = w.Op.With, w.Op.On, w.Op.If
		if c.Drill == nil {
			break
		}
		switch w.Op.Timing {
		case rotations.AfterDrilling:
			w.Planned = c.Drill.On + date.Day(w.Op.Days)
		case rotations.WithDrilling:
			w.Planned = c.Drill.On
		}
	}
}

// Days are the days on which it was done: 5, 50 and 95 % points; ok is false where it never was.
func (w *Work) Days() (days [3]date.Day, ok bool) {
	if w.Day.N == 0 {
		return days, false
	}
	return [3]date.Day{day(w.Day.P05), day(w.Day.P50), day(w.Day.P95)}, true
}

// Undone is work of one sort that is seldom done, in the seasons that plan it.
type Undone struct {
	Work              // of the season in which it is done least
	Years     []int   // of the harvests
	Low, High float64 // shares of the runs that grew the crop
}

// undone gathers work that is seldom done where the planned crop is grown, the least done
// first. What differs in its year alone is of one sort.
func undone(seasons []Season) []Undone {
	type sort struct {
		is     sim.WorkKind
		with   *params.Entry
		timing rotations.Timing
		days   int
		on     date.Annual
	}
	var out []Undone
	at := map[sort]int{}
	for i := range seasons {
		for _, w := range seasons[i].Work {
			if !w.seldom() {
				continue
			}
			key := sort{is: w.Is, with: w.With}
			if w.Op != nil && w.Op.Timing != rotations.OnDate {
				key.timing, key.days = w.Op.Timing, w.Op.Days
			} else {
				_, key.on.Month, key.on.Day = w.Planned.Date()
			}
			k, seen := at[key]
			if !seen {
				k, at[key] = len(out), len(out)
				out = append(out, Undone{Work: w, Low: w.OfGrown, High: w.OfGrown})
			}
			u := &out[k]
			u.Years = append(u.Years, seasons[i].HarvestYear)
			if u.High = max(u.High, w.OfGrown); w.OfGrown < u.Low {
				u.Work, u.Low = w, w.OfGrown
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Undone) int { return cmp.Compare(a.Low, b.Low) })
	return out
}

// workUndone warns of all of it at once.
func (f *Forecast) workUndone() *Warning {
	if list := undone(f.Seasons); len(list) > 0 {
		return &Warning{Code: WorkNotDone, Undone: list}
	}
	return nil
}

// oftenUndone is the piece of work that is done least, where it is done in fewer than half
// of the runs that grew the planned crop; nil for none.
func (f *Forecast) oftenUndone() *Undone {
	if list := undone(f.Seasons); len(list) > 0 && list[0].Low < mostlyUndone {
		return &list[0]
	}
	return nil
}

// mostlyUndone is the share of runs below which work that is not done belongs in the answer.
const mostlyUndone = 0.5
