package rotations

import (
	"rundown/params"
	"rundown/params/date"
)

// FactKind is what a fact of a field's past is about.
type FactKind string

// Kinds of facts.
const (
	FactField     FactKind = "field"     // Name soil, With climate; Number ha
	FactWeather   FactKind = "weather"   // Name generated, record, resampled or fitted; With what follows the record; Sum, On, Days of it
	FactBefore    FactKind = "before"    // Name history, With last crop
	FactWeed      FactKind = "weed"      // Name weed, With resistance; On the start; Number seeds per m² brought in a season
	FactWaits     FactKind = "waits"     // Name how work waits, where it does not wait as usual
	FactSeedbank  FactKind = "seedbank"  // Name layer; Number, Spread seeds per m²
	FactHeads     FactKind = "heads"     // Number, Spread of the last June, per m²
	FactTrend     FactKind = "trend"     // Number, Spread of one year's seed over that of the year before
	FactSeason    FactKind = "season"    // Name crop; On the day it opens
	FactCover     FactKind = "cover"     // Name mix; On sown, Latest; Yes counted from the harvest before
	FactDestroyed FactKind = "destroyed" // of a cover; On, With
	FactOtherwise FactKind = "otherwise" // Name crop
	FactWork      FactKind = "work"      // Name operation, With its timing; On, Latest, or Days, Within; Yes well ploughed
	FactDrilled   FactKind = "drilled"   // Name crop, With drill; On, Latest; Number seeds per m², Factor of heads
	FactHarvested FactKind = "harvested" // Name crop, With combine; Yes straw chopped
)

// A Fact is one thing that a plan says of a field's past. Facts are the same
// when all of their values are: words that are made of them are no part of it.
// Dates are ISO 8601, "" for none. Which fields a kind fills stands with the kinds.
type Fact struct {
	What    FactKind `json:"what"`
	Harvest int      `json:"harvest,omitempty"` // year of the season; 0 of the field
	Name    string   `json:"name,omitempty"`
	With    string   `json:"with,omitempty"`
	On      string   `json:"on,omitempty"`
	Latest  string   `json:"latest,omitempty"`
	Days    int      `json:"days,omitempty"`   // after what the timing counts from; of a record, its length
	Within  int      `json:"within,omitempty"` // at the latest so many days later
	Number  float64  `json:"number,omitempty"`
	Factor  float64  `json:"factor,omitempty"`
	Spread  string   `json:"spread,omitempty"` // of the number, as plans write it
	Sum     string   `json:"sum,omitempty"`    // SHA-256 of a record's days
	Yes     bool     `json:"yes,omitempty"`
	Unset   bool     `json:"unset,omitempty"` // the plan leaves the number out
}

// Past is what the plan says of a field up to a day: where it starts from, and
// what is planned to be done by then. Plans with the same Past make the same of
// the same weather and luck until that day. Money is no part of it.
func (c *Calendar) Past(until date.Day) []Fact {
	p := c.Place()
	out := []Fact{
		{What: FactField, Name: p.Soil, With: p.Climate, Number: p.AreaHa},
		c.weatherBy(until),
		{What: FactBefore, Name: p.History, With: p.LastCrop},
		{What: FactWeed, Name: p.Weed, With: p.Resistance, On: c.Start.String(), Number: p.ImportPerM2},
	}
	if c.WorkOnItsDay {
		out = append(out, Fact{What: FactWaits, Name: p.Work})
	}
	if c.HasSeedbank {
		for l, key := range params.Layers {
			out = append(out, of(FactSeedbank, key, c.Seedbank[l]))
		}
		out = append(out, of(FactSeedbank, "fresh", c.FreshPerM2))
	} else {
		out = append(out, of(FactHeads, "", c.Heads), of(FactTrend, "", c.Trend))
	}
	for i := range c.Seasons {
		if c.Seasons[i].Open <= until {
			out = append(out, c.Seasons[i].past(until)...)
		}
	}
	return out
}

// of is the fact of a quantity that a plan states or leaves out.
func of(what FactKind, of string, v *params.Value) Fact {
	f := Fact{What: what, Name: of, Unset: v == nil}
	if v != nil {
		f.Number = v.Central
		if v.Drawn() {
			f.Spread = v.Spread.String()
		}
	}
	return f
}

// harvestAhead is how long before the median harvest of a crop its own may come.
const harvestAhead = 45

