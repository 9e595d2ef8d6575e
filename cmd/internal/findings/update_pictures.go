package findings

import (
	"fmt"
	"math"
	"slices"

	"rundown/cmd/internal/figure"
	"rundown/cmd/internal/report"
	"rundown/params"
	"rundown/params/date"
	"rundown/sim"
	particles "rundown/sim/update"
)

func (u *updated) pictures() []report.Picture {
	return []report.Picture{{Name: "updated", Figure: u.seasonsPicture()}, {Name: "counted", Figure: u.countedPicture()},
		{Name: "moved", Figure: u.movedPicture()}}
}

func (u *updated) caption(what string) figure.Caption {
	return figure.Caption{Title: u.Calendar.Name + ": " + what, Subtitle: u.subtitle(), Note: noPromise, Provenance: provenanceLine(u.Run)}
}

// seenInterval is the density that quadrats show, with its interval.
func seenInterval(s *particles.Seen) figure.Interval {
	m := s.Counted.MeanPerM2
	return figure.Interval{Value: m.Value, Low: m.Low, High: m.High}
}

func drawnSpread(b report.Band) figure.Spread {
	if b.N == 0 {
		return figure.None()
	}
	return figure.Spread{P05: b.P05, P25: b.P25, P50: b.P50, P75: b.P75, P95: b.P95, Zero: b.Zero}
}

// seasonsPicture is the bands before and after, season by season, with the heads
// that were counted.
func (u *updated) seasonsPicture() *figure.Updated {
	f := &figure.Updated{Caption: u.caption("the forecast before and after the counts"), Before: beforeCounts, After: afterCounts}
	all, counted := "mid-June", "heads counted that season"
	if _, ok := u.headsInAll(); ok {
		all, counted = "all of each June", "heads counted, those out that day"
	}
	for _, q := range []struct {
		name, unit string
		metric     sim.Metric
	}{{"Weed heads", "per m², " + all, sim.Heads}, {"Seed, new seed too", "per m²", sim.SeedAfter}} {
		panel := figure.UpdatedPanel{Name: q.name, Unit: q.unit, Kind: figure.Log}
		for i := range u.after {
			c := figure.UpdatedColumn{Label: fmt.Sprintf("%d %s", u.after[i].HarvestYear, spoken(u.after[i].Crop)),
				Before: drawnSpread(u.before[i].Bands[q.metric]), After: drawnSpread(u.after[i].Bands[q.metric])}
			for k := range u.Counts {
				if q.metric == sim.Heads && u.Counts[k].Kind == "heads" && u.seasonOf(&u.Counts[k]) == i {
					c.Counts = append(c.Counts, seenInterval(&u.Result.Seen[k]))
					f.Counted = counted
				}
			}
			panel.Columns = append(panel.Columns, c)
		}
		f.Panels = append(f.Panels, panel)
	}
	return f
}

// countedPicture is every count on its day, beside what was expected of it.
func (u *updated) countedPicture() *figure.Updated {
	f := &figure.Updated{Caption: u.caption("what was counted, and what was expected that day"), Before: beforeCounts, After: afterCounts, Counted: "counted"}
	for _, kind := range []string{"plants", "heads", "core-seedlings"} {
		panel := figure.UpdatedPanel{Name: countKinds[kind][0], Unit: "per m², on the day", Kind: figure.Log}
		for k := range u.Counts {
			c, s := &u.Counts[k], &u.Result.Seen[k]
			if c.Kind != kind {
				continue
			}
			label := c.Watch.Day.Short()
			if c.Watch.DepthCM > 0 {
				label += fmt.Sprintf(", %s cm", report.Shortest(c.Watch.DepthCM))
			}
			panel.Columns = append(panel.Columns, figure.UpdatedColumn{Label: label, Before: drawnSpread(report.Band(s.Prior)),
				After: drawnSpread(report.Band(s.Posterior)), Counts: []figure.Interval{seenInterval(s)}})
		}
		if len(panel.Columns) > 0 {
			f.Panels = append(f.Panels, panel)
		}
	}
	return f
}

// value3 writes a library's value where two digits would hide that it moved.
var value3 = report.Form{Digits: 3, Least: 1e-6}

// movedPicture is the values that moved most, with the error of the shift.
func (u *updated) movedPicture() *figure.Dots {
	title := "which uncertain values the counts moved"
	if len(u.Moved) == 0 {
		title = "no uncertain value moved beyond the method's noise; the nearest to it"
	}
	d := &figure.Dots{
		Caption: u.caption(title),
		X:       figure.Scale{Name: "Moved by", Unit: "standard deviations", Kind: figure.Linear},
		Main:    "shift of the mean; line: what the method's own noise may make of it",
	}
	d.Note = "Right of 0: higher than was thought before. Of all the values only those whose line keeps clear of 0 are told from noise. Under each " +
		"name its middle before and after."
	rows := slices.Clone(u.Result.Moved)
	slices.SortStableFunc(rows, func(a, b particles.Moved) int { // by how sure the shift is
		x, y := math.Abs(a.Shift)/a.Error, math.Abs(b.Shift)/b.Error
		switch {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	wide := u.Bar // as in the text: all values are looked at together
	for _, m := range rows[:min(movedRows, len(rows))] {
		d.Rows = append(d.Rows, figure.DotRow{Name: shortValue(m.Value), Under: movedWords(m.Value, report.Band(m.Prior), report.Band(m.Posterior)),
			Main: figure.Interval{Value: m.Shift, Low: m.Shift - wide*m.Error, High: m.Shift + wide*m.Error}})
	}
	return d
}

// movedWords are the middle of a value before and after, in as many digits as part the two. A rate is told in per cent.
func movedWords(v *params.Value, before, after report.Band) string {
	if v.Unit == "date" {
		return movedMiddle(v, before) + " → " + movedMiddle(v, after)
	}
	by, unit := 1.0, unitAfter(v.Unit)
	if per, is := map[string]string{"fraction/d": "a day", "fraction/yr": "a year"}[v.Unit]; is {
		by, unit = 100, " % "+per
	}
	for digits := 2; ; digits++ {
		form := report.Form{Digits: digits, Least: 1e-6}
		from, to := form.Value(by*before.P50), form.Value(by*after.P50)
		if from != to || digits == 3 {
			return report.Minus(from) + " → " + report.Minus(to) + unit
		}
	}
}

// dates are the dates of the counts, each once.
func (u *updated) dates() []date.Day {
	var out []date.Day
	for i := range u.Counts {
		out = append(out, u.Counts[i].Watch.Day)
	}
	return slices.Compact(out)
}
