package report

import (
	"fmt"

	"rundown/params/date"
	"rundown/sim"
	"rundown/sim/decide"
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
	Sides          []DrillingSide // every date at other infestations, ascending
	Between        []DrillingSide // the two dates of the crossover at more of them, ascending from clean ground
}

// DrillingSide is part of a sweep at another infestation.
type DrillingSide struct {
	Infestation float64 // heads per m² at the start, or the plan's seedbank so many times
	Outcomes    []*ensemble.Outcome
}

// swept are the quantities of the season that are shown by date.
var swept = []sim.Metric{sim.Plants, sim.Heads, sim.SeedReturn, sim.YieldLoss, sim.Yield, sim.Margin}

// sweep is a sweep with what follows from its runs.
type sweep struct {
	DrillingSweep
	crop        string
	onward      [][]float64    // by date: mean yearly margin from the season to the plan's end
	best        decide.Optimum // of those
	season      decide.Optimum // of the season's own margin
	dateLoss    [][]float64    // by date: share of the weed-free yield that the date costs
	early, late int            // the dates of the crossover
	cross       decide.Crossover
	clean       float64 // what the later of them earns more on clean ground, mean, per ha and year
}

// margins is the mean yearly margin from the swept season on, for each date.
func (s *DrillingSweep) margins(outcomes []*ensemble.Outcome) [][]float64 {
	var out [][]float64
	for _, o := range outcomes {
		out = append(out, decide.MeanMargin(o, s.Season))
	}
	return out
}

// apart is how far apart, in days, two dates must be to be called early and late.
const apart = 14

// Ends are the indices of the dates whose margins are held against each other
// for the crossover: the first, and the best at the plan's infestation; where that
// is hardly later, the best at the heaviest, else the last.
func (s *DrillingSweep) Ends() (early, late int) {
	for _, outcomes := range [][]*ensemble.Outcome{s.Outcomes, s.Sides[len(s.Sides)-1].Outcomes} {
		if late = decide.Best(s.margins(outcomes)).Best; s.Dates[late]-s.Dates[0] >= apart {
			return 0, late
		}
	}
	return 0, len(s.Dates) - 1
}

func newSweep(d DrillingSweep) *sweep {
	s := &sweep{DrillingSweep: d, crop: spoken(d.Calendar.Seasons[d.Season].Courses[0].Crop.Name)}
	s.onward = d.margins(d.Outcomes)
	s.best = decide.Best(s.onward)
	var now [][]float64
	for _, o := range d.Outcomes {
		now = append(now, o.Column(sim.Margin, d.Season))
	}
	s.season = decide.Best(now)
	s.dateLoss = decide.DateLosses(d.Outcomes, d.Season)
	if len(d.Sides) == 0 { // from counts: the infestation is what was found
		return s
	}
	var gains []decide.Gain
	gain := func(x DrillingSide, early, late int) decide.Gain {
		m := d.margins([]*ensemble.Outcome{x.Outcomes[early], x.Outcomes[late]})
		return decide.Gain{Density: x.Infestation, Differences: decide.Differences(m[1], m[0])}
	}
	s.early, s.late = d.Ends()
	sides := d.Sides
	for _, x := range d.Between {
		for len(sides) > 0 && sides[0].Infestation < x.Infestation {
			gains, sides = append(gains, gain(sides[0], s.early, s.late)), sides[1:]
		}
		gains = append(gains, gain(x, 0, 1))
	}
	for _, x := range sides {
		gains = append(gains, gain(x, s.early, s.late))
	}
	s.clean = mean(gains[0].Differences)
	s.cross = decide.Cross(gains)
	return s
}

// Drilling assembles the report of a drilling sweep.
func Drilling(d DrillingSweep) *Report {
	s := newSweep(d)
	warnings := s.warnings()
	r := &Report{
		Title:     fmt.Sprintf("%s: when to drill %s for harvest %d", s.Calendar.Name, s.crop, s.Calendar.Seasons[s.Season].HarvestYear),
		Subtitle:  forecastSubtitle(s.Run),
		Sentences: s.sentences(),
		Tables:    []Table{s.weedTable(), s.moneyTable()},
		Pictures:  s.pictures(),
		Warnings:  warnings,
		Cautions:  Cautions(),
		Document:  s.document(warnings),
		Plans:     plansOf(s.Run),
	}
	if len(s.Sides) > 0 {
		r.Tables = append(r.Tables, s.sidesTable())
	}
	r.Page = func() *Page { return s.page(r) }
	return r
}
