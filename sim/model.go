package sim

import (
	"hash/fnv"
	"math"
	"strings"
	"time"

	"rundown/params"
	"rundown/params/date"
	"rundown/rotations"
	"rundown/sim/fieldwork"
	"rundown/sim/soil"
	"rundown/sim/weather"
)

// Model is a calendar made ready to run: everything bound and tabled once. It
// is immutable; Workers of it run replicates.
type Model struct {
	calendar    *rotations.Calendar
	areaM2      float64
	fieldName   string   // among the fields of a farm; empty for a field alone
	first, last date.Day // the timeline of the weather
	begin       date.Day // the field's run: a 1 July, or the start
	tables      tables
	seasons     []season
	years       int // seasons of a run; of seasons there are more where some are chosen among
	opening     decision
	places      [][]decision // of a menu: what may be chosen, by place and entry
	rules       *rules       // what is decided on the way; nil: nothing is
	work        []Work       // every piece of work of the calendar
	programmes  []int        // herbicides that the plan sprays, in tables.herbicides; only where something evolves
	lastCrop    int          // the crop before the start, in tables.crops
	fallow      int
	history     int           // implement
	sprayOff    *params.Entry // the non-selective spray that destroys covers unless told otherwise
	weather     *weather.Source
	madeOf      madeOf
	origin      string       // of the weather
	et0         float64      // factor on the weather's ET0
	light       [366]float64 // radiation over that of the equinox, at most 1, by day of the seedbank year
	ripeMean    float64      // the climate's mean of 15 June–15 July
	soil        *soil.Soil
	onItsDay    bool // work waits for nothing
	marks       []mark
	reference   *Reference  // of the plan's own place
	known       *Reference  // of the place where the weed's cycle is known
	base        [][]float64 // logit E00 less logit E0 of each active, by herbicide
	own         *OwnReturn  // nil: no value of a user's own moves the return target
	offField    date.Day    // the crop before the start is off the field
	paths       []uint64    // keys of the uncertain values, from their paths
	drawn       []drawn     // their quantile functions
	weedValue   []bool      // which of them are the weed's own
	fieldValue  []bool      // which of them are the field's own
	// The place among them of heads per plant, to which the seed returned a year is in proportion; −1: none.
	proportional int
}

// season is a season of the calendar in the model's own terms.
type season struct {
	harvestYear int
	open, end   date.Day
	cover       int  // −1: none
	standsOn    bool // a ley after its first year
	courses     []course
	work        int // its first, in the model's
	year        int // its place among the seasons of a run
	branch      int // of those of its year
	then        decision
}

// course is a crop and its jobs.
type course struct {
	crop        int
	drill       bool
	on, until   date.Day
	with        int
	drilling    int // its place in the model's work
	seeds       float64
	before      []fieldwork.Job
	after       []fieldwork.Job
	control     int // harvest weed-seed control; −1: none
	controlIf   *condition
	controlling int          // its place in the list of work
	ifs         []*condition // of its jobs, by Job.Rule − 1
	straw       bool
	cultivar    float64
}

// mark is what a day of the timeline asks for, as bits, and its day of the seedbank year.
type mark struct {
	bits uint16
	day  uint16
}

// Bits of a mark.
const (
	summer    uint16 = 1 << iota // 1 June–31 October: seed on the surface is eaten and dries
	fourWeeks                    // a multiple of 28: deep and dormant seed closes
	april1
	heading // 20 April and 18 May: what comes up afterwards heads less
	june15
	june30
)

