package report

import (
	"math"
	"strings"

	"rundown/params/date"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/ensemble"
)

// Run is what the report of a forecast is made from.
type Run struct {
	Name       string // what the plan is called beside others; "" for a single plan
	Calendar   *rotations.Calendar
	Outcome    *ensemble.Outcome
	Replicates int
	Seed       uint64
	Provenance Provenance
	Starter    bool // no plan was given: the invented starter plan was run
	Past       *Past
}

// season is one season of a run, summarised.
type season struct {
	*rotations.Season
	crop    string                   // the planned crop's name
	bands   [sim.MetricCount]Band    // over the replicates with a value
	grown   []grownCrop              // the planned crop first
	drilled *drilled                 // nil: the planned crop needs no drilling
	extinct float64                  // share of replicates with no seed and no plant left
	tooMany float64                  // share of the replicates that pull weeds in which they were too many
	ledger  [sim.MetricCount]float64 // means over replicates; ledger metrics only
}

type grownCrop struct {
	name  string
	share float64 // of replicates
}

// drilled is when the planned crop went in, in the replicates that grew it.
type drilled struct {
	share         float64 // of all replicates
	p05, p50, p95 date.Day
}

// Forecast assembles the report of a forecast.
func Forecast(r Run) *Report {
	seasons := make([]season, len(r.Calendar.Seasons))
	for i := range seasons {
		seasons[i] = summarise(r, i)
	}
	warnings := forecastWarnings(r, seasons)
	return &Report{
		Title:     forecastTitle(r),
		Subtitle:  forecastSubtitle(r),
		Sentences: forecastSentences(r, seasons),
		Tables:    []Table{seasonTable(r, seasons)},
		Series:    forecastSeries(r, seasons),
		Pictures:  forecastPictures(r, seasons),
		Sparks:    forecastSparks(r, seasons),
		Span:      [2]int{seasons[0].HarvestYear, seasons[len(seasons)-1].HarvestYear},
		Warnings:  warnings,
		Cautions:  Cautions(),
		Document:  forecastDocument(r, seasons, warnings),
		Plans:     plansOf(r),
		Page:      func() *Page { return forecastPage(r, seasons) },
	}
}

func summarise(r Run, i int) season {
	planned := &r.Calendar.Seasons[i]
	s := season{Season: planned, crop: planned.Courses[0].Crop.Name}
	for m := range sim.MetricCount {
		column := r.Outcome.Column(m, i)
		s.bands[m] = Band(ensemble.Summarise(column))
		if sim.Metrics[m].Ledger {
			s.ledger[m] = mean(column)
		}
	}
	s.extinct = mean(r.Outcome.Column(sim.Extinct, i))
	many, pulled := 0.0, 0.0
	for _, x := range r.Outcome.Column(sim.TooMany, i) {
		if !math.IsNaN(x) {
			many, pulled = many+x, pulled+1
		}
	}
	s.tooMany = many / max(1, pulled)
	course := r.Outcome.Column(sim.Course, i)
	s.grown = grown(planned, course)
	if planned.Courses[0].Drill != nil {
		s.drilled = drilling(course, r.Outcome.Column(sim.DrilledOn, i))
	}
	return s
}

// grown counts the crops, planned first, then the alternatives in order.
func grown(planned *rotations.Season, course []float64) []grownCrop {
	counts := make([]int, len(planned.Courses))
	for _, c := range course {
		counts[int(c)]++
	}
	var out []grownCrop
	for i, n := range counts {
		name, share := planned.Courses[i].Crop.Name, float64(n)/float64(len(course))
		if at := indexOf(out, name); at >= 0 {
			out[at].share += share
		} else if n > 0 || i == 0 {
			out = append(out, grownCrop{name, share})
		}
	}
	return out
}

func indexOf(crops []grownCrop, name string) int {
	for i, c := range crops {
		if c.name == name {
			return i
		}
	}
	return -1
}

// drilling summarises the dates at which the planned crop was drilled.
func drilling(course, on []float64) *drilled {
	var dates []float64
	for k, day := range on {
		if course[k] == 0 && !math.IsNaN(day) {
			dates = append(dates, day)
		}
	}
	d := &drilled{share: float64(len(dates)) / float64(len(on))}
	if len(dates) > 0 {
		q := ensemble.Summarise(dates)
		d.p05, d.p50, d.p95 = day(q.P05), day(q.P50), day(q.P95)
	}
	return d
}

// day is the day that a quantile of days falls on.
func day(x float64) date.Day { return date.Day(math.Floor(x + 0.5)) }

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

// spoken is a library name in words.
func spoken(name string) string { return strings.ReplaceAll(name, "-", " ") }

// unit is the unit of a metric, money in the plan's currency.
func unit(c *rotations.Calendar, m sim.Metric) string {
	return strings.Replace(sim.Metrics[m].Unit, "money", c.Currency, 1)
}

func forecastSparks(r Run, seasons []season) []Spark {
	if len(seasons) < 2 {
		return nil // no line to draw
	}
	bands := func(m sim.Metric) []Band {
		var out []Band
		for _, s := range seasons {
			out = append(out, s.bands[m])
		}
		return out
	}
	return []Spark{
		{"Heads", "per m²", true, bands(sim.Heads)}, {"Seed in soil", "per m², 30 June", true, bands(sim.SeedbankJune)},
		{"Yield", "t/ha", false, bands(sim.Yield)}, {"Margin", r.Calendar.Currency + "/ha", false, bands(sim.Margin)},
	}
}

func forecastSeries(r Run, seasons []season) []Series {
	var out []Series
	for _, s := range seasons {
		for m := range sim.MetricCount {
			if sim.Metrics[m].Public {
				out = append(out, Series{s.HarvestYear, sim.Metrics[m].Name, unit(r.Calendar, m), s.bands[m]})
			}
		}
	}
	return out
}

// ForecastReplicates is every replicate of a run: its crop, the day it was
// drilled, and the public metrics.
func ForecastReplicates(r Run) Replicates {
	metrics := []sim.Metric{}
	for m := range sim.MetricCount {
		if sim.Metrics[m].Public || m == sim.Extinct {
			metrics = append(metrics, m)
		}
	}
	out := Replicates{Columns: []string{"crop", "drilled_on"}}
	for i, s := range r.Calendar.Seasons {
		out.Seasons = append(out.Seasons, s.HarvestYear)
		rows := make([][]string, r.Replicates)
		course, on := r.Outcome.Column(sim.Course, i), r.Outcome.Column(sim.DrilledOn, i)
		for k := range rows {
			rows[k] = []string{s.Courses[int(course[k])].Crop.Name, dateOrEmpty(on[k])}
			for _, m := range metrics {
				rows[k] = append(rows[k], cell(r.Outcome.Column(m, i)[k]))
			}
		}
		out.Rows = append(out.Rows, rows)
	}
	for _, m := range metrics {
		out.Columns = append(out.Columns, sim.Metrics[m].Name)
	}
	return out
}

func dateOrEmpty(x float64) string {
	if math.IsNaN(x) {
		return ""
	}
	return date.Day(x).String()
}
