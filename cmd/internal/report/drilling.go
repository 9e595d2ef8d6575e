package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"

	"rundown/cmd/internal/figure"
	"rundown/params/date"
	"rundown/sim"
	"rundown/sim/ensemble"
)

// DrillingFormat names the JSON that drilling writes. Within a format keys are only added.
const DrillingFormat = "rundown.drilling/1"

// DrillingSweep is what the report of a drilling sweep is made from.
type DrillingSweep struct {
	Run
	Season         int        // index of the season swept
	Dates          []date.Day // in order
	Outcomes       []*ensemble.Outcome
	SideReplicates int
	Sides          []DrillingSide // the sweep at other infestations
	Crossover      []DrillingSide // the two ends of the sweep at several infestations
}

// DrillingSide is part of a sweep at another infestation.
type DrillingSide struct {
	Heads    float64 // per m² at the start
	Outcomes []*ensemble.Outcome
}

// swept are the quantities of the season that are shown by date.
var swept = []sim.Metric{sim.Plants, sim.Heads, sim.SeedReturn, sim.YieldLoss, sim.Yield, sim.Margin}

// Ends are the indices of the dates whose margins are held against each other
// for the crossover: the first, and the best at the heaviest infestation.
func (s *DrillingSweep) Ends() (early, late int) {
	heavy := s.Sides[len(s.Sides)-1]
	late = bestDate(heavy.Outcomes).best
	if late == 0 {
		late = len(s.Dates) - 1
	}
	return 0, late
}

// planMargin is the mean yearly margin over all seasons, by replicate.
func planMargin(o *ensemble.Outcome) []float64 {
	n := o.Model.Seasons()
	out := make([]float64, o.Replicates)
	for i := range n {
		for k, x := range o.Column(sim.Margin, i) {
			out[k] += x / float64(n)
		}
	}
	return out
}

// optimum is the date with the best median margin and the flat part around it:
// the dates whose median is within 1 % of it, or within the Monte Carlo error of
// their paired difference, whichever is more.
type optimum struct {
	best, from, to int
	medians        []float64
}

func bestDate(outcomes []*ensemble.Outcome) optimum {
	o := optimum{}
	margins := make([][]float64, len(outcomes))
	for i := range outcomes {
		margins[i] = planMargin(outcomes[i])
		o.medians = append(o.medians, median(margins[i]))
		if o.medians[i] > o.medians[o.best] {
			o.best = i
		}
	}
	good := func(i int) bool {
		var d []float64
		for k := range margins[i] {
			d = append(d, margins[o.best][k]-margins[i][k])
		}
		// A median's standard error is about 1.25 of the mean's.
		error95 := 1.96 * 1.25 * math.Sqrt(variance(d)/float64(len(d)))
		return o.medians[o.best]-o.medians[i] <= max(0.01*math.Abs(o.medians[o.best]), error95)
	}
	o.from, o.to = o.best, o.best
	for o.from > 0 && good(o.from-1) {
		o.from--
	}
	for o.to < len(outcomes)-1 && good(o.to+1) {
		o.to++
	}
	return o
}

// crossing is the density of heads at which late drilling begins to earn more
// than early drilling over the plan; ok is false when it never or always does.
func (s *DrillingSweep) crossing() (heads float64, ok bool, lateAlways bool) {
	before, had := 0.0, false
	for i, x := range s.Crossover {
		e, l := mean(planMargin(x.Outcomes[0])), mean(planMargin(x.Outcomes[1]))
		gain := l - e
		if i > 0 && had && before < 0 && gain >= 0 {
			a, b := math.Log(s.Crossover[i-1].Heads), math.Log(x.Heads)
			return math.Exp(a + (b-a)*(-before)/(gain-before)), true, false
		}
		before, had = gain, true
	}
	return 0, false, before >= 0
}

// notDrilled is the share of runs in which the planned crop was not grown.
func (s *DrillingSweep) notDrilled(i int) float64 {
	course := s.Outcomes[i].Column(sim.Course, s.Season)
	return share(len(course), func(k int) bool { return course[k] > 0 })
}

// Drilling assembles the report of a drilling sweep.
func Drilling(s DrillingSweep) *Report {
	season := &s.Calendar.Seasons[s.Season]
	crop := spoken(season.Courses[0].Crop.Name)
	best := bestDate(s.Outcomes)
	warnings := drillingWarnings(s)
	return &Report{
		Title:     fmt.Sprintf("%s: when to drill %s for harvest %d", s.Calendar.Name, crop, season.HarvestYear),
		Subtitle:  forecastSubtitle(s.Run),
		Sentences: drillingSentences(s, best),
		Tables:    []Table{drillingTable(s), sidesTable(s)},
		Pictures:  drillingPictures(s, best, crop),
		Warnings:  warnings,
		Cautions:  Cautions(),
		Document:  drillingDocument(s, best, warnings),
		Plans:     plansOf(s.Run),
		Page:      func() *Page { return drillingPage(s, best, crop) },
	}
}

