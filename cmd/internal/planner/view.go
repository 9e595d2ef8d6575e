package planner

import (
	"fmt"
	"slices"
	"strings"

	"rundown/params"
	"rundown/params/date"
	"rundown/params/sheet"
	"rundown/rotations"
)

// view is a plan as the page draws it. Days count from 1 January 1970.
type view struct {
	Field    map[string]any `json:"field"` // by path: what is written; absent where nothing is
	Usual    map[string]any `json:"usual"` // by path: what is taken where nothing is written
	Seasons  []seasonView   `json:"seasons"`
	Repeat   int            `json:"repeat"`
	Rotation string         `json:"rotation"`
	Currency string         `json:"currency"`
	Size     string         `json:"size"` // of the field, in the unit of land that the plan is shown in: 9 ha
	Notes    []string       `json:"notes"`
	Values   []valueView    `json:"values"`
}

// seasonView is one season; Path and Entry say where it is written.
type seasonView struct {
	Path      string   `json:"path"`
	Entry     int      `json:"entry"`
	Times     int      `json:"times"` // seasons of the calendar that are written there, ley years apart
	Year      int      `json:"year"`
	Years     int      `json:"years"`
	Harvest   int      `json:"harvest"`
	Crop      string   `json:"crop"`
	Open      int      `json:"open"`
	End       int      `json:"end"`
	Cut       int      `json:"cut"` // the harvest before
	Bare      bool     `json:"bare"`
	StandsOn  bool     `json:"standsOn"`
	Cover     string   `json:"cover"`
	With      string   `json:"with"` // the drill
	Seeds     string   `json:"seeds"`
	Otherwise string   `json:"otherwise"`
	Branches  []string `json:"branches"` // crops that are chosen among on the way; none where nothing is
	Drawn     bool     `json:"drawn"`    // all of it is drawn here; else it is left to the text
	Marks     []mark   `json:"marks"`
}

// mark is one day of a season: of work, of the drilling, of a cover.
type mark struct {
	ID      string `json:"id"` // drill.date, drill.latest, cover.sow, cover.destroy, herbicides[0]
	Path    string `json:"path"`
	Kind    string `json:"kind"` // cultivate, spray_off, herbicides, in_crop, drill, latest, sow, destroy
	What    string `json:"what"` // name in the library
	Day     int    `json:"day"`
	Written bool   `json:"written"` // else it is usual practice
	From    string `json:"from"`    // what the plan counts it from: date, after-drilling, before-drilling, after-harvest
	If      string `json:"if"`      // it is done only if this holds; "" where it always is
	Days    int    `json:"days"`    // so many
	Ref     int    `json:"ref"`     // the day it is counted from
	Low     int    `json:"low"`     // between which days it can be moved
	High    int    `json:"high"`
}

// valueView is a value that may be asked "what if" of.
type valueView struct {
	Path  string  `json:"path"`
	Short string  `json:"short"`
	Unit  string  `json:"unit"`
	At    float64 `json:"at"`
	Low   float64 `json:"low"` // its 5 and 95 % points
	High  float64 `json:"high"`
}

// view draws a plan that has no mistakes.
func (p *Plan) view() *view {
	c := p.Calendar
	v := &view{Field: map[string]any{}, Usual: map[string]any{}, Currency: c.Currency, Size: c.Area.Size(c.AreaHa),
		Repeat: int(p.plan.Root.Number("repeat", 1)), Rotation: p.plan.Root.Text("rotation")}
	v.Notes = append([]string{}, c.Notes...)
	for _, section := range []string{"field", "weed"} {
		m := p.plan.Root.Map(section)
		for _, name := range m.Names {
			if x := m.Get(name); x != nil {
				v.Field[section+"."+name] = plainValue(x)
			}
		}
	}
	v.Usual["field.name"], v.Usual["field.history"], v.Usual["field.last_crop"] = c.Name, c.History.Name, c.LastCrop.Name
	times := map[string]int{}
	for i := range c.Seasons {
		if w := c.Written(i); w.Year == 1 {
			times[w.Path]++
		}
	}
	for i := range c.Seasons {
		s := p.season(i)
		s.Times = times[s.Path]
		v.Seasons = append(v.Seasons, s)
	}
	v.Values = p.values()
	return v
}

// values are those of the library that may be asked "what if" of: what runs draw, and the
// prices of the crops, whose ranges are only stated.
func (p *Plan) values() []valueView {
	var out []valueView
	add := func(x *params.Value, low, high float64) {
		known := slices.ContainsFunc(out, func(v valueView) bool { return v.Path == x.Path })
		if strings.Count(x.Path, "/") == 2 && x.Unit != "date" && x.Row == nil && high > low && !known {
			out = append(out, valueView{x.Path, x.Short, strings.Replace(x.Unit, "money", p.Calendar.Currency, 1), x.Central, low, high})
		}
	}
	for i := range p.Calendar.Seasons {
		if x := p.Calendar.Seasons[i].Courses[0].Crop.Value("price"); x != nil && x.Spread.Kind == params.Stated {
			add(x, x.Spread.A, x.Spread.B)
		}
	}
	for _, x := range p.Calendar.Space.Values {
		add(x, x.Quantile(0.05), x.Quantile(0.95))
	}
	return out
}

// plainValue is what is written under a key, for JSON.
func plainValue(v *sheet.Value) any {
	switch {
	case v.Range():
		return map[string]any{"low": v.Low, "high": v.High}
	case v.Map != nil:
		out := map[string]any{}
		for _, n := range v.Map.Names {
			if x := v.Map.Get(n); x != nil {
				out[n] = plainValue(x)
			}
		}
		return out
	}
	switch v.Key.Kind {
	case sheet.Number, sheet.Whole, sheet.Uncertain:
		return v.Number
	case sheet.FullDate, sheet.EitherDate, sheet.AnnualDate:
		return v.Date.String()
	}
	return v.Text
}

