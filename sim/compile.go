package sim

import (
	"fmt"
	"slices"

	"rundown/params"
	"rundown/params/date"
	"rundown/rotations"
	"rundown/sim/fieldwork"
)

// compile turns the calendar's names into indices and its operations into jobs.
func (m *Model) compile() error {
	c := m.calendar
	if m.sprayOff = c.Library.Find("herbicides", "spray-off"); m.sprayOff == nil {
		return fmt.Errorf("the library has no herbicide spray-off")
	}
	for _, name := range []struct {
		to    *int
		entry *params.Entry
		or    string
	}{{&m.lastCrop, c.LastCrop, "winter-wheat"}, {&m.fallow, nil, "fallow"}} {
		e := name.entry
		if e == nil {
			e = c.Library.Find("crops", name.or)
		}
		if e == nil {
			return fmt.Errorf("the library has no crop %s", name.or)
		}
		*name.to = index(&m.tables.crops, e)
	}
	history := c.History
	if history == nil {
		history = c.Library.Find("implements", "shallow-disc")
	}
	if history == nil {
		return fmt.Errorf("the library has no implement shallow-disc")
	}
	m.history = index(&m.tables.implements, history)
	if len(c.Seasons) == 0 {
		return fmt.Errorf("the plan has no seasons")
	}
	m.years = len(c.Seasons)
	if c.Rules != nil {
		m.compileRules(c.Rules)
		return m.addActives()
	}
	for i := range c.Seasons {
		s := m.compileSeason(i, &c.Seasons[i])
		if s.year = i; i+1 < m.years {
			s.then.next = []int{i + 1}
		}
		m.seasons = append(m.seasons, s)
	}
	m.opening.next = []int{0}
	return m.addActives()
}

// addActives makes sure that the contact actives of programmes have a place in
// the table before units are bound.
func (m *Model) addActives() error {
	for i := 0; i < len(m.tables.herbicides); i++ {
		for _, name := range m.tables.herbicides[i].Lists["actives"] {
			a := m.calendar.Library.Find("herbicides", name)
			if a == nil {
				return fmt.Errorf("herbicides/%s names an unknown active: %q", m.tables.herbicides[i].Name, name)
			}
			if a.Text["role"] != "residual" {
				index(&m.tables.herbicides, a)
			}
		}
	}
	return nil
}

// compileSeason makes a season. The harvest before the first is that of no run, so what
// is counted from it has its date.
func (m *Model) compileSeason(number int, s *rotations.Season) season {
	first := number == 0
	out := season{harvestYear: s.HarvestYear, open: s.Open, end: s.End, cover: -1, standsOn: s.StandsOn, work: len(m.work)}
	if s.Cover != nil {
		out.cover = index(&m.tables.covers, s.Cover.Mix)
	}
	for i := range s.Courses {
		listed := len(m.work)
		c := m.compileCourse(&s.Courses[i], s.End, asker{year: number, at: len(m.seasons), course: i})
		if i == 0 && s.Cover != nil {
			c.before = append(c.before, m.coverJobs(s, c.rule(m.compileIf(s.Cover.If,
				asker{year: number, at: len(m.seasons), after: -1, afterHarvest: s.Cover.AfterHarvest})))...)
		}
		for k := range m.work[listed:] {
			m.work[listed+k].Season, m.work[listed+k].Course, m.work[listed+k].At = number, i, len(m.seasons)
		}
		for k := range c.before {
			if j := &c.before[k]; first && j.AfterHarvest > 0 {
				j.AfterHarvest, j.Latest = 0, min(j.Due+date.Day(j.Grace), j.Latest)
			}
		}
		sortJobs(c.before)
		sortJobs(c.after)
		out.courses = append(out.courses, c)
	}
	if last := &out.courses[len(out.courses)-1]; last.drill {
		out.courses = append(out.courses, course{crop: m.fallow, control: -1, cultivar: 1})
	}
	return out
}

