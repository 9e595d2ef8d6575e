// Package findings says what was found: of each study's result it makes a Report,
// sentences, tables, pictures and the JSON of a command. What is shown is decided
// here; what is true is decided in the studies, and how a Report looks in report.
package findings

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/params/date"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/bands"
	"rundown/sim/study"
)

// Run is what the report of runs of a plan is made from, besides what they found.
type Run struct {
	Name       string // what the plan is called beside others; "" for a single plan
	Calendar   *rotations.Calendar
	Replicates int
	Seed       uint64
	Provenance report.Provenance
	Starter    bool // no plan was given: the invented starter plan was run
	Past       *Past
}

// plansOf are the plans of runs as written, each once.
func plansOf(runs ...Run) []report.PlanText {
	var out []report.PlanText
	for _, r := range runs {
		if p := r.Provenance.Plan; p.Text != "" && !slices.Contains(out, p) {
			out = append(out, p)
		}
	}
	return out
}

// made says how a report of so many runs came about.
func (r Run) made(runs int) report.Made {
	return report.Made{Provenance: r.Provenance, Seed: r.Seed, Runs: runs}
}

// ForecastRun is what the report of a forecast is made from.
type ForecastRun struct {
	Run
	Found *study.Forecast
}

// Forecast assembles the report of a forecast.
func Forecast(r ForecastRun) *report.Report {
	seasons := r.Found.Seasons
	warnings := forecastWarnings(r)
	tables := []report.Table{seasonTable(r.Run, seasons)}
	if seasons[0].Work != nil {
		tables = append(tables, besideAnswer(workTable(seasons), r.Found))
		tables = append(tables, spentTable(r.Run, seasons)...)
	}
	pictures := forecastPictures(r.Run, seasons)
	if r.Found.Evolves != nil {
		tables = append(tables, evolvingTable(r))
		pictures = append(pictures, report.Picture{Name: "resistance", Figure: evolvingPicture(r)})
	}
	return &report.Report{
		Title:     forecastTitle(r.Run),
		Subtitle:  forecastSubtitle(r.Run),
		Answer:    forecastAnswer(r),
		Short:     shortSeasons(r.Run, seasons),
		Lines:     32,
		Sentences: forecastSentences(r),
		Tables:    tables,
		Series:    append(forecastSeries(r.Run, seasons), evolvingSeries(r)...),
		Pictures:  pictures,
		Sparks:    forecastSparks(r.Run, seasons),
		Span:      [2]int{seasons[0].HarvestYear, seasons[len(seasons)-1].HarvestYear},
		Warnings:  warnings,
		Cautions:  Cautions(),
		Method:    forecastMethod(),
		Document:  forecastDocument(r, warnings),
		Made:      r.made(r.Replicates),
		Plans:     plansOf(r.Run),
		Page:      func() *report.Page { return forecastPage(r) },
	}
}

// band summarises some values.
func band(x []float64) report.Band { return bands.Summarise(x) }

func mean(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

// spoken is a library name in words. The name of the spray before drilling is a verb, which makes
// no sentence.
func spoken(name string) string {
	if name == "spray-off" {
		return "burn-off"
	}
	return strings.ReplaceAll(name, "-", " ")
}

// ofRuns is a share of the runs behind "in": 73 of 100 runs.
func ofRuns(share float64) string {
	switch share {
	case 0:
		return "no run"
	case 1:
		return "every run"
	}
	return report.Of100(share) + " of 100 runs"
}

// weedName is the weed as one says it. Two of those in the library are hyphenated.
func weedName(c *rotations.Calendar) string { return weedCalled(c.Weed.Name) }

func weedCalled(name string) string {
	if strings.HasSuffix(name, "-grass") {
		name = strings.Replace(spoken(name), " grass", "-grass", 1)
		return strings.Replace(name, "italian", "Italian", 1)
	}
	return spoken(name)
}

// unit is the unit of a metric, money in the plan's currency.
func unit(c *rotations.Calendar, m sim.Metric) string {
	return strings.Replace(sim.Metrics[m].Unit, "money", c.Currency, 1)
}

func forecastSparks(r Run, seasons []study.Season) []report.Spark {
	if len(seasons) < 2 {
		return nil // no line to draw
	}
	bands := func(m sim.Metric) []report.Band {
		var out []report.Band
		for _, s := range seasons {
			out = append(out, shown(r.Calendar.Area, m, s.Bands[m]))
		}
		return out
	}
	return []report.Spark{
		{Name: "Heads", Unit: "per m²", Log: true, Bands: bands(sim.Heads)}, {Name: "Seed in soil", Unit: "per m², 30 June", Log: true,
			Bands: bands(sim.SeedbankJune)},
		{Name: "Yield", Unit: tonnesPer(r.Calendar.Area), Log: false, Bands: bands(sim.Yield)},
		{Name: "Margin", Unit: perArea(r.Calendar), Log: false, Bands: bands(sim.Margin)},
	}
}

func forecastSeries(r Run, seasons []study.Season) []report.Series {
	var out []report.Series
	for _, s := range seasons {
		for m := range sim.MetricCount {
			if sim.Metrics[m].Public {
				out = append(out, report.Series{Season: s.HarvestYear, Metric: sim.Metrics[m].Name, Unit: unit(r.Calendar, m), Band: s.Bands[m]})
			}
		}
	}
	return out
}

// ForecastReplicates is every replicate of a run: its crop, the day it was
// drilled, the public metrics, and the seed that verdicts rest on.
func ForecastReplicates(r ForecastRun) report.Replicates {
	metrics := []sim.Metric{}
	for m := range sim.MetricCount {
		if sim.Metrics[m].Public || m == sim.Extinct || m == sim.SeedBefore || m == sim.SeedAfter {
			metrics = append(metrics, m)
		}
	}
	names, more := evolvingColumns(r)
	out := report.Replicates{Columns: []string{"crop", "drilled_on"}}
	ruled := r.Calendar.Rules != nil
	for i, s := range r.Calendar.Seasons {
		out.Seasons = append(out.Seasons, s.HarvestYear)
		rows := make([][]string, r.Replicates)
		course, on := r.Found.Outcome.Column(sim.Course, i), r.Found.Outcome.Column(sim.DrilledOn, i)
		branch := r.Found.Outcome.Column(sim.Branch, i)
		for k := range rows {
			season := r.Calendar.Taken(i, int(branch[k]))
			rows[k] = []string{season.Courses[int(course[k])].Crop.Name, dateOrEmpty(on[k])}
			for _, m := range append(metrics, more...) {
				rows[k] = append(rows[k], report.Cell(r.Found.Outcome.Column(m, i)[k]))
			}
			if ruled {
				rows[k] = append(rows[k], strconv.Itoa(int(branch[k])+1))
			}
		}
		out.Rows = append(out.Rows, rows)
	}
	for _, m := range metrics {
		out.Columns = append(out.Columns, sim.Metrics[m].Name)
	}
	out.Columns = append(out.Columns, names...)
	if ruled {
		out.Columns = append(out.Columns, sim.Metrics[sim.Branch].Name)
	}
	return out
}

func dateOrEmpty(x float64) string {
	if math.IsNaN(x) {
		return ""
	}
	return date.Day(x).String()
}