func (p *Plan) season(i int) seasonView {
	c := p.Calendar
	s, w, full := &c.Seasons[i], c.Written(i), c.Filled(i)
	course := &s.Courses[0]
	out := seasonView{Path: w.Path, Entry: w.Entry, Year: w.Year, Years: w.Years, Harvest: s.HarvestYear, Crop: course.Crop.Name,
		Open: int(s.Open), End: int(s.End), Cut: int(c.HarvestBefore(i)), Bare: course.Crop.Text["season"] == "none", StandsOn: s.StandsOn, Marks: []mark{}}
	out.Branches, out.Drawn = []string{}, entryForm.MatchString(w.Path)
	if r := c.Rules; r != nil && i < len(r.Years) && len(r.Years[i].Branches) > 1 {
		for _, b := range r.Years[i].Branches {
			out.Branches = append(out.Branches, b.Crop)
		}
	}
	if v := full.Get("otherwise"); v != nil && v.Map != nil {
		out.Otherwise = v.Map.Text("crop")
	} else if v != nil {
		out.Otherwise = v.Text
	}
	m := marker{season: &out, path: w.Path, full: full}
	if k := s.Cover; k != nil {
		out.Cover = k.Mix.Name
		m.cover(k)
	}
	if d := course.Drill; d != nil {
		out.With, out.Seeds = d.With.Name, sheet.Plain(d.SeedsPerM2)
		m.drill(d)
	}
	for k := range course.Operations {
		m.operation(&course.Operations[k], course.Drill)
	}
	return out
}

// marker makes the marks of a season.
type marker struct {
	season *seasonView
	path   string
	full   *sheet.Mapping
}

func (m *marker) add(x mark) {
	if x.Path == "" {
		x.Path = m.path + "." + x.ID
	}
	x.High = max(x.High, x.Day)
	x.Low = min(x.Low, x.Day)
	m.season.Marks = append(m.season.Marks, x)
}

// written tells whether a value is of the plan.
func (m *marker) written(v *sheet.Value) bool { return v != nil && strings.HasPrefix(v.Path, m.path) }

func (m *marker) cover(k *rotations.Cover) {
	s, of := m.season, m.full.Map("cover")
	sow := mark{ID: "cover.sow", Kind: "sow", What: k.Mix.Name, Day: int(k.Sow), Written: true, From: "date", Low: s.Open, High: int(k.Destroy) - 1}
	if k.AfterHarvest > 0 {
		sow.From, sow.Days, sow.Ref, sow.Path = "after-harvest", k.AfterHarvest, s.Cut, m.path+".cover.days_after_harvest"
	}
	m.add(sow)
	end := s.End
	if d := of.Get("destroy"); d == nil {
		return
	}
	m.add(mark{ID: "cover.destroy", Kind: "destroy", What: k.DestroyWith.Name, Day: int(k.Destroy), Written: true, From: "date", Low: int(k.Sow) + 1, High: end})
}

func (m *marker) drill(d *rotations.Drilling) {
	s, of := m.season, m.full.Map("drill")
	m.add(mark{ID: "drill.date", Kind: "drill", What: d.With.Name, Day: int(d.On), Written: m.written(of.Get("date")), From: "date",
		Low: s.Open, High: s.End - 80})
	m.add(mark{ID: "drill.latest", Kind: "latest", What: s.Crop, Day: int(d.Latest), Written: m.written(of.Get("latest")), From: "date",
		Low: int(d.On), High: min(int(d.On)+120, s.End-80)})
}

var listOf = map[rotations.Action]string{rotations.Cultivate: "cultivate", rotations.SprayOff: "spray_off",
	rotations.Herbicide: "herbicides", rotations.InCrop: "in_crop"}

func (m *marker) operation(o *rotations.Operation, d *rotations.Drilling) {
	s := m.season
	x := mark{ID: o.Path[strings.LastIndex(o.Path, ".")+1:], Path: o.Path, Kind: listOf[o.Action], What: o.With.Name, Day: int(o.On),
		Written: strings.HasPrefix(o.Path, m.path), From: "date", Low: s.Open, High: s.End}
	if o.If != nil {
		x.If = o.If.Text
	}
	switch o.Timing {
	case rotations.AfterDrilling:
		x.From, x.Days, x.Ref, x.Day = "after-drilling", o.Days, int(d.On), int(d.On)+o.Days
		x.Low = x.Ref
	case rotations.WithDrilling, rotations.BeforeDrilling:
		x.From, x.Days, x.Ref, x.Day = "before-drilling", o.Days, int(d.On), int(d.On)-o.Days
		x.High = x.Ref
	case rotations.AfterHarvest:
		x.From, x.Days, x.Ref = "after-harvest", o.Days, s.Cut
		x.Low = max(s.Open, s.Cut+1)
	default:
		if d != nil && (o.Action == rotations.Herbicide || o.Action == rotations.InCrop) {
			x.Low = int(d.On)
		} else if d != nil {
			x.High = int(d.Latest)
		}
	}
	m.add(x)
}

// dateText writes a day as the plan does: without its year, unless the one before had one.
func dateText(day int, full bool) string {
	d := date.Day(day)
	if full {
		return d.String()
	}
	_, month, of := d.Date()
	return fmt.Sprintf("%d %s", of, month.String()[:3])
}
