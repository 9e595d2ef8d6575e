package sim

import "rundown/params/date"

// Peek makes the model look one day later than it should, and decide after that, as if it
// knew what the day of deciding brings: a stub that tests must tell from the model.
func (m *Model) Peek() {
	for i := range m.rules.sights {
		if s := &m.rules.sights[i]; s.on != 0 {
			s.on++
		} else {
			s.before--
		}
	}
	later := func(d *decision) {
		if len(d.next) > 1 {
			d.from++
		}
	}
	later(&m.opening)
	for i := range m.seasons {
		s := &m.seasons[i]
		later(&s.then)
		for k := range s.courses {
			c := &s.courses[k]
			for j := range c.before {
				if c.before[j].Rule > 0 {
					c.before[j].Due++
				}
			}
			for j := range c.after {
				if x := &c.after[j]; x.Rule > 0 {
					x.Due++
				}
			}
		}
	}
}

// RunKeyedByBranch is a run whose chances hang on the number of the branch that was taken: a
// stub that tests must tell from the model.
func (w *Worker) RunKeyedByBranch(r Replicate, sky *Sky, out *Record) error {
	w.begin(r, sky, nil, out)
	for day, was := w.m.begin, -1; day <= w.m.last; day++ {
		if err := w.runTo(day); err != nil {
			return err
		}
		if w.stage == growing && !w.undecided && w.season != was {
			was = w.season
			for i := range w.spots {
				w.spots[i].draw.Key = w.spots[i].draw.Key.With(uint64(w.m.seasons[w.at].branch))
				w.spots[i].plants.Key = w.spots[i].draw.Key
			}
		}
		if w.done() {
			break
		}
	}
	return w.wrong()
}

// Decided are the days on which branches were taken and rules of work answered, in order.
type Decided struct {
	Day    date.Day
	Branch int    // −1: it was about work
	Called uint64 // rules that called for work, of the queues up to the drilling and after it
}

// RunDeciding is a run that tells its decisions.
func (w *Worker) RunDeciding(r Replicate, sky *Sky, out *Record) (list []Decided, err error) {
	w.begin(r, sky, nil, out)
	season, asked := -1, uint64(0)
	for day := w.m.begin; day <= w.m.last && !w.done(); day++ {
		if err := w.runTo(day); err != nil {
			return nil, err
		}
		if w.inSeason() && !w.undecided && w.season != season {
			season, asked = w.season, 0
			list = append(list, Decided{w.today, w.m.seasons[w.at].branch, 0})
		}
		if a := w.before.Asked() + w.after.Asked(); a != asked {
			asked = a
			list = append(list, Decided{w.today, -1, w.before.Called()<<8 | w.after.Called()})
		}
	}
	return list, w.wrong()
}
