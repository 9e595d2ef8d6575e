package study

// DatedWork is what became of the work of the plan with one of the dates.
type DatedWork struct {
	Date    int // index
	Seasons []Season
}

// work tells what became of the work with the planned date and with that of the answer, and
// warns of what is seldom done with the latter.
func (d *Drilling) work() {
	dates := []int{d.Planned}
	if d.Answer.Best != d.Planned {
		dates = append(dates, d.Answer.Best)
	}
	for _, i := range dates {
		o := d.Outcomes[i]
		d.Work = append(d.Work, DatedWork{i, Seasons(o.Model.Calendar(), o)})
	}
	told := Forecast{Seasons: d.Work[len(d.Work)-1].Seasons}
	if w := told.workUndone(); w != nil {
		w.From = d.Dates[d.Answer.Best]
		d.Warnings = append(d.Warnings, *w)
	}
}
