package fieldwork

import "rundown/params/date"

// Work may hang on a rule, which is asked on the day on which the work falls due. What it
// says stands while the work waits; work that it does not call for is passed over, and
// does not lapse.

// Asks gives the number of a rule that is to be asked today; 0 for none.
func (q *Queue) Asks(today, drilled date.Day) int {
	for i := q.next; i < len(q.Jobs); i++ {
		if j := &q.Jobs[i]; q.unasked(j) && q.askOn(j, drilled) <= today {
			return j.Rule
		}
	}
	return 0
}

// AskDue is the first day on which a rule that is not decided is to be asked, as far as it is
// known.
func (q *Queue) AskDue(drilled date.Day) date.Day {
	due := never
	for i := q.next; i < len(q.Jobs); i++ {
		if j := &q.Jobs[i]; q.unasked(j) {
			due = min(due, q.askOn(j, drilled))
		}
	}
	return due
}

func (q *Queue) unasked(j *Job) bool { return j.Rule > 0 && q.asked&(1<<(j.Rule-1)) == 0 }

// askOn is the day on which a job's rule is asked: that for which the job is planned.
func (q *Queue) askOn(j *Job, drilled date.Day) date.Day {
	switch {
	case j.After >= 0 && drilled == 0:
		return never
	case j.After >= 0:
		return drilled + date.Day(j.After)
	}
	due, _ := q.window(j)
	return due
}

// Decide tells the queue what a rule says.
func (q *Queue) Decide(rule int, called bool) {
	q.asked |= 1 << (rule - 1)
	if !called {
		return
	}
	q.called |= 1 << (rule - 1)
	for i := range q.Jobs {
		if j := &q.Jobs[i]; j.Rule == rule {
			q.logged(j.ID, NoCrop) // until more is known of it
		}
	}
}

// calls tells whether a job is to be done: it hangs on no rule, or on one that called for it.
func (q *Queue) calls(j *Job) bool { return j.Rule == 0 || q.called&(1<<(j.Rule-1)) != 0 }

// Asked are the rules that have been decided, a bit for each.
func (q *Queue) Asked() uint64 { return q.asked }

// Called are those of them that called for their work.
func (q *Queue) Called() uint64 { return q.called }
