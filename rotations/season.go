package rotations

import (
	"fmt"
	"slices"

	"rundown/params"
	"rundown/params/date"
	"rundown/params/sheet"
)

// Bounds of a season, in days.
const (
	longestSeason   = 488 // 16 months
	shortestDrilled = 80  // from drilling to harvest; no crop of the library is quicker
	shortestBare    = 120 // from opening to the end of a season in which nothing is drilled
	longestWait     = 120 // from the day wished to latest
	usualReach      = 60  // a usual day this little before the opening is moved to it
	tooNear         = 7   // a usual latest nearer to the drilling than this is put off
	drillWait       = 30  // latest of a drilling without a usual one
)

// span is the season that an operation belongs to.
type span struct {
	number    int
	crop      *params.Entry
	open, end date.Day
	cut       date.Day  // median harvest of the crop before
	after     date.Day  // of an alternative: the latest day of what was planned; else the day before the opening
	decide    date.Day  // of a season that is chosen: the day of deciding, on which its work can begin; else its opening
	drill     *Drilling // nil: nothing is drilled
	cover     *Cover    // nil: none
	file      string    // where the season was written; what comes from elsewhere is usual practice
	money     tariff
}

func (s *span) name() string { return fmt.Sprintf("season %d (%s)", s.number, s.crop.Name) }

// bounds describes the season in messages.
func (s *span) bounds() string {
	return fmt.Sprintf("%s, which lasts from %s to %s", s.name(), s.open.Short(), s.end.Short())
}

// early is a word about a day that was looked for in the season where the same day
// a year earlier is just before it, which is what was meant then; "" elsewhere.
func (s *span) early(on date.Day) string {
	const near = 60
	year, month, day := on.Date()
	before := date.Of(year-1, month, day)
	if gap := s.open - before; gap > 0 && gap <= near {
		return fmt.Sprintf("; %s is too early by %d days, for the season opens on %s", before.Short(), gap, s.open.Short())
	}
	return ""
}

// usual tells whether a value comes from the usual practice.
func (s *span) usual(at sheet.Place) bool { return at.File != s.file }

// seasons resolves seasons in turn, behind those that are, until one whose end cannot be told.
func (r *resolver) seasons(list []written) {
	open := r.c.Start
	if n := len(r.c.Seasons); n > 0 {
		open = r.c.Seasons[n-1].End + 1
	}
	for _, w := range list {
		s, ok := r.season(len(r.c.Seasons)+1, w, open)
		if !ok {
			return
		}
		r.before = s.HarvestYear
		r.c.Seasons = append(r.c.Seasons, s)
		r.c.written = append(r.c.written, w)
		open = s.End + 1
	}
}

func (r *resolver) season(number int, w written, open date.Day) (Season, bool) {
	sp := &span{number: number, open: open, cut: open - 1, after: open - 1, decide: max(open, r.deciding), file: w.season.Place.File}
	sp.crop = r.find("crops", w.season.Text("crop"))
	if sp.crop == nil {
		return Season{}, false
	}
	if number == 1 {
		sp.cut = r.harvestBefore()
	}
	sp.money = r.tariff(w.season.Map("economics"))
	r.c.money = append(r.c.money, sp.money)
	if v := w.season.Get("years"); v != nil && v.Number > 1 && sp.crop.Text["perennial"] != "yes" {
		r.m.Add(v.Place, "%s does not stand for %s years; years is for leys: write the season once for each year", sp.crop.Name, v.Text)
	}
	full := sheet.Over(w.season, r.usualOf(sp.crop))
	if w.year > 1 {
		full = full.Only("in_crop", "harvest", "economics", "cultivar_factor")
	}
	drill, ok := r.drilling(full, sp)
	if !ok {
		return Season{}, false
	}
	sp.drill = drill
	sp.end = r.harvest(sp.crop, open, drill)
	s := Season{Open: open, End: sp.end, HarvestYear: sp.end.Year(), Place: w.season.Place.String(), StandsOn: w.year > 1, OwnFallback: w.season.Has("otherwise")}
	if !r.length(w, sp) {
		return Season{}, false
	}
	s.Cover = r.cover(full.Map("cover"), sp)
	sp.cover = s.Cover
	s.Courses = r.courses(w, full, sp)
	for _, w := range append(coverSprayed(&s, number), countedBefore(&s, number)...) {
		r.warn(w)
	}
	return s, true
}

