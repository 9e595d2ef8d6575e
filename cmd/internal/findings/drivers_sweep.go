package findings

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"rundown/cmd/internal/figure"
	"rundown/cmd/internal/report"
	"rundown/params"
	"rundown/sim"
	"rundown/sim/study"
)

// SweepRun is what the report of a swept value is made from.
type SweepRun struct {
	Run
	Sweep *study.Sweep
	Value *params.Value
}

// Sweep assembles the report of a swept value.
func Sweep(r SweepRun) *report.Report {
	warnings := sweepWarnings(r)
	label := sim.Metrics[r.Sweep.Metric].Label
	out := &report.Report{
		Title:     fmt.Sprintf("%s: %s as %s changes", r.Calendar.Name, label, valueName(r.Value)),
		Subtitle:  driversSubtitle(r.Calendar, r.Replicates*len(r.Sweep.At), r.Seed),
		Answer:    sweepAnswer(r),
		Short:     shortSweep(r),
		Lines:     36,
		Sentences: sweepSentences(r),
		Tables:    []report.Table{sweepTable(r)},
		Pictures:  []report.Picture{{Name: "sweep", Figure: sweepPicture(r)}},
		Warnings:  warnings,
		Cautions:  Cautions(),
		Method:    bandsMethod(),
		Document:  sweepDocument(r, warnings),
		Made:      r.made(r.Replicates * len(r.Sweep.At)),
		Plans:     plansOf(r.Run),
	}
	out.Page = func() *report.Page { return r.page(out) }
	return out
}

func (r *SweepRun) band(point, season int) report.Band {
	return r.Sweep.Bands[point][season]
}

// form is how the metric is written.
func (r *SweepRun) form() report.Form {
	return forms[r.Sweep.Metric]
}

// write is the metric's band; a share is written in per cent.
func (r *SweepRun) write(b report.Band) string {
	if r.Sweep.Metric == sim.YieldLoss {
		b = percent(b)
	}
	return r.form().Band(shown(r.Calendar.Area, r.Sweep.Metric, b))
}

func (r *SweepRun) unit() string {
	if r.Sweep.Metric == sim.YieldLoss {
		return "%"
	}
	return shownUnit(r.Calendar, r.Sweep.Metric)
}

func (r *SweepRun) at(x float64) string {
	if r.dated() {
		return annual(x)
	}
	return strings.TrimSpace(brief(x, 5) + " " + valueUnit(r.Value))
}

// dated tells that the value is a date.
func (r *SweepRun) dated() bool { return r.Value.Unit == "date" }

// set is a point without its unit, as --sweep takes it.
func (r *SweepRun) set(x float64) string {
	if r.dated() {
		return annual(x)
	}
	return brief(x, 5)
}

// valueUnit is a value's unit; a share has none worth writing.
func valueUnit(v *params.Value) string {
	if v.Unit == "fraction" || v.Unit == "number" || v.Unit == "date" {
		return ""
	}
	return v.Unit
}

func sweepSentences(r SweepRun) []string {
	last := len(r.Sweep.At) - 1
	year := r.Calendar.Seasons[r.Sweep.Season].HarvestYear
	apart := r.Sweep.Apart
	if r.Sweep.Metric == sim.YieldLoss {
		apart = percent(apart)
	}
	out := []string{fmt.Sprintf("%s at harvest %d, %s: %s at %s, %s at %s; run by run the difference is %s.",
		sentence(sim.Metrics[r.Sweep.Metric].Label), year, r.unit(),
		r.write(r.band(0, r.Sweep.Season)), r.at(r.Sweep.At[0]), r.write(r.band(last, r.Sweep.Season)), r.at(r.Sweep.At[last]),
		differences(r.Sweep.Metric).Band(shown(r.Calendar.Area, r.Sweep.Metric, apart)))}
	span := rangeWords(r.Value)
	out = append(out, fmt.Sprintf("A forecast draws it about %s, nine times in ten within %s (evidence: %s).", r.at(r.Value.Central), span, r.Value.Grade))
	return out
}

func sweepWarnings(r SweepRun) []report.Warning {
	var out []report.Warning
	if r.Starter {
		out = append(out, starterWarning())
	}
	if r.Sweep.Returns != nil {
		last := len(r.Sweep.At) - 1
		out = append(out, report.Warning{Code: "all-else-equal",
			Text: fmt.Sprintf("All else stays as drawn, also the values that are known best by their product with this one: what one seed returns in a year "+
				"without herbicide goes from %s to %s in the middle run; about %s is known. Read the curve as what the model does, not as what is likely.",
				brief(r.Sweep.Returns[0], 2), brief(r.Sweep.Returns[last], 2), brief(r.Sweep.Target, 2))})
	}
	return withOwnReturn(out, r.Calendar.Weed, r.Sweep.Own)
}

