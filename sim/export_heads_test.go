package sim

import (
	"rundown/params/date"
	"rundown/sim/fieldwork"
)

// MoveLast moves the last job of the first season's planned course to another day, on
// which it waits for nothing.
func (m *Model) MoveLast(to date.Day) {
	c := &m.seasons[0].courses[0]
	jobs := c.after
	if len(jobs) == 0 {
		jobs = c.before // nothing is drilled
	}
	j := &jobs[len(jobs)-1]
	j.Due, j.Latest, j.Needs = to, to, fieldwork.Nothing
}