// New makes a model of a calendar.
func New(c *rotations.Calendar) (*Model, error) {
	m := &Model{calendar: c, areaM2: c.AreaHa * 10000, onItsDay: c.WorkOnItsDay}
	m.fieldName = c.Among
	if err := m.compile(); err != nil {
		return nil, err
	}
	m.listProgrammes()
	m.layTimeline()
	m.tablesAhead()
	if err := m.makeWeather(); err != nil {
		return nil, err
	}
	var u units
	if _, err := m.bindUnits(&u); err != nil {
		return nil, err
	}
	m.soil = soil.New(u.soil)
	for _, v := range c.Space.Values {
		h := fnv.New64a()
		h.Write([]byte(v.Path))
		m.paths = append(m.paths, h.Sum64())
		m.drawn = append(m.drawn, newDrawn(v))
		m.weedValue = append(m.weedValue, strings.HasPrefix(v.Path, "weeds/"))
		m.fieldValue = append(m.fieldValue, v.OfField)
	}
	m.findProportional()
	if err := m.layReferences(&u); err != nil {
		return nil, err
	}
	return m, m.weighOwn()
}

// Calendar is the calendar that the model was made of.
func (m *Model) Calendar() *rotations.Calendar { return m.calendar }

// Seasons is the number of seasons.
func (m *Model) Seasons() int { return m.years }

// First is the first day of the model's timeline.
func (m *Model) First() date.Day { return m.first }

// layTimeline sets the first and last day and marks every day between.
func (m *Model) layTimeline() {
	c := m.calendar
	y := c.Start.Year()
	m.begin = c.Start
	if !c.HasSeedbank { // fresh rain falls from 1 July, under the crop before
		if c.Start < date.Of(y, time.July, 1) {
			y--
		}
		m.begin = date.Of(y, time.July, 1)
	}
	cut := date.AnnualOf(int(math.Round(m.tables.crops[m.lastCrop].Value("harvest_date").Central)))
	m.offField, _ = cut.OnOrAfter(m.begin)
	m.offField = min(m.offField, c.Start)
	m.first = date.Of(m.begin.Year(), time.January, 1)
	if m.begin < date.Of(m.begin.Year(), time.July, 16) && c.HasSeedbank {
		m.first = date.Of(m.begin.Year()-1, time.January, 1)
	}
	end := m.seasons[0].end
	for i := range m.seasons {
		end = max(end, m.seasons[i].end)
	}
	end += 100
	m.last = date.Of(end.Year(), time.December, 31)
	m.marks = make([]mark, m.last-m.first+1)
	for i := range m.marks {
		m.marks[i] = markOf(m.first + date.Day(i))
	}
}

func markOf(d date.Day) mark {
	y, month, day := d.Date()
	july := date.Of(y, time.July, 1)
	if d < july {
		july = date.Of(y-1, time.July, 1)
	}
	k := mark{day: uint16(d - july)}
	if month >= time.June && month <= time.October {
		k.bits |= summer
	}
	if d%28 == 0 {
		k.bits |= fourWeeks
	}
	for _, x := range [...]struct {
		month time.Month
		day   int
		bit   uint16
	}{{time.April, 1, april1}, {time.April, 20, heading}, {time.May, 18, heading}, {time.June, 15, june15}, {time.June, 30, june30}} {
		if month == x.month && day == x.day {
			k.bits |= x.bit
		}
	}
	return k
}

// layLight tabulates the light of the year.
func (m *Model) layLight(latitudeDeg float64) {
	const equinox, july1 = 80, 182
	full := weather.ExtraterrestrialMJ(latitudeDeg, equinox)
	for d := range m.light {
		m.light[d] = min(1, weather.ExtraterrestrialMJ(latitudeDeg, (d+july1-1)%365+1)/full)
	}
}

// meanOfMonths is the mean temperature of some months of a record.
func meanOfMonths(r *weather.Record, from, to time.Month) float64 {
	var sum float64
	n := 0
	for i := range r.TmaxC {
		if _, m, _ := (r.Start + date.Day(i)).Date(); m >= from && m <= to {
			sum += (r.TmaxC[i] + r.TminC[i]) / 2
			n++
		}
	}
	if n == 0 {
		return math.NaN()
	}
	return sum / float64(n)
}

// march1 and january15 of a year.
func march1(year int) date.Day    { return date.Of(year, time.March, 1) }
func january15(year int) date.Day { return date.Of(year, time.January, 15) }