func drillingSentences(s DrillingSweep, best optimum) []string {
	money := s.Calendar.Currency + "/ha a year over the plan"
	out := []string{fmt.Sprintf("Best median margin: drilled on %s, %s %s. From %s to %s it makes no difference that these runs can tell.",
		s.Dates[best.best].Short(), forms[sim.Margin].Value(rounded10(best.medians[best.best])), money, s.Dates[best.from].Short(), s.Dates[best.to].Short())}
	early, late := 0, len(s.Dates)-1
	out = append(out, fmt.Sprintf("Weed plants in the crop: %s per m² drilled on %s, %s drilled on %s (medians). Not drilled in time in %s and %s of 100 runs.",
		forms[sim.Plants].Value(median(s.Outcomes[early].Column(sim.Plants, s.Season))), dayOfYear(s.Dates[early]),
		forms[sim.Plants].Value(median(s.Outcomes[late].Column(sim.Plants, s.Season))), dayOfYear(s.Dates[late]), Of100(s.notDrilled(early)), Of100(s.notDrilled(late))))
	e, l := s.Ends()
	heads, ok, always := s.crossing()
	between := fmt.Sprintf("%s and %s", dayOfYear(s.Dates[e]), dayOfYear(s.Dates[l]))
	switch {
	case ok:
		out = append(out, fmt.Sprintf("Between %s, the earlier date earns more below about %s heads per m² counted before the start, the later one above.", between, forms[sim.Heads].Value(heads)))
	case always:
		out = append(out, fmt.Sprintf("Between %s, the later date earns as much or more at every infestation tried (%s to %s heads per m²).", between, shortest(s.Crossover[0].Heads), shortest(s.Crossover[len(s.Crossover)-1].Heads)))
	default:
		out = append(out, fmt.Sprintf("Between %s, the earlier date earns more at every infestation tried (%s to %s heads per m²).", between, shortest(s.Crossover[0].Heads), shortest(s.Crossover[len(s.Crossover)-1].Heads)))
	}
	return out
}

func drillingTable(s DrillingSweep) Table {
	c := s.Calendar
	t := Table{
		Keys: 1,
		Columns: []Column{{Head: "Planned for"}, {Head: "Weed plants", Unit: "per m²", Band: true}, {Head: "Heads", Unit: "per m²", Band: true},
			{Head: "Yield", Unit: "t/ha", Band: true}, {Head: "Lost to weed", Unit: "%", Band: true},
			{Head: "Margin", Unit: c.Currency + "/ha, this season", Band: true}, {Head: "Whole plan", Unit: c.Currency + "/ha a year", Band: true}, {Head: "Not drilled", Unit: "of 100 runs", Right: true}},
		Legend: "180 (40–620): half of the runs are below 180, nine in ten are between 40 and 620. Yield and loss count only the runs that grew the planned crop.",
	}
	for i, d := range s.Dates {
		band := func(m sim.Metric) Band { return Band(ensemble.Summarise(s.Outcomes[i].Column(m, s.Season))) }
		t.Rows = append(t.Rows, Row{Cells: []string{dayOfYear(d), forms[sim.Plants].Band(band(sim.Plants)), forms[sim.Heads].Band(band(sim.Heads)),
			forms[sim.Yield].Band(band(sim.Yield)), forms[sim.YieldLoss].Band(percent(band(sim.YieldLoss))), forms[sim.Margin].Band(band(sim.Margin)),
			forms[sim.Margin].Band(Band(ensemble.Summarise(planMargin(s.Outcomes[i])))), Of100(s.notDrilled(i))}})
	}
	return t
}

func sidesTable(s DrillingSweep) Table {
	t := Table{
		Title:   fmt.Sprintf("The best date by infestation (%d runs each)", s.SideReplicates),
		Keys:    1,
		Columns: []Column{{Head: "Heads before the start", Unit: "per m²", Right: true}, {Head: "Best date"}, {Head: "No difference"}, {Head: "Margin", Unit: s.Calendar.Currency + "/ha a year", Right: true}},
	}
	for _, x := range s.Sides {
		b := bestDate(x.Outcomes)
		t.Rows = append(t.Rows, Row{Cells: []string{shortest(x.Heads), dayOfYear(s.Dates[b.best]), dayOfYear(s.Dates[b.from]) + " to " + dayOfYear(s.Dates[b.to]),
			forms[sim.Margin].Value(rounded10(b.medians[b.best]))}})
	}
	return t
}

