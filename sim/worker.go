package sim

import (
	"fmt"
	"math"

	"rundown/params/date"
	"rundown/sim/crop"
	"rundown/sim/fieldwork"
	"rundown/sim/herbicide"
	"rundown/sim/margin"
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
	theRest

	chanceKey, seasons, parameters random.Key
	draw                           seedbank.Chance
	plants                         stand.Chance
	of                             Replicate // that is run
	sky                            *Sky
	watches                        []Watch
	out                            *Record
	spare                          []stand.Cohort          // scratch of look
	spareLots                      []seedbank.Lot          // likewise
	spareResidues                  []herbicide.Application // likewise

	// Unmet counts the parameter draws that were kept although they do not fit
	// what is known of the weed's cycle, since no draw that fits was found.
	Unmet int
}

// theRest is the state of a run; a new run starts from its zero value, with
// the room of its slices kept.
type theRest struct {
	i     int // index of the day in the timeline
	today date.Day

	// The zone. (One for now; the zone is part of every chance address.)
	bank    seedbank.Bank
	stand   stand.Stand
	heads   stand.Heads
	seedSet bool // this year's heads are counted, and seed stands on them
	shed    shedding
	water   soil.State
	straw   crop.Straw
	up      float64 // ripening delay of the fresh rain
	fresh   float64 // non-dormant share of the rain of this calendar year

	// Exposure since the run began, and as it was when steps last closed.
	sum, quickAt, surfaceAt, slowAt seedbank.Exposure
	since                           seedbank.Exposure // of the step that is being closed
	slowDue                         bool              // the slow clock closes with the next step of the grid
	quick                           seedbank.Quick
	soilHeat, soilDays              float64 // of the top 5 cm since the last step, for residues
	coming, comingOn, comingIn      float64 // warmth of ripe seed there likewise, Σ of it × day and × temperature: when seedlings came
	closedOn                        date.Day

	// The season.
	season, course     int
	strayed            bool       // from the plan: a course that was planned could not be kept to
	crops              *cropUnit  // of the course
	covers             *coverUnit // of the season; nil for none
	crop               crop.Crop
	standing           bool // a drilled crop stands
	cropCover          float64
	cover              crop.Cover
	before, after      fieldwork.Queue
	fates              []Fate  // of the work; nil: nobody asks
	kept               float64 // of what the stand would have borne, by the work that is being done
	harvestOn          date.Day
	countOn            date.Day // plants are counted at the end of this day
	closeOn            date.Day // the season's books are closed
	active             bool
	sprays, ploughings uint8
	jobsToday          uint8
	inCropLoss         float64
	competing          float64
	money              margin.Account
	residues           []herbicide.Application // that are not spent
	spared             float64                 // share of the last step's seedlings that residues let live

	lost      seedbank.Losses
	tally     stand.Tally
	shedSeed  int64
	brought   int64
	atStart   int64
	plantsAt  int64
	held      int64 // seed of the last June, and its rain less what was carried off
	june      int64 // seed in the soil on the season's 30 June
	turned    bool  // the season has had its 30 June
	values    *[MetricCount]float64
	nextWatch int
	broken    bool  // a ledger that does not balance
	refused   error // a start that cannot be counted
}

const (
	roomResidues = 8
	roomCohorts  = 160
	roomLots     = 16
)

// NewWorker makes a worker of a model.
func (m *Model) NewWorker() (*Worker, error) {
	w := &Worker{m: m}
	b, err := m.bindUnits(&w.u)
	if err != nil {
		return nil, err
	}
	w.bindings = b
	if o := m.own; o != nil && !o.Given {
		w.u.weed.Seed.ReturnTarget = o.Target
	}
	w.theta = m.calendar.Space.Central()
	w.stand.Cohorts = make([]stand.Cohort, 0, roomCohorts)
	w.bank.Lots = make([]seedbank.Lot, 0, roomLots)
	w.residues = make([]herbicide.Application, 0, roomResidues)
	w.spare = make([]stand.Cohort, 0, roomCohorts)
	w.spareLots = make([]seedbank.Lot, 0, roomLots)
	w.spareResidues = make([]herbicide.Application, 0, roomResidues)
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
	return &Record{Seasons: make([][MetricCount]float64, len(m.seasons)), Watched: make([]float64, watches)}
}

// Run runs one replicate: a pure function of its arguments, whatever the worker
// ran before. The sky must be filled for the replicate (Sky.FillFor), watches be in
// order of date. A broken ledger is an error, and so is a start beyond what can be
// counted.
func (w *Worker) Run(r Replicate, sky *Sky, watches []Watch, out *Record) (err error) {
	defer w.caught(r.Seed, r.Luck, &err)
	if err := w.unfit(r.Theta); err != nil {
		return err
	}
	if err := sky.wrong(&r); err != nil {
		return err
	}
	w.begin(r, sky, watches, out)
	for w.i = range sky.Days.MeanC {
		w.today = w.m.first + date.Day(w.i)
		if w.today == r.Turn.Day {
			w.turn()
		}
		w.day()
		if w.refused != nil {
			return w.refused
		}
		if w.season == len(w.m.seasons) || w.today == r.Until {
			break
		}
	}
	if w.season < len(w.m.seasons) && (r.Until == 0 || w.today < r.Until) {
		return fmt.Errorf("replicate with seed %d and luck %v did not reach the end of the plan by %v", r.Seed, r.Luck, w.m.last)
	}
	if w.broken {
		return fmt.Errorf("the seed ledger of seed %d, luck %v does not balance: this is a bug, please report the plan with these numbers", r.Seed, r.Luck)
	}
	return nil
}

// begin sets the state for a new run.
func (w *Worker) begin(r Replicate, sky *Sky, watches []Watch, out *Record) {
	cohorts, lots, residues := w.stand.Cohorts[:0], w.bank.Lots, w.residues[:0]
	w.theRest = theRest{}
	w.stand.Cohorts, w.bank.Lots, w.residues = cohorts, lots, residues
	w.bank.Reset()
	w.of, w.sky, w.watches, w.out = r, sky, watches, out
	w.chanceKey = random.Root(r.Seed, random.Chance, r.Luck[random.Chance])
	w.seasons = random.Root(r.Seed, random.Season, r.Luck[random.Season])
	w.parameters = random.Root(r.Seed, random.Parameters, r.Luck[random.Parameters])
	w.draw.Key, w.plants.Key = w.chanceKey, w.chanceKey
	w.setTheta(r.Theta)
	w.water = w.m.soil.Start()
	w.up, w.spared = 1, 1
	w.closedOn = w.m.first - 1
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

// Model is the model that the worker runs.
func (w *Worker) Model() *Model { return w.m }

// SharesSky tells whether two models can share one replicate's weather: made of
// the same, on the same timeline, whatever else they are of.
func (m *Model) SharesSky(other *Model) bool {
	return m.first == other.first && m.last == other.last && m.madeOf == other.madeOf
}
