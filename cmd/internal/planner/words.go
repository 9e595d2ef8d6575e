package planner

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"rundown/params/date"
	"rundown/rotations"
	"rundown/sim/study"
)

// told is a difference to another version of the plan, in words.
type told struct {
	Runs      int      `json:"runs"`
	Sure      bool     `json:"sure"`
	Label     string   `json:"label"`
	Changes   []string `json:"changes"` // what was changed
	Sentences []string `json:"sentences"`
	None      bool     `json:"none"` // nothing differs
}

// difference is a plan against another version, over the same runs of both.
func difference(p, base *Plan, in *asked, before, after study.Outcomes, runs int) told {
	q := study.ShiftRequest{Before: base.Calendar, After: p.Calendar}
	s := q.Find(before, after)
	t := told{Runs: runs, Sure: runs >= SureLook, Label: in.Against.Label, Changes: changes(base.Calendar, p.Calendar), None: s.None}
	if x := in.WhatIf; x != nil {
		t.Changes = append(t.Changes, x.words(base))
	}
	if s.None {
		t.Sentences = []string{"No run ends otherwise."}
		return t
	}
	c := p.Calendar
	first, last := &c.Seasons[s.First], &c.Seasons[s.Last]
	t.Sentences = append(t.Sentences, at(c, first, s))
	if s.Last > s.First {
		t.Sentences = append(t.Sentences, byTheEnd(c, last, s))
	}
	if len(base.Calendar.Seasons) != len(c.Seasons) {
		t.Sentences = append(t.Sentences, fmt.Sprintf("The two have %d and %d seasons; they are set against each other up to harvest %d.",
			len(c.Seasons), len(base.Calendar.Seasons), last.HarvestYear))
	}
	return t
}

// at says what a change does at the first harvest that it changes.
func at(c *rotations.Calendar, s *rotations.Season, d *study.Shift) string {
	parts := []string{heads(d.Then.Heads), money(c, d.Then.Margin, d.Then.Error) + " that year"}
	if d.Then.Heads != d.Then.Heads {
		parts = parts[1:]
	}
	out := fmt.Sprintf("Harvest %d: %s", s.HarvestYear, strings.Join(parts, ", "))
	if m := math.Round(100 * d.Missed); math.Abs(m-math.Round(100*d.Before)) >= 2 { // less is noise to a farmer
		out += fmt.Sprintf("; the %s misses in %.0f of 100 runs, not %.0f", spoken(s.Courses[0].Crop.Name), m, math.Round(100*d.Before))
	}
	return out + "."
}

// byTheEnd says what it comes to.
func byTheEnd(c *rotations.Calendar, s *rotations.Season, d *study.Shift) string {
	parts := []string{}
	if h := heads(d.Heads); h != "" {
		parts = append(parts, h)
	}
	parts = append(parts, fmt.Sprintf("less seed in %.0f of 100 runs", 100*d.End.Cleaner), money(c, d.End.MarginYear, d.Error)+" a year")
	return fmt.Sprintf("By harvest %d: %s.", s.HarvestYear, strings.Join(parts, ", "))
}

// heads says a ratio as more or fewer; "" where there is none.
func heads(ratio float64) string {
	switch p := 100 * (ratio - 1); {
	case math.IsNaN(ratio):
		return ""
	case ratio >= 2:
		return fmt.Sprintf("%.2g times the heads", ratio)
	case math.Round(p) > 0:
		return fmt.Sprintf("%.0f %% more heads", p)
	case math.Round(p) < 0:
		return fmt.Sprintf("%.0f %% fewer heads", -p)
	}
	return "as many heads"
}

// money says a difference to the unit of ten, as far as these runs can tell it.
func money(c *rotations.Calendar, x, err float64) string {
	unit := c.Currency + "/" + c.Area.Name
	x, err = c.Area.Per(x), c.Area.Per(err)
	switch n := study.Rounded10(math.Abs(x)); {
	case math.Abs(x) <= err:
		return "about as much money"
	case n == 0:
		return fmt.Sprintf("within 10 %s", unit)
	case x < 0:
		return fmt.Sprintf("%.0f %s less", n, unit)
	default:
		return fmt.Sprintf("%.0f %s more", n, unit)
	}
}

// words say what is taken otherwise.
func (x *whatIf) words(base *Plan) string {
	kind, rest, _ := strings.Cut(x.Path, "/")
	name, key, _ := strings.Cut(rest, "/")
	e := base.library.Find(kind, name)
	if e == nil || e.Value(key) == nil {
		return "another value of the library"
	}
	v := e.Value(key)
	return fmt.Sprintf("%s, %s, at %.3g and not %.3g", spoken(name), v.Short, x.At, v.Central)
}

// spoken is a library name in words, as answers have it.
func spoken(name string) string {
	if name == "spray-off" {
		return "burn-off"
	}
	return strings.ReplaceAll(name, "-", " ")
}

// mostChanges is how many changes are named.
const mostChanges = 3

// changes are what was changed between two versions: 18 Oct instead of 25 Sep.
func changes(before, after *rotations.Calendar) []string {
	var out []string
	add := func(text string) {
		if !slices.Contains(out, text) {
			out = append(out, text)
		}
	}
	out = append(out, fieldChanges(before.Place(), after.Place(), after.Area)...)
	for i := range min(len(before.Seasons), len(after.Seasons)) {
		a, b := &before.Seasons[i], &after.Seasons[i]
		for _, text := range seasonChanges(a, b) {
			add(text)
		}
	}
	if n, m := len(before.Seasons), len(after.Seasons); n != m {
		add(fmt.Sprintf("%d seasons instead of %d", m, n))
	}
	if len(out) > mostChanges {
		out = append(out[:mostChanges], fmt.Sprintf("and %d more changes", len(out)-mostChanges))
	}
	return out
}