func drillingWarnings(s DrillingSweep) []Warning {
	var out []Warning
	seasons := []season{summarise(Run{Calendar: s.Calendar, Outcome: s.Outcomes[0], Replicates: s.Replicates}, s.Season)}
	for _, w := range forecastWarnings(Run{Calendar: s.Calendar, Outcome: s.Outcomes[0], Replicates: s.Replicates, Starter: s.Starter}, seasons) {
		if w.Code == "resistance" || w.Code == "starter-plan" {
			out = append(out, Warning{Code: w.Code, Text: w.Text})
		}
	}
	return append(out, Warning{Code: "work-moves-along", Text: "Cultivations and sprays of the six weeks before the planned drilling keep their distance to it; everything else stays where the plan has it."})
}

func drillingPictures(s DrillingSweep, best optimum, crop string) []Picture {
	at := make([]float64, len(s.Dates))
	for i, d := range s.Dates {
		at[i] = float64(d)
	}
	bands := func(m sim.Metric) []figure.Spread {
		var out []figure.Spread
		for _, o := range s.Outcomes {
			out = append(out, spreadOf(o.Column(m, s.Season)))
		}
		return out
	}
	var whole, missed []figure.Spread
	for i, o := range s.Outcomes {
		whole = append(whole, spreadOf(planMargin(o)))
		p := s.notDrilled(i)
		missed = append(missed, figure.Spread{P05: p, P25: p, P50: p, P75: p, P95: p})
	}
	money := s.Calendar.Currency + "/ha"
	f := &figure.Sweep{
		Caption: figure.Caption{Title: fmt.Sprintf("%s: when to drill %s", s.Calendar.Name, crop), Subtitle: forecastSubtitle(s.Run), Note: "A forecast is a spread, not a promise.", Provenance: provenanceLine(s.Run)},
		X:       figure.Scale{Name: "Drilling planned for", Kind: figure.Dates}, At: at,
		Panels: []figure.Panel{
			{Name: "Weed heads", Unit: "per m²", Kind: figure.Log, Hue: figure.Vermilion, Bands: bands(sim.Heads)},
			{Name: "Yield", Unit: "t/ha", Kind: figure.Linear, Hue: figure.Blue, Bands: bands(sim.Yield)},
			{Name: "Margin over the plan", Unit: money + " a year", Kind: figure.Linear, Hue: figure.Green, Bands: whole},
			{Name: "Not drilled in time", Kind: figure.Percent, Hue: figure.Blue, Bands: missed},
		},
		Marks: []figure.Mark{{Value: float64(s.Dates[best.best]), Name: "best"}},
	}
	return []Picture{{"drilling", f}}
}

func drillingDocument(s DrillingSweep, best optimum, warnings []Warning) Object {
	var dates []Object
	for i, d := range s.Dates {
		o := Object{{"date", d.String()}, {"not_drilled", s.notDrilled(i)}}
		for _, m := range swept {
			o = append(o, Member{sim.Metrics[m].Name, Band(ensemble.Summarise(s.Outcomes[i].Column(m, s.Season)))})
		}
		dates = append(dates, append(o, Member{"plan_margin_per_ha", Band(ensemble.Summarise(planMargin(s.Outcomes[i])))}))
	}
	var sides []Object
	for _, x := range s.Sides {
		b := bestDate(x.Outcomes)
		sides = append(sides, Object{{"heads_per_m2", x.Heads}, {"best", s.Dates[b.best].String()}, {"flat_from", s.Dates[b.from].String()}, {"flat_to", s.Dates[b.to].String()}})
	}
	var crossover any
	if heads, ok, _ := s.crossing(); ok {
		crossover = heads
	}
	return Object{
		{"format", DrillingFormat}, {"plan", s.Calendar.Name}, {"seed", s.Seed}, {"replicates", s.Replicates}, {"side_replicates", s.SideReplicates},
		{"version", s.Provenance.Version}, {"provenance", s.Provenance.Object()}, {"units", units(s.Calendar)}, {"warnings", warningObjects(warnings)},
		{"season", s.Calendar.Seasons[s.Season].HarvestYear}, {"crop", s.Calendar.Seasons[s.Season].Courses[0].Crop.Name},
		{"best", s.Dates[best.best].String()}, {"flat_from", s.Dates[best.from].String()}, {"flat_to", s.Dates[best.to].String()},
		{"crossover_heads_per_m2", crossover}, {"dates", dates}, {"infestations", sides},
	}
}

// DrillingCSV writes the sweep tidily.
func DrillingCSV(w io.Writer, s DrillingSweep) error {
	out := csv.NewWriter(w)
	_ = out.Write([]string{"date", "metric", "unit", "quantile", "value"}) // errors come at Error below
	for i, d := range s.Dates {
		for _, m := range swept {
			bandRows(out, []string{d.String(), sim.Metrics[m].Name, unit(s.Calendar, m)}, Band(ensemble.Summarise(s.Outcomes[i].Column(m, s.Season))))
		}
		bandRows(out, []string{d.String(), "plan_margin_per_ha", s.Calendar.Currency + "/ha a year"}, Band(ensemble.Summarise(planMargin(s.Outcomes[i]))))
	}
	out.Flush()
	return out.Error()
}
