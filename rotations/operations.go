package rotations

import (
	"cmp"
	"slices"

	"rundown/params"
	"rundown/params/date"
	"rundown/params/sheet"
)

// lists are the lists of work of a season, in the order of actions.
var lists = [...]struct {
	key     string
	action  Action
	kind    string
	with    string // the key that names what is used
	roles   []string
	what    string // in messages
	latest  int    // days after which it lapses
	planned bool   // it may not come before drilling
}{
	{"spray_off", SprayOff, "herbicides", "with", []string{"non-selective"}, "the spray", 10, false},
	{"cultivate", Cultivate, "implements", "with", []string{"cultivator"}, "the cultivation", 14, false},
	{"herbicides", Herbicide, "herbicides", "programme", []string{"programme", "contact"}, "the herbicide", 10, true},
	{"in_crop", InCrop, "implements", "with", []string{"in-crop"}, "the work in the crop", 14, true},
}

// sprayOff is the non-selective spray of a plan that names none.
const sprayOff = "spray-off"

// usualPractice is the place of what no plan wrote.
const usualPractice = "usual practice"

// operations resolves the work of a course, in order of the day planned and on
// one day in that of the actions.
func (r *resolver) operations(full *sheet.Mapping, sp *span) []Operation {
	var ops []Operation
	for i := range lists {
		for _, v := range full.List(lists[i].key) {
			if op, ok := r.operation(v, i, sp); ok && !r.endsCover(&op, v, i, sp) && (v.Map == nil || r.ruled(&op, v, i, sp)) {
				ops = append(ops, op)
			}
		}
	}
	byDay(ops, sp.drill)
	r.sprayedOften(ops, sp)
	return ops
}

// endsCover tells of usual work that would end a cover before its time, and notes it: nobody
// sows a cover and sprays it off as stubble. What the plan itself writes is done.
func (r *resolver) endsCover(o *Operation, v *sheet.Value, list int, sp *span) bool {
	k := sp.cover
	if k == nil || !sp.usual(v.Place) || o.Action != SprayOff && o.Action != Cultivate {
		return false
	}
	on := o.due(sp.drill)
	if first := o.Action == Cultivate && on == k.Sow; first || on < k.Sow || on >= k.Destroy { // ground is worked for a cover on its day
		return false
	}
	r.misfit(v.Place, list, sp, "on %s would end the cover, which is sown on %s to stand until %s; if it is meant, write it under %s", on.Short(),
		k.Sow.Short(), k.Destroy.Short(), lists[list].key)
	return true
}

func byDay(ops []Operation, drill *Drilling) {
	slices.SortStableFunc(ops, func(a, b Operation) int {
		return cmp.Or(cmp.Compare(a.due(drill), b.due(drill)), cmp.Compare(a.Action, b.Action))
	})
}

// due is the day on which an operation is planned.
func (o *Operation) due(d *Drilling) date.Day {
	switch {
	case o.Timing == AfterDrilling:
		return d.On + date.Day(o.Days)
	case o.Timing == WithDrilling:
		return d.On
	}
	return o.On
}

func (r *resolver) operation(v *sheet.Value, list int, sp *span) (Operation, bool) {
	l := &lists[list]
	op := Operation{Action: l.action, LatestAfter: l.latest, Place: v.Place.String(), Path: v.Path}
	if sp.usual(v.Place) {
		op.Place = usualPractice
	}
	op.With = r.implement(v, list, sp)
	if l.action == Herbicide && op.With != nil && !r.usedIn(&op, v, sp) {
		return op, false
	}
	op.GoodPlough = v.Map.Text("quality") == "good"
	dated := v
	if v.Map != nil {
		dated = v.Map.Get("date")
	}
	if dated != nil {
		return op, r.onDate(&op, v, dated, list, sp) && op.With != nil
	}
	if days := v.Map.Get("days_after_harvest"); days != nil {
		return op, r.fromHarvest(&op, days, list, sp) && op.With != nil
	}
	days, after := v.Map.Get("days_after_drilling"), true
	if days == nil {
		days, after = v.Map.Get("days_before_drilling"), false
	}
	if days == nil {
		return op, false // noted when the plan was read
	}
	if sp.drill == nil {
		if !sp.usual(v.Place) {
			r.m.Add(days.Place, "%s is counted from the drilling, but nothing is drilled in %s; write a date", l.what, sp.name())
		}
		return op, false
	}
	op.Days = int(days.Number)
	if after {
		return op, r.afterDrilling(&op, days, list, sp) && op.With != nil
	}
	return op, r.beforeDrilling(&op, v.Map, days, list, sp) && op.With != nil
}

// implement is what an operation is done with.
func (r *resolver) implement(v *sheet.Value, list int, sp *span) *params.Entry {
	l := &lists[list]
	if name := v.Map.Get(l.with); name != nil {
		return r.at(r.role(name, l.kind, l.roles...), sp.money)
	}
	if l.action == SprayOff && !v.Map.Said(l.with) {
		return r.at(r.need("herbicides", sprayOff), sp.money)
	}
	return nil
}