func fieldChanges(a, b rotations.Place, shown rotations.Area) []string {
	var out []string
	for _, x := range [][2]string{{a.Soil, b.Soil}, {a.Climate, b.Climate}, {a.Weed, b.Weed}, {a.LastCrop, b.LastCrop}, {a.History, b.History}} {
		if x[0] != x[1] {
			out = append(out, spoken(x[1])+" instead of "+spoken(x[0]))
		}
	}
	if a.AreaHa != b.AreaHa {
		out = append(out, fmt.Sprintf("%s instead of %s", shown.Size(b.AreaHa), strings.TrimSuffix(shown.Size(a.AreaHa), " "+shown.Name)))
	}
	if a.Resistance != b.Resistance {
		out = append(out, "another resistance")
	}
	return out
}

// seasonChanges are those of one season. A day that comes again is told once.
func seasonChanges(a, b *rotations.Season) []string {
	x, y := &a.Courses[0], &b.Courses[0]
	if x.Crop.Name != y.Crop.Name {
		return []string{spoken(y.Crop.Name) + " instead of " + spoken(x.Crop.Name)}
	}
	var out []string
	crop := spoken(y.Crop.Name)
	if x.Drill != nil && y.Drill != nil {
		if s := days(x.Drill.On, y.Drill.On); s != "" {
			out = append(out, crop+" drilled "+s)
		}
		if s := days(x.Drill.Latest, y.Drill.Latest); s != "" {
			out = append(out, "the latest day for "+crop+" "+s)
		}
		if x.Drill.With != y.Drill.With && x.Drill.With.Name != y.Drill.With.Name {
			out = append(out, spoken(y.Drill.With.Name)+" instead of "+spoken(x.Drill.With.Name))
		}
		if x.Drill.SeedsPerM2 != y.Drill.SeedsPerM2 {
			out = append(out, fmt.Sprintf("%g seeds per m² instead of %g", y.Drill.SeedsPerM2, x.Drill.SeedsPerM2))
		}
	}
	out = append(out, coverChanges(a.Cover, b.Cover, crop)...)
	if s, t := fallback(a), fallback(b); s != t {
		out = append(out, t+" and not "+s+" where "+crop+" misses")
	}
	return append(out, workChanges(x.Operations, y.Operations, crop)...)
}

func fallback(s *rotations.Season) string {
	if len(s.Courses) > 1 {
		return spoken(s.Courses[1].Crop.Name)
	}
	return "nothing"
}

func days(a, b date.Day) string {
	if x, y := dateText(int(a), false), dateText(int(b), false); x != y {
		return y + " instead of " + x
	}
	return ""
}

func coverChanges(a, b *rotations.Cover, crop string) []string {
	switch {
	case a == nil && b == nil:
		return nil
	case a == nil:
		return []string{"a cover of " + spoken(b.Mix.Name) + " before " + crop}
	case b == nil:
		return []string{"no cover before " + crop}
	case a.Mix.Name != b.Mix.Name:
		return []string{"a cover of " + spoken(b.Mix.Name) + " instead of " + spoken(a.Mix.Name)}
	}
	var out []string
	if s := days(a.Sow, b.Sow); s != "" {
		out = append(out, "the cover sown "+s)
	}
	if s := days(a.Destroy, b.Destroy); s != "" {
		out = append(out, "the cover destroyed "+s)
	}
	return out
}

// workChanges compares lists of work by what is used and when, counted as the plan counts it.
func workChanges(a, b []rotations.Operation, crop string) []string {
	left := slices.Clone(a)
	var added []rotations.Operation
	for _, o := range b {
		i := slices.IndexFunc(left, func(x rotations.Operation) bool { return x.With.Name == o.With.Name && whenOf(&x) == whenOf(&o) })
		if i < 0 {
			added = append(added, o)
			continue
		}
		left = slices.Delete(left, i, i+1)
	}
	var out []string
	for _, o := range added {
		if i := slices.IndexFunc(left, func(x rotations.Operation) bool { return x.With.Name == o.With.Name }); i >= 0 {
			out = append(out, spoken(o.With.Name)+" "+whenOf(&o)+" instead of "+whenOf(&left[i]))
			left = slices.Delete(left, i, i+1)
			continue
		}
		out = append(out, spoken(o.With.Name)+" as well, in "+crop)
	}
	for _, o := range left {
		out = append(out, "no "+spoken(o.With.Name)+" "+whenOf(&o)+" in "+crop)
	}
	return out
}

func whenOf(o *rotations.Operation) string {
	switch o.Timing {
	case rotations.AfterDrilling:
		return fmt.Sprintf("%d days after drilling", o.Days)
	case rotations.WithDrilling:
		return "on the day of drilling"
	case rotations.BeforeDrilling:
		return fmt.Sprintf("%d days before drilling", o.Days)
	case rotations.AfterHarvest:
		return fmt.Sprintf("%d days after harvest", o.Days)
	}
	return dateText(int(o.On), false)
}