// coverJobs are the sowing and the destruction of a cover.
func (m *Model) coverJobs(s *rotations.Season, rule int) []fieldwork.Job {
	k := s.Cover
	mix := index(&m.tables.covers, k.Mix)
	e := k.DestroyWith
	if e == nil {
		e = m.sprayOff
	}
	destroy := fieldwork.Job{Kind: fieldwork.DestroyCover, Due: k.Destroy, Latest: k.Destroy + 60, Needs: fieldwork.Spraying, After: -1, Rule: rule}
	if e.Kind == "herbicides" {
		destroy.With = index(&m.tables.herbicides, e)
	} else {
		destroy.Kind, destroy.With, destroy.Needs = fieldwork.Cultivate, index(&m.tables.implements, e), fieldwork.Cultivation
	}
	destroy.ID, destroy.Ends = m.list(CoverDestroyed, 0, Standing), true
	sow := fieldwork.Job{Kind: fieldwork.SowCover, ID: m.list(CoverSown, 0, Nothing), With: mix,
		Due: k.Sow, Latest: k.Latest, Needs: fieldwork.Cultivation, After: -1, Rule: rule}
	if k.AfterHarvest > 0 {
		sow.AfterHarvest, sow.Grace, sow.Latest = k.AfterHarvest, int(k.Latest-k.Sow), k.Destroy-1
	}
	return []fieldwork.Job{sow, destroy}
}

func (m *Model) compileCourse(c *rotations.Course, end date.Day, of asker) course {
	out := course{crop: index(&m.tables.crops, c.Crop), control: -1, straw: c.StrawChopped, cultivar: c.CultivarFactor}
	if out.cultivar == 0 {
		out.cultivar = 1
	}
	if c.HarvestWith != nil {
		out.control, out.controlIf = index(&m.tables.implements, c.HarvestWith), m.compileIf(c.HarvestIf, of.job(true, -1, 0))
	}
	if d := c.Drill; d != nil {
		out.drill, out.on, out.until, out.seeds = true, d.On, d.Latest, d.SeedsPerM2
		out.with = index(&m.tables.implements, d.With)
		out.drilling = m.list(Drilled, 0, Standing)
	}
	for i := range c.Operations {
		o := &c.Operations[i]
		j := fieldwork.Job{Due: o.On, Latest: o.Latest, After: -1, Good: o.GoodPlough, ID: m.list(Operation, i, m.actsOn(o))}
		switch o.Timing {
		case rotations.AfterDrilling:
			j.After, j.Grace = o.Days, o.LatestAfter
		case rotations.AfterHarvest:
			j.AfterHarvest, j.Grace, j.Latest = o.Days, o.LatestAfter, end
		case rotations.BeforeDrilling:
			if o.Action == rotations.SprayOff {
				j.Back = int(out.on - o.On)
			}
		case rotations.WithDrilling:
			j.OnDrill = true
			j.Due = out.on
		}
		switch o.Action {
		case rotations.SprayOff:
			j.Kind, j.Needs, j.With = fieldwork.SprayOff, fieldwork.Spraying, index(&m.tables.herbicides, o.With)
		case rotations.Cultivate:
			j.Kind, j.Needs, j.With = fieldwork.Cultivate, fieldwork.Cultivation, index(&m.tables.implements, o.With)
		case rotations.Herbicide:
			j.Cold = o.With.Text["cold_soil"] == "yes"
			j.Kind, j.Needs, j.With = fieldwork.Herbicide, fieldwork.Spraying, index(&m.tables.herbicides, o.With)
		case rotations.InCrop:
			j.Kind, j.Needs, j.With = fieldwork.InCrop, fieldwork.Nothing, index(&m.tables.implements, o.With)
		}
		late := j.Kind == fieldwork.Herbicide || j.Kind == fieldwork.InCrop || j.After >= 0
		j.Rule = out.rule(m.compileIf(o.If, of.job(late, j.After, j.AfterHarvest)))
		if late {
			out.after = append(out.after, j)
		} else {
			out.before = append(out.before, j)
		}
	}
	if out.control >= 0 {
		out.controlling = m.list(SeedControlled, 0, Nothing)
	}
	return out
}

// sortJobs puts jobs in the order in which they fall due; on one day by kind,
// within a kind as written. Jobs of the day of drilling come last.
func sortJobs(jobs []fieldwork.Job) {
	due := func(j *fieldwork.Job) (int, date.Day) {
		switch {
		case j.OnDrill:
			return 1, 0
		case j.After >= 0:
			return 0, date.Day(j.After) - 1<<20
		}
		return 0, j.Due
	}
	slices.SortStableFunc(jobs, func(a, b fieldwork.Job) int {
		ra, da := due(&a)
		rb, db := due(&b)
		switch {
		case ra != rb:
			return ra - rb
		case da != db:
			return int(da - db)
		}
		return int(a.Kind) - int(b.Kind)
	})
}