// past is what is planned of a season by a day. What is counted from the
// drilling is taken from its planned day; the crop grown otherwise belongs to the
// past once the planned one is given up.
func (s *Season) past(until date.Day) []Fact {
	var out []Fact
	add := func(f Fact) {
		f.Harvest = s.HarvestYear
		out = append(out, f)
	}
	add(Fact{What: FactSeason, Name: s.Courses[0].Crop.Name, On: s.Open.String()})
	if k := s.Cover; k != nil && k.Sow <= until {
		add(Fact{What: FactCover, Name: k.Mix.Name, On: k.Sow.String(), Latest: k.Latest.String(), Yes: k.AfterHarvest > 0})
		if k.Destroy <= until {
			add(Fact{What: FactDestroyed, On: k.Destroy.String(), With: name(k.DestroyWith)})
		}
	}
	for i := range s.Courses {
		c := &s.Courses[i]
		if i > 0 {
			if before := s.Courses[i-1].Drill; before == nil || before.Latest >= until {
				break
			}
			add(Fact{What: FactOtherwise, Name: c.Crop.Name})
		}
		for _, o := range c.Operations {
			if by := o.by(c.Drill); by != 0 && by <= until {
				add(o.fact())
			}
		}
		if d := c.Drill; d != nil && d.On <= until {
			add(Fact{What: FactDrilled, Name: c.Crop.Name, With: name(d.With), On: d.On.String(), Latest: d.Latest.String(),
				Number: d.SeedsPerM2, Factor: c.CultivarFactor})
		}
		if s.End-harvestAhead <= until {
			add(Fact{What: FactHarvested, Name: c.Crop.Name, With: name(c.HarvestWith), Yes: c.StrawChopped})
		}
	}
	return out
}

// by is the day for which an operation is planned; 0 where nothing is drilled
// that it could be counted from.
func (o *Operation) by(d *Drilling) date.Day {
	switch {
	case o.Timing == OnDate, o.Timing == BeforeDrilling, o.Timing == AfterHarvest:
		return o.On
	case d == nil:
		return 0
	case o.Timing == AfterDrilling:
		return d.On + date.Day(o.Days)
	}
	return d.On
}

// What work of the past is counted from.
const (
	fromItsDate    = "date"
	fromTheHarvest = "harvest"
	fromDrilling   = "drilling"
	atDrilling     = "at-drilling"
)

func (o *Operation) fact() Fact {
	f := Fact{What: FactWork, Name: o.With.Name, With: atDrilling, Yes: o.GoodPlough}
	switch o.Timing {
	case OnDate, BeforeDrilling:
		f.With, f.On, f.Latest = fromItsDate, o.On.String(), o.Latest.String()
	case AfterHarvest:
		f.With, f.Days, f.Within = fromTheHarvest, o.Days, o.LatestAfter
	case AfterDrilling:
		f.With, f.Days, f.Within = fromDrilling, o.Days, o.LatestAfter
	}
	return f
}

// Where the weather of a past comes from.
const (
	weatherGenerated = "generated"
	weatherFitted    = "fitted"
	weatherRecord    = "record"
)

// weatherBy is the weather up to a day: of a record what it holds until then; a
// climate that was fitted hangs on all of its record.
func (c *Calendar) weatherBy(until date.Day) Fact {
	r := c.Record
	if c.FitTo != nil {
		return Fact{What: FactWeather, Name: weatherFitted, Sum: c.FitTo.Days, On: c.FitTo.Start.String(), Days: len(c.FitTo.RainMM)}
	}
	if r == nil {
		return Fact{What: FactWeather, Name: weatherGenerated}
	}
	n := max(0, min(len(r.RainMM), int(until-r.Start)+1))
	f := Fact{What: FactWeather, Name: weatherRecord, Sum: sumOfDays(r, n), On: r.Start.String(), Days: n}
	if n == len(r.RainMM) && r.Start+date.Day(n) <= until {
		f.With = map[bool]string{true: "resampled", false: weatherGenerated}[c.Resample]
	}
	return f
}

// Departures are where the past of this plan up to a day is not the one that
// is given: facts that only one of them has, none where they are the same.
func (c *Calendar) Departures(until date.Day, past []Fact) (here, there []Fact) {
	count := map[Fact]int{}
	mine := c.Past(until)
	for _, f := range past {
		count[f]++
	}
	for _, f := range mine {
		if count[f]--; count[f] < 0 {
			here = append(here, f)
		}
	}
	for _, f := range past {
		if count[f] > 0 {
			count[f]--
			there = append(there, f)
		}
	}
	return here, there
}
