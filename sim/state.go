package sim

import (
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

// runState is the state of a run: all that differs from one day to the next. It holds no
// pointer into the worker that runs it, but for the values of residues, which copyFrom
// moves; jobs are read-only tables of the model.
type runState struct {
	i     int // index of the day in the timeline
	today date.Day
	due   date.Day // until then nothing is but what grid and marks say; 0: not known
	field
	nextWatch int
	broken    bool  // a ledger that does not balance
	refused   error // a start that cannot be counted
}

// stage is how far the field has come in its season.
type stage uint8

const (
	beforePlan stage = iota // under the crop before the plan, or after its harvest
	growing                 // in a season of the plan, which has not been harvested
	cut                     // harvested: the season's books close on the next day
	over                    // behind the last season
)

// field is what is one for all patches: the season with its crop and jobs, and money.
type field struct {
	patches []patch

	stage              stage
	season, course     int
	at                 int  // the season in the model's: where nothing is chosen, season
	undecided          bool // what is grown is not decided yet
	strayed            bool // from the plan: a course that was planned could not be kept to
	cropAt, coverAt    int  // the crop of the course and the cover of the season, in the units; −1: no cover
	crop               crop.Crop
	standing           bool            // a drilled crop stands
	cropCover, cropKcb float64         // the ground that it covers, and what it transpires
	before, after      fieldwork.Queue // up to the drilling, and after it
	fates              []Fate          // of the work; nil: nobody asks
	harvestOn          date.Day
	countOn            date.Day // plants are counted at the end of this day
	sprays, ploughings uint8
	inCropLoss         float64
	bears              bearing
	money              margin.Account
	seen               sightings
}

// patch is a part of the field with its own soil water and work. (One for now.)
type patch struct {
	areaM2, share float64 // of the field
	water         soil.State
	tilled        seedbank.Tilled
	straw         crop.Straw
	cover         crop.Cover
	populations   []population
}

// residue is a residual programme in the soil and where its values are, in the units.
type residue struct {
	herbicide.Application
	of int
}

// population is one weed in one patch. (One for now.)
type population struct {
	draw   seedbank.Chance
	plants stand.Chance
	years  effects // season effects on this weed
	site   effects // those of them that are the field's own

	bank    seedbank.Bank
	stand   stand.Stand
	heads   stand.Heads
	seedSet bool // this year's heads are counted, and seed stands on them
	shed    shedding
	up      float64 // ripening delay of the fresh rain
	fresh   float64 // non-dormant share of the rain of this calendar year

	// Exposure since the run began, and as it was when steps last closed.
	sum, quickAt, surfaceAt, slowAt seedbank.Exposure
	slowDue                         bool // the slow clock closes with the next step of the grid
	quick                           seedbank.Quick
	// Warmth of ripe seed in 0–5 cm since the last step, Σ of it × day and × temperature: when seedlings came.
	coming, comingOn, comingIn float64
	// Residual programmes that are not spent. They are a population's, not a patch's: their odds
	// are those of killing this weed, and they age by its steps.
	residues           []residue
	drying             int     // days for which the dryness of the seedbed still counts for one of them
	soilHeat, soilDays float64 // of the top 5 cm since the last step, for residues
	spared             float64 // share of the last step's seedlings that residues let live
	competing          float64 // heads per m² that the crop loses yield to
	heritage                   // what it carries, where something evolves
	kept               float64 // of what the stand would have borne, by the work that is being done

	ledger
}

// ledger counts a population's seeds and plants in a season.
type ledger struct {
	lost     seedbank.Losses
	tally    stand.Tally
	shedSeed int64
	brought  int64
	atStart  int64
	plantsAt int64
	held     int64 // seed of the last June, and its rain less what was carried off
	june     int64 // seed in the soil on the season's 30 June
	turned   bool  // the season has had its 30 June
	book     kinBook
}

const (
	roomResidues = 8
	roomCohorts  = 160
	roomLots     = 16
)

// newState makes room for a field whose patches have these shares of it.
func newState(areaM2 float64, shares []float64, populations int, evolves bool) runState {
	s := runState{field: field{patches: make([]patch, len(shares))}}
	for i := range s.patches {
		p := &s.patches[i]
		*p = patch{areaM2: areaM2 * shares[i], share: shares[i], populations: make([]population, populations)}
		for k := range p.populations {
			q := &p.populations[k]
			q.stand.Cohorts = make([]stand.Cohort, 0, roomCohorts)
			q.bank.Lots = make([]seedbank.Lot, 0, roomLots)
			q.residues = make([]residue, 0, roomResidues)
			if evolves {
				q.evolve()
			}
			q.draw.Zone = random.Zone(i, k)
			q.plants.Zone = q.draw.Zone
		}
	}
	return s
}

// reset empties the state for a new run and keeps its room.
func (s *runState) reset() {
	patches, looks := s.patches, s.seen.looks
	*s = runState{field: field{patches: patches, coverAt: -1}}
	s.seen.looks = looks
	clear(looks)
	for i := range s.patches {
		p := &s.patches[i]
		*p = patch{areaM2: p.areaM2, share: p.share, populations: p.populations}
		for k := range p.populations {
			q := &p.populations[k]
			lots, cohorts := q.bank.Lots, q.stand.Cohorts[:0]
			kin := q.kinRoom()
			*q = population{draw: q.draw, plants: q.plants, up: 1, spared: 1, residues: q.residues[:0]}
			q.bank.Lots, q.stand.Cohorts = lots, cohorts
			q.keepRoom(kin)
			q.bank.Reset()
		}
	}
}

// copyFrom makes the state that of another of the same shape, in its own room.
// The values of residues are those of the worker whose units are given.
func (s *runState) copyFrom(o *runState, u *units) {
	patches, looks := s.patches, s.seen.looks
	*s = *o
	s.patches, s.seen.looks = patches, looks
	copy(looks, o.seen.looks)
	for i := range patches {
		patches[i].copyFrom(&o.patches[i], u)
	}
}

func (p *patch) copyFrom(o *patch, u *units) {
	populations := p.populations
	*p = *o
	p.populations = populations
	for k := range populations {
		populations[k].copyFrom(&o.populations[k], u)
	}
}

func (q *population) copyFrom(o *population, u *units) {
	lots, cohorts, residues := q.bank.Lots[:0], q.stand.Cohorts[:0], q.residues[:0]
	kin := q.kinRoom()
	*q = *o
	q.keepRoom(kin)
	q.copyKin(o)
	q.bank.Lots, q.stand.Cohorts = append(lots, o.bank.Lots...), append(cohorts, o.stand.Cohorts...)
	q.residues = append(residues, o.residues...)
	for i := range q.residues {
		r := &q.residues[i]
		r.Actives, r.Lost = u.herbicides[r.of].Actives, u.herbicides[r.of].lost
	}
}

// spot is one population in its patch, with the worker that runs it: what the
// processes of seed and plants take.
type spot struct {
	*Worker
	*patch
	*population
}

// layOut lists the spots of a worker's field; patches and populations never move.
func (w *Worker) layOut() {
	w.spots = nil
	for i := range w.patches {
		p := &w.patches[i]
		for k := range p.populations {
			w.spots = append(w.spots, spot{w, p, &p.populations[k]})
		}
	}
}
