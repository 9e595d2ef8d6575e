package rotations

import (
	"fmt"
	"strings"

	"rundown/params/date"
	"rundown/params/sheet"
)

// writeSeason writes one season; the later years of a ley are in its first.
func (c *Calendar) writeSeason(s *scribe, season *Season, w *written) {
	if season.StandsOn {
		return
	}
	s.line(1, fmt.Sprintf("# harvest %d: from %s to %s", season.HarvestYear, season.Open.Short(), season.End.Short()), "")
	s.season(1, season, w, nil)
}

// season writes a season as an entry of a list, which begins with its condition where it is
// the branch of a choice.
func (s *scribe) season(at int, season *Season, w *written, cond *Condition) {
	planned := &season.Courses[0]
	lead := "- "
	if cond != nil {
		s.line(at, lead+cond.ifWritten(), cond.as.Place.String())
		lead = "  "
	}
	s.line(at, lead+"crop: "+planned.Crop.Name, season.Place)
	in := at + 1
	day := date.Day.String
	if w.years > 1 {
		s.line(in, fmt.Sprintf("years: %d", w.years), season.Place)
		day = func(d date.Day) string { return annual(d).String() } // it holds for every year
	}
	if k := season.Cover; k != nil {
		sow := fmt.Sprintf("sow: %s, latest: %s", k.Sow, k.Latest)
		if k.AfterHarvest > 0 {
			sow = fmt.Sprintf("days_after_harvest: %d", k.AfterHarvest)
		}
		s.line(in, fmt.Sprintf("cover: {mix: %s, %s, destroy: %s, destroy_with: %s%s}", k.Mix.Name, sow, k.Destroy, k.DestroyWith.Name, k.If.after()), season.Place)
	}
	for _, action := range []Action{Cultivate, SprayOff} {
		s.operations(in, planned, action, day)
	}
	if planned.Drill != nil {
		s.drill(in, planned.Drill, w.season.Map("drill"))
	}
	for _, action := range []Action{Herbicide, InCrop} {
		s.operations(in, planned, action, day)
	}
	s.line(in, "harvest: "+planned.harvest(), w.origin("harvest"))
	if planned.CultivarFactor != 1 {
		s.line(in, "cultivar_factor: "+sheet.Plain(planned.CultivarFactor), w.origin("cultivar_factor"))
	}
	s.mapping(in, "economics", w.season.Get("economics"))
	if planned.Drill != nil {
		s.otherwise(in, season, w.season.Map("otherwise"), w.origin("otherwise"))
	}
}

// origin says where a part of a season comes from.
func (w *written) origin(key string) string {
	if v := w.season.Get(key); v != nil {
		return v.Place.String()
	}
	return usualPractice
}

// otherwise writes the alternative to the planned crop. Fallow is what is left
// when there is none, and needs no words.
func (s *scribe) otherwise(in int, season *Season, written *sheet.Mapping, origin string) {
	alt := &season.Courses[1]
	switch {
	case len(season.Courses) == 2 && alt.Drill == nil && origin == usualPractice:
		return
	case alt.Drill == nil:
		s.line(in, "otherwise: "+alt.Crop.Name, origin)
		return
	}
	s.line(in, "otherwise:", origin)
	s.line(in+1, "crop: "+alt.Crop.Name, origin)
	s.drill(in+1, alt.Drill, written.Map("drill"))
	s.operations(in+1, alt, Herbicide, date.Day.String)
}

// operations writes the list of the operations of one action.
func (s *scribe) operations(indent int, c *Course, action Action, day func(date.Day) string) {
	name, with := "", ""
	for _, l := range lists {
		if l.action == action {
			name, with = l.key, l.with
		}
	}
	var ops []*Operation
	for i := range c.Operations {
		if c.Operations[i].Action == action {
			ops = append(ops, &c.Operations[i])
		}
	}
	if len(ops) == 0 {
		s.line(indent, name+": []", "")
		return
	}
	s.line(indent, name+":", "")
	for _, o := range ops {
		s.line(indent+1, "- "+o.flow(with, day, c.Drill), o.Place)
	}
}

func (o *Operation) flow(with string, day func(date.Day) string, drill *Drilling) string {
	var parts []string
	switch o.Timing {
	case AfterDrilling:
		parts = append(parts, fmt.Sprintf("days_after_drilling: %d", o.Days))
	case AfterHarvest:
		parts = append(parts, fmt.Sprintf("days_after_harvest: %d", o.Days))
	case WithDrilling:
		parts = append(parts, "days_before_drilling: 0")
	case BeforeDrilling:
		parts = append(parts, fmt.Sprintf("days_before_drilling: %d", o.Days))
	default:
		parts = append(parts, "date: "+day(o.On))
	}
	parts = append(parts, with+": "+o.With.Name)
	if o.Timing == OnDate || o.Timing == BeforeDrilling && !(o.goesWithDrill() && o.Latest == drill.Latest) {
		parts = append(parts, "latest: "+day(o.Latest))
	}
	if o.GoodPlough {
		parts = append(parts, "quality: good")
	}
	if o.If != nil {
		parts = append(parts, o.If.ifWritten())
	}
	return "{" + strings.Join(parts, ", ") + "}"
}

// drill writes a drilling, in the full form with the origin of each of its keys.
func (s *scribe) drill(indent int, d *Drilling, written *sheet.Mapping) {
	parts := [...][2]string{{"date", d.On.String()}, {"latest", d.Latest.String()}, {"with", d.With.Name}, {"seeds_per_m2", sheet.Plain(d.SeedsPerM2)}}
	if !s.full {
		var flow []string
		for _, p := range parts {
			flow = append(flow, p[0]+": "+p[1])
		}
		s.line(indent, "drill: {"+strings.Join(flow, ", ")+"}", "")
		return
	}
	s.line(indent, "drill:", "")
	for _, p := range parts {
		origin := usualPractice
		if v := written.Get(p[0]); v != nil {
			origin = v.Place.String()
		}
		s.line(indent+1, p[0]+": "+p[1], origin)
	}
}

func (c *Course) harvest() string {
	straw := "removed"
	if c.StrawChopped {
		straw = "chopped"
	}
	if c.HarvestWith != nil {
		return fmt.Sprintf("{straw: %s, with: %s%s}", straw, c.HarvestWith.Name, c.HarvestIf.after())
	}
	return "{straw: " + straw + "}"
}
