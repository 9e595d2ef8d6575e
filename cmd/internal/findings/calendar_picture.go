package findings

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"rundown/cmd/internal/figure"
	"rundown/cmd/internal/report"
	"rundown/params/date"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/study"
)

// mostStrips is how many seasons one picture of strips or bars holds, so that
// it fits a page of paper.
const mostStrips = 12

// pieces cuts seasons into runs of at most mostStrips, of like length, and
// says of each, where there are several, which harvests it is about.
func pieces(seasons []study.Season) (parts [][]study.Season, about []string) {
	n := (len(seasons) + mostStrips - 1) / mostStrips
	for k := range n {
		part := seasons[k*len(seasons)/n : (k+1)*len(seasons)/n]
		said := ""
		if n > 1 {
			said = fmt.Sprintf(", harvests %d to %d", part[0].HarvestYear, part[len(part)-1].HarvestYear)
		}
		parts, about = append(parts, part), append(about, said)
	}
	return parts, about
}

// calendarPictures are the plan as a calendar, with drilling as it came about.
func calendarPictures(r Run, seasons []study.Season) []report.Picture {
	var out []report.Picture
	strips := folded(seasons)
	n := (len(strips) + mostStrips - 1) / mostStrips
	for k := range n {
		about := ""
		if n > 1 {
			about = fmt.Sprintf(", part %d of %d", k+1, n)
		}
		out = append(out, report.Picture{Name: "calendar", Figure: &figure.Calendar{Caption: figure.Caption{
			Title:    fmt.Sprintf("%s: the plan, season by season%s", calendarName(r), about),
			Subtitle: forecastSubtitle(r), Provenance: provenanceLine(r)}, Seasons: strips[k*len(strips)/n : (k+1)*len(strips)/n]}})
	}
	return out
}

// calendarName is the plan's name beside others, else the field's.
func calendarName(r Run) string {
	if r.Name != "" {
		return sentence(spoken(r.Name))
	}
	return r.Calendar.Name
}

func calendarSeason(s study.Season) figure.CalendarSeason {
	none := math.NaN()
	course := &s.Courses[0]
	out := figure.CalendarSeason{
		Season: figure.Season{HarvestYear: s.HarvestYear, Crop: spoken(s.Crop)},
		Open:   float64(s.Open), Harvest: float64(s.End),
		Sown: none, Destroyed: none, Planned: none, Latest: none, From: none, Middle: none, To: none,
	}
	out.Bare = course.Crop.Text["season"] == "none"
	if k := s.Cover; k != nil {
		out.Cover, out.Sown, out.Destroyed = spoken(k.Mix.Name), float64(k.Sow), float64(k.Destroy)
	}
	drilledOn := date.Day(0)
	if d := course.Drill; d != nil {
		out.Planned, out.Latest = float64(d.On), float64(d.Latest)
		drilledOn = d.On
	}
	if s.Drilled != nil && s.Drilled.Share > 0 {
		out.From, out.Middle, out.To, out.Share = float64(s.Drilled.P05), float64(s.Drilled.P50), float64(s.Drilled.P95), s.Drilled.Share
		drilledOn = s.Drilled.P50
	}
	for i := range course.Operations {
		out.Jobs = append(out.Jobs, calendarJob(&course.Operations[i], drilledOn))
	}
	for i := range s.Work {
		w := &s.Work[i]
		switch {
		case w.Course > 0:
		case w.Is == sim.Operation:
			out.Jobs[w.Index].Seldom = seldomNumber(w)
		case w.Is == sim.CoverSown:
			out.CoverSeldom = seldomNumber(w)
		case w.Is == sim.Drilled:
			out.CropSeldom = seldomNumber(w)
		}
	}
	slices.SortStableFunc(out.Jobs, func(a, b figure.Job) int { return int(a.On - b.On) })
	var others []string
	for _, g := range s.Grown[min(1, len(s.Grown)):] {
		others = append(others, fmt.Sprintf("%s in %s of 100 runs", spoken(g.Name), report.Of100(g.Share)))
	}
	out.Otherwise = strings.Join(others, ", ")
	return out
}

// calendarJob is an operation; what is counted from drilling is shown at its
// median day.
func calendarJob(o *rotations.Operation, drilledOn date.Day) figure.Job {
	kinds := map[rotations.Action]figure.JobKind{
		rotations.SprayOff: figure.SprayOff, rotations.Cultivate: figure.SoilWork,
		rotations.Herbicide: figure.Spray, rotations.InCrop: figure.InCrop,
	}
	j := figure.Job{Kind: kinds[o.Action], Name: spoken(o.With.Name)}
	switch o.Timing {
	case rotations.AfterDrilling:
		j.On = float64(drilledOn) + float64(o.Days)
	case rotations.WithDrilling:
		j.On = float64(drilledOn)
	default:
		j.On = float64(o.On)
	}
	if j.When = operationWhen(o); o.Timing == rotations.BeforeDrilling {
		j.When = dayOfYear(o.On)
	}
	return j
}
