package fieldwork

import "rundown/params/date"

// Work may hang on a rule, which is asked on the day on which the work falls due. What it
// says stands while the work waits; work that it does not call for is passed over, and
// does not lapse.

// Asks gives the number of a rule that is to be asked today; 0 for none.
func (q *Queue) Asks(today, drilled date.Day) int {
	for i := q.next; i < len(q.Jobs); i++ {
		j := &q.Jobs[i]
		if j.Rule == 0 || q.asked&(1<<(j.Rule-1)) != 0 {
			continue
		}
		due, _ := q.window(j)
		if j.After >= 0 {
			due = drilled + date.Day(j.After)
		}
		if due <= today && (j.After < 0 || drilled != 0) {
			return j.Rule
		}
	}
	return 0
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
