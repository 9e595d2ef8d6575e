package sim

import (
	"fmt"
	"math"

	"rundown/params/date"
	"rundown/sim/random"
	"rundown/sim/seedbank"
	"rundown/sim/soil"
	"rundown/sim/stand"
)

// Worker runs replicates of one model. It holds all that a run needs, so that
// a run allocates nothing; it is for one goroutine.
type Worker struct {
	m        *Model
	u        units
	bindings []binding
	theta    []float64 // what the units are filled with
	cycled   []float64 // what the reference cycle was last run with, once it was
	rates    seedbank.Rates
	limits   soil.Limits // of work on this field
	cycle    cycle       // the cycle of cycled in the known reference year
	past     cycle       // that of the plan's own place and usual tillage, where it is another
	runState
	aside runState          // what look puts aside
	spots []spot            // the populations of the field in their patches
	toll  stand.Toll        // scratch: of the herbicide that is sprayed
	since seedbank.Exposure // scratch: of the step that is being closed

	seasons    effects // on the field
	parameters random.Key
	of         Replicate // that is run
	sky        *Sky
	chosen     int // of a menu: the entry that comes next
	watches    []Watch
	out        *Record
	values     *[MetricCount]float64 // of the season, in out

	// Unmet counts the parameter draws that were kept although they do not fit
	// what is known of the weed's cycle, since no draw that fits was found.
	Unmet int
}

// wholeField is a field of one patch.
var wholeField = []float64{1}

// NewWorker makes a worker of a model.
func (m *Model) NewWorker() (*Worker, error) { return m.newWorker(wholeField, 1) }

// newWorker makes a worker for a field whose patches have these shares of it.
func (m *Model) newWorker(shares []float64, populations int) (*Worker, error) {
	w := &Worker{m: m, runState: newState(m.areaM2, shares, populations, m.evolves()), aside: newState(m.areaM2, shares, populations, m.evolves())}
	if m.rules != nil {
		w.seen.looks, w.aside.seen.looks = make([]look, len(m.rules.sights)), make([]look, len(m.rules.sights))
	}
	w.layOut()
	b, err := m.bindUnits(&w.u)
	if err != nil {
		return nil, err
	}
	w.bindings = b
	if o := m.own; o != nil && !o.Given {
		w.u.weed.Seed.ReturnTarget = o.Target
	}
	w.theta = m.calendar.Space.Central()
	w.setTheta(w.theta)
	return w, nil
}

// setWeed fills the parameters of a replicate, as far as the reference cycle needs them.
func (w *Worker) setWeed(theta []float64) {
	copy(w.theta, theta)
	for _, b := range w.bindings {
		*b.to = theta[b.at]
	}
	w.rates.Set(&w.u.weed.Seed)
}

// setTheta fills the parameters of a replicate.
func (w *Worker) setTheta(theta []float64) {
	w.setWeed(theta)
	w.rates.Tabulate()
	w.limits = w.m.soil.Limits(w.u.soil.WorkSite)
	for h := range w.u.herbicides {
		for a := range w.u.herbicides[h].Actives {
			x := &w.u.herbicides[h].Actives[a]
			x.Set(w.m.base[h][a] + logit(x.SeasonControl) + x.OnWeed)
		}
	}
}

// Record is what a run gives back: the metrics of every season and the watched
// quantities. NaN means no value.
type Record struct {
	Seasons [][MetricCount]float64
	Watched []float64
	Work    []Fate // of every piece of the model's Work; nil: nobody asks
}

// NewRecord makes room for a model's seasons and some watches.
func (m *Model) NewRecord(watches int) *Record {
	return &Record{Seasons: make([][MetricCount]float64, m.years), Watched: make([]float64, watches)}
}

// Run runs one replicate: a pure function of its arguments, whatever the worker
// ran before. The sky must be filled for the replicate (Sky.FillFor), watches be in
// order of date. A broken ledger is an error, and so is a start beyond what can be
// counted.
func (w *Worker) Run(r Replicate, sky *Sky, watches []Watch, out *Record) (err error) {
	defer w.caught(r.Seed, r.Streams, &err)
	if err := w.unfit(r.Theta); err != nil {
		return err
	}
	if err := sky.wrong(&r); err != nil {
		return err
	}
	w.begin(r, sky, watches, out)
	if err := w.runTo(w.m.last); err != nil {
		return err
	}
	return w.wrong()
}

