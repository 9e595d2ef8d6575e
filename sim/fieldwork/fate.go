package fieldwork

import "rundown/params/date"

// Fate is what became of a piece of work in one run.
type Fate struct {
	Day date.Day // when it was done, the last time; 0: it was not
	Why Reason
	// Times is how often the pass was made: a burn-off is sprayed again where the drill waits long.
	Times int
	// What it met and, of that, what it killed: plants, or shares of heads. Neither
	// where it kills nothing.
	Met, Killed float64
}

// Reason says why a piece of work was not done.
type Reason uint8

// Reasons.
const (
	NotCalled Reason = iota // it belongs to a course that was not taken
	Made                    // it was done
	BadGround               // the ground, or the soil's warmth, was not fit until its latest day or the drill came
	NoCrop                  // the crop was not grown, or was off the field before its day
	LatestDay               // its latest day had passed before its turn came
	NoObject                // the pass was made and paid for, but the cover that it was to destroy did not live
	NotAsked                // the rule that it hangs on did not call for it
	Reasons
)

// logged writes down why a job was not done.
func (q *Queue) logged(id int, why Reason) {
	if q.Log != nil {
		q.Log[id].Why = why
	}
}

// Lapse writes down what fell due on a day and was not done in time: it was the ground
// where that held up the queue on a day that would have been its own.
func (q *Queue) Lapse(id int, due date.Day) {
	if q.held >= due {
		q.logged(id, BadGround)
		return
	}
	q.logged(id, LatestDay)
}

// Hold lets the queue, or the drill behind it, wait for the ground.
func (q *Queue) Hold(today date.Day) {
	q.Waited++
	q.held = today
}

// Call writes down that the jobs of a list are called for: until more is known of
// them, the crop that they belong to is not there.
func (q *Queue) Call(jobs []Job) {
	for i := range jobs {
		why := NoCrop
		if jobs[i].Rule > 0 {
			why = NotAsked
		}
		q.logged(jobs[i].ID, why)
	}
}

// End writes down what had fallen due when the course ended.
func (q *Queue) End(today, drilled date.Day) {
	if q.Log == nil {
		return
	}
	for i := q.next; i < len(q.Jobs); i++ {
		j := &q.Jobs[i]
		due, _ := q.window(j)
		if j.After >= 0 {
			due = drilled + date.Day(j.After)
		}
		if q.calls(j) && due <= today && !j.OnDrill && (j.After < 0 || drilled != 0) {
			q.Lapse(j.ID, due)
		}
	}
}