func (r *resolver) afterDrilling(op *Operation, days *sheet.Value, list int, sp *span) bool {
	op.Timing = AfterDrilling
	if on := sp.drill.On + date.Day(op.Days); on > sp.end {
		return r.misfit(days.Place, list, sp, "on %s, %d days after drilling, falls outside %s", on.Short(), op.Days, sp.bounds())
	}
	return true
}

func (r *resolver) beforeDrilling(op *Operation, p *sheet.Mapping, days *sheet.Value, list int, sp *span) bool {
	if op.Days == 0 {
		op.Timing = WithDrilling
		return true
	}
	op.Timing = BeforeDrilling
	op.On = sp.drill.On - date.Day(op.Days)
	if op.On <= sp.after {
		if sp.after == sp.open-1 && !sp.usual(days.Place) {
			return r.misfit(days.Place, list, sp, "on %s, counted back from the drilling on %s, falls outside %s", op.On.Short(), sp.drill.On.Short(), sp.bounds())
		}
		op.On = sp.after + 1
		op.Days = int(sp.drill.On - op.On)
		if op.Days <= 0 { // no day is left before the drill
			op.Timing, op.Days = WithDrilling, 0
			return true
		}
	}
	if !r.beforeDeciding(op, days.Place, list, sp) {
		return false
	}
	op.Days = int(sp.drill.On - op.On)
	return r.latest(op, p, list, sp)
}

// fromHarvest resolves work counted from the harvest before.
func (r *resolver) fromHarvest(op *Operation, days *sheet.Value, list int, sp *span) bool {
	l := &lists[list]
	op.Timing, op.Days = AfterHarvest, int(days.Number)
	on, ok := r.afterHarvest(op.Days, l.what, sp)
	if !ok {
		return r.misfit(days.Place, list, sp, "on %s, %d days after the harvest before, comes long before the start on %s; write a date", on.Short(),
			op.Days, sp.open.Short())
	}
	op.On = on
	op.Latest = min(on+date.Day(l.latest), sp.end)
	if !sp.usual(days.Place) && !r.beforeDeciding(op, days.Place, list, sp) {
		return false
	}
	return r.within(op, days, list, sp)
}

// onDate resolves work on a date, and checks it against the season.
func (r *resolver) onDate(op *Operation, v, dated *sheet.Value, list int, sp *span) bool {
	on, ok := r.day(dated, sp.open)
	if !ok {
		return false
	}
	if on > sp.late(list) && sp.usual(v.Place) {
		if moved, near := sp.nearby(dated, on); near {
			on = moved
		}
	}
	op.On = on
	return r.within(op, dated, list, sp) && r.beforeDeciding(op, v.Place, list, sp) && r.latest(op, v.Map, list, sp)
}

// late is the latest day on which work of a list may be planned.
func (sp *span) late(list int) date.Day {
	if sp.drill != nil && !lists[list].planned {
		return min(sp.end, sp.drill.Latest)
	}
	return sp.end
}

// within checks the day of work against the season.
func (r *resolver) within(op *Operation, dated *sheet.Value, list int, sp *span) bool {
	on, late := op.On, sp.late(list)
	switch {
	case on <= sp.after && sp.after >= sp.open:
		return false // done before the alternative was turned to
	case on < sp.open || on > sp.end:
		return r.misfit(dated.Place, list, sp, "on %s falls outside %s%s", on.Short(), sp.bounds(), sp.early(on))
	case on > late:
		return r.misfit(dated.Place, list, sp, "on %s comes after %s, the latest day for drilling %s; after drilling write days_after_drilling%s",
			on.Short(), sp.drill.Latest.Short(), sp.crop.Name, sp.early(on))
	case lists[list].planned && sp.drill != nil && on < sp.drill.On:
		return r.misfit(dated.Place, list, sp, "on %s comes before %s is drilled on %s", on.Short(), sp.crop.Name, sp.drill.On.Short())
	}
	return true
}

// latest finds the day after which work lapses.
func (r *resolver) latest(op *Operation, p *sheet.Mapping, list int, sp *span) bool {
	l := &lists[list]
	op.Latest = min(op.On+date.Day(l.latest), sp.end)
	if op.goesWithDrill() {
		op.Latest = sp.drill.Latest
	}
	v := p.Get("latest")
	if v == nil {
		return true
	}
	latest, ok := r.day(v, op.On)
	if !ok || !r.waits(v, op.On, latest, l.what) {
		return false
	}
	if latest > sp.end {
		return r.misfit(v.Place, list, sp, "has its latest day on %s, outside %s", latest.Short(), sp.bounds())
	}
	op.Latest = latest
	return true
}

// goesWithDrill tells of a burn-off counted back from the drilling: it waits as
// long as the drill does, unless the plan gives it a latest day of its own.
func (o *Operation) goesWithDrill() bool { return o.Timing == BeforeDrilling && o.Action == SprayOff }

// misfit notes work that does not fit its season: a mistake in a plan, a note
// where it is usual practice, which is then left out.
func (r *resolver) misfit(at sheet.Place, list int, sp *span, format string, args ...any) bool {
	format = lists[list].what + " " + format
	if sp.usual(at) {
		r.note("%s, usual practice left out: "+format, append([]any{sp.name()}, args...)...)
	} else {
		r.m.Add(at, format, args...)
	}
	return false
}