// runTo runs on through a day, or to the end of the run.
func (w *Worker) runTo(last date.Day) error {
	for ; w.i < len(w.sky.Days.MeanC) && w.m.first+date.Day(w.i) <= last && !w.done(); w.i++ {
		w.today = w.m.first + date.Day(w.i)
		if w.today == w.of.Switch.Day {
			w.switchStreams()
		}
		w.day()
		if w.refused != nil {
			return w.refused
		}
	}
	return nil
}

// done tells whether the last day of the run has been run.
func (w *Worker) done() bool { return w.stage == over || w.today == w.of.Until }

// wrong is an error of a run at its end.
func (w *Worker) wrong() error {
	r := &w.of
	if w.stage != over && (r.Until == 0 || w.today < r.Until) {
		return fmt.Errorf("replicate with seed %d and luck %v did not reach the end of the plan by %v", r.Seed, r.Streams, w.m.last)
	}
	if w.broken {
		return fmt.Errorf("the seed ledger of seed %d, luck %v does not balance: this is a bug, please report the plan with these numbers", r.Seed, r.Streams)
	}
	return nil
}

// begin sets the state for a new run.
func (w *Worker) begin(r Replicate, sky *Sky, watches []Watch, out *Record) {
	w.reset()
	w.of, w.sky, w.watches, w.out, w.values = r, sky, watches, out, nil
	w.setTheta(r.Theta)
	w.parameters = random.Root(r.Seed, random.Parameters, r.Streams[random.Parameters]).Field(w.m.fieldName)
	w.setGenes()
	w.setStreams(r.Streams)
	w.today = w.m.first - 1
	for i := range w.patches {
		w.patches[i].water = w.m.soil.Start()
	}
	for s := range out.Seasons {
		for k := range out.Seasons[s] {
			out.Seasons[s][k] = math.NaN()
		}
	}
	for i := range out.Watched {
		out.Watched[i] = math.NaN()
	}
	clear(out.Work)
	w.fates, w.before.Log, w.after.Log = out.Work, out.Work, out.Work
}

// setStreams sets the keys of all that is still to be drawn.
func (w *Worker) setStreams(streams Streams) {
	chance := random.Root(w.of.Seed, random.Chance, streams[random.Chance]).Field(w.m.fieldName)
	w.seasons = effects{random.Root(w.of.Seed, random.Season, streams[random.Season])}
	for i := range w.patches {
		p := &w.patches[i]
		for k := range p.populations {
			q := &p.populations[k]
			q.draw.Key, q.plants.Key = chance, chance
			if w.u.genes.On {
				q.draw.ByClass.SetLuck(chance)
				q.plants.ByClass = q.draw.ByClass
				q.bank.Traits = w.u.genes.Traits
			}
			q.years = effects{w.seasons.Population(k)}
			q.site = effects{w.seasons.Field(w.m.fieldName).Population(k)}
		}
	}
}

// copyFrom makes a worker of the same model go on where another one stands, with a
// record of its own. It shares the other's sky and watches, and nothing that a run changes.
func (w *Worker) copyFrom(o *Worker, out *Record) {
	w.of, w.sky, w.watches, w.out, w.values = o.of, o.sky, o.watches, out, nil
	w.seasons, w.parameters = o.seasons, o.parameters
	w.setTheta(o.theta)
	w.setGenes()
	w.runState.copyFrom(&o.runState, &w.u)
	for s := range out.Seasons {
		out.Seasons[s] = o.out.Seasons[s]
		if o.values == &o.out.Seasons[s] {
			w.values = &out.Seasons[s]
		}
	}
	copy(out.Watched, o.out.Watched)
	copy(out.Work, o.out.Work)
	w.fates, w.before.Log, w.after.Log = out.Work, out.Work, out.Work
}

// Model is the model that the worker runs.
func (w *Worker) Model() *Model { return w.m }

// SharesSky tells whether two models can share one replicate's weather: made of
// the same, on the same timeline, whatever else they are of.
func (m *Model) SharesSky(other *Model) bool {
	return m.first == other.first && m.last == other.last && m.madeOf == other.madeOf && (m.fieldName == "") == (other.fieldName == "")
}