func sweepTable(r SweepRun) report.Table {
	t := report.Table{
		Keys:    1,
		Columns: []report.Column{{Head: "Set to", Unit: valueUnit(r.Value), Right: true}},
		Legend: fmt.Sprintf("%s, %s, by harvest. 180 (40–620): half of the runs are below 180, nine in ten are between 40 and 620.",
			sentence(sim.Metrics[r.Sweep.Metric].Label), r.unit()),
	}
	for _, s := range r.Calendar.Seasons {
		t.Columns = append(t.Columns, report.Column{Head: fmt.Sprint(s.HarvestYear), Unit: spoken(s.Courses[0].Crop.Name), Band: true})
	}
	for p, x := range r.Sweep.At {
		row := []string{r.set(x)}
		for s := range r.Calendar.Seasons {
			row = append(row, r.write(r.band(p, s)))
		}
		t.Rows = append(t.Rows, report.Row{Cells: row})
	}
	return t
}

func sweepPicture(r SweepRun) *figure.Sweep {
	info := sim.Metrics[r.Sweep.Metric]
	f := &figure.Sweep{
		Caption: figure.Caption{Title: fmt.Sprintf("%s: %s as %s changes", r.Calendar.Name, info.Label, valueName(r.Value)),
			Subtitle: driversSubtitle(r.Calendar, r.Replicates*len(r.Sweep.At), r.Seed),
			Note:     "One value moved, all else as drawn. A forecast is a spread, not a promise.", Provenance: provenanceLine(r.Run)},
		X:     figure.Scale{Name: sentence(r.Value.Label), Unit: valueUnit(r.Value), Kind: figure.Linear},
		At:    r.Sweep.At,
		Marks: []figure.Mark{{Value: r.Value.Central, Name: "its central value"}},
	}
	if r.dated() {
		f.X.Kind, f.At, f.Marks[0].Value = figure.Dates, nil, r.Value.Central-1
		for _, x := range r.Sweep.At {
			f.At = append(f.At, x-1) // days since a 1 January
		}
	}
	if r.Value.Central < r.Sweep.At[0] || r.Value.Central > r.Sweep.At[len(r.Sweep.At)-1] {
		f.Marks = nil
	}
	kind := axis(r.Sweep.Metric)
	for k, s := range shownSeasons(r.Sweep.Season) {
		q := figure.Panel{Name: fmt.Sprintf("%s, harvest %d", sentence(info.Label), r.Calendar.Seasons[s].HarvestYear),
			Unit: shownUnit(r.Calendar, r.Sweep.Metric), Kind: kind, Hue: []figure.Hue{figure.Vermilion, figure.Blue}[k]}
		if kind == figure.Percent {
			q.Unit = ""
		}
		for p := range r.Sweep.At {
			x := r.Sweep.Column(p, s)
			if overLand(r.Sweep.Metric) {
				x = perAll(r.Calendar.Area, x)
			}
			q.Bands = append(q.Bands, spreadOf(x))
		}
		f.Panels = append(f.Panels, q)
	}
	return f
}

// shownSeasons are the seasons that the picture shows: the one asked for and,
// for contrast, the first.
func shownSeasons(season int) []int {
	if season == 0 {
		return []int{0}
	}
	return []int{season, 0}
}

func sweepDocument(r SweepRun, warnings []report.Warning) report.Object {
	points := []report.Object{}
	for p, x := range r.Sweep.At {
		o := report.Object{{"value", x}}
		if r.dated() {
			o = append(o, report.Member{"date", annual(x)})
		}
		if r.Sweep.Returns != nil {
			o = append(o, report.Member{"seed_return_a_year", r.Sweep.Returns[p]})
		}
		seasons := []report.Object{}
		for s := range r.Calendar.Seasons {
			seasons = append(seasons, report.Object{{"harvest_year", r.Calendar.Seasons[s].HarvestYear}, {"band", r.band(p, s)}})
		}
		points = append(points, append(o, report.Member{"seasons", seasons}))
	}
	o := driversHead(r.Run, warnings, r.Sweep.Metric, r.Calendar.Seasons[r.Sweep.Season].HarvestYear)
	o = slices.Insert(o, 2, report.Member{Key: "answer", Value: sweepAnswer(r).Object()})
	return append(o, report.Member{"runs", r.Replicates * len(r.Sweep.At)}, report.Member{"screening", nil}, report.Member{"inputs", nil},
		report.Member{"groups", nil}, report.Member{"split", nil},
		report.Member{"sweep", report.Object{{"name", r.Value.Path}, {"label", valueName(r.Value)}, {"short", shortValue(r.Value)}, {"unit", r.Value.Unit},
			{"grade", string(r.Value.Grade)}, {"points", points}}})
}

// SweepCSV writes the sweep tidily.
func SweepCSV(w io.Writer, r SweepRun) error {
	out := report.NewCSV(w)
	_ = out.Write([]string{"parameter", "setting", "setting_unit", "season", "metric", "unit", "quantile", "estimate"}) // errors come at Error below
	setting := report.Cell
	if r.dated() {
		setting = annual
	}
	for p, x := range r.Sweep.At {
		for s := range r.Calendar.Seasons {
			bandRows(out, []string{r.Value.Path, setting(x), r.Value.Unit, fmt.Sprint(r.Calendar.Seasons[s].HarvestYear), sim.Metrics[r.Sweep.Metric].Name,
				unit(r.Calendar, r.Sweep.Metric)}, r.band(p, s))
		}
	}
	out.Flush()
	return out.Error()
}