// usualOf is the usual practice of a crop.
func (r *resolver) usualOf(crop *params.Entry) *sheet.Mapping {
	if u, ok := r.usual[crop.Name]; ok {
		return u
	}
	n, _ := crop.Usual.(*sheet.Node)
	u := sheet.ReadAt(n, seasonTable(false), "usual", r.m)
	walk(u, func(v *sheet.Value) {
		if v.Map != nil && v.Key.Kind == sheet.Nested && v.Key.Table.Key("days_after_drilling") != nil {
			oneTiming(v, r.m)
		}
		if v.Key.Kind == sheet.Name {
			r.known(v.Place, v.Key.Library, v.Text)
		}
	})
	r.usual[crop.Name] = u
	return u
}

// harvest is the median harvest that ends a season: the first after the crop
// can have grown.
func (r *resolver) harvest(crop *params.Entry, open date.Day, drill *Drilling) date.Day {
	from := open + shortestBare
	if drill != nil {
		from = drill.On + shortestDrilled
	}
	v := crop.Value("harvest_date")
	if v == nil {
		return from
	}
	end, _ := date.AnnualOf(int(v.Central)).OnOrAfter(from)
	return end
}

// harvestBefore is the median harvest of the crop before the start, which is off the
// field by then.
func (r *resolver) harvestBefore() date.Day {
	const ahead = 60 // a start so long before the harvest means that it was early
	if r.c.LastCrop == nil || r.c.LastCrop.Value("harvest_date") == nil {
		return r.c.Start - 1
	}
	cut, _ := date.AnnualOf(int(r.c.LastCrop.Value("harvest_date").Central)).OnOrAfter(r.c.Start - 365 + ahead)
	return min(cut, r.c.Start)
}

// afterHarvest is a day so many days after the harvest before. One that has just gone by
// when the plan starts is moved to the start; not ok when it is long gone by.
func (r *resolver) afterHarvest(days int, what string, sp *span) (on date.Day, ok bool) {
	on = sp.cut + date.Day(days)
	if on >= sp.open {
		return on, true
	}
	if sp.open-on > usualReach {
		return on, false
	}
	r.note("%s: %d days after harvest %s would have been on %s; done from %s on, the start", sp.name(), days, what, on.Short(), sp.open.Short())
	return sp.open, true
}

// length checks how long a season is, and that it is the only one of its
// harvest year.
func (r *resolver) length(w written, sp *span) bool {
	at := w.season.Place
	if v := w.season.Map("drill").Get("date"); v != nil {
		at = v.Place
	}
	if days := int(sp.end - sp.open); days > longestSeason {
		why := "a crop is missing before it"
		if sp.drill != nil {
			why = fmt.Sprintf("the drilling falls on %s, for it is looked for from %s on", sp.drill.On.Short(), sp.open.Short())
		}
		r.m.Add(at, "%s would last from %s to %s; a season is at most 16 months long: %s", sp.name(), sp.open.Short(), sp.end.Short(), why)
		return false
	}
	if r.before == sp.end.Year() {
		r.m.Add(at, "%s would be harvested on %s, in the same year as the season before it; each harvest year has one season", sp.name(), sp.end.Short())
		return false
	}
	return true
}

// day gives a date its year: the first on or after another day.
func (r *resolver) day(v *sheet.Value, from date.Day) (date.Day, bool) {
	if v.Date.Full {
		return v.Date.Day, true
	}
	d, ok := v.Date.Annual.OnOrAfter(from)
	if !ok {
		r.m.Add(v.Place, "%s falls in %d, which is no leap year; write 28 Feb or 1 Mar", v.Text, d.Year())
	}
	return d, ok
}

// nearby moves a usual day that has just gone by at the opening to it.
func (sp *span) nearby(v *sheet.Value, on date.Day) (moved date.Day, ok bool) {
	if v.Date.Full {
		return on, false
	}
	before, _ := v.Date.Annual.In(on.Year() - 1)
	return sp.open, sp.open-before <= usualReach
}

// warn notes a warning, once.
func (r *resolver) warn(w Warning) {
	if !slices.Contains(r.c.Warnings, w) {
		r.c.Warnings = append(r.c.Warnings, w)
	}
}

func (r *resolver) note(format string, args ...any) {
	s := fmt.Sprintf(format, args...)
	for _, n := range r.c.Notes {
		if n == s {
			return
		}
	}
	r.c.Notes = append(r.c.Notes, s)
}
