package study

import (
	"math"
	"slices"

	"rundown/params/date"
	"rundown/rotations"
	"rundown/sim"
)

// What is worth a warning.
const (
	oftenNotDrilled = 0.10 // share of runs in which the planned crop was not drilled
	missedAlone     = 0.05 // share of runs in which a crop was missed that has none to follow it (assumed)
	oftenTooMany    = 0.10 // share of the runs that pull weeds in which they were too many
	unmetShare      = 0.01 // share of runs whose values do not fit the weed's cycle
	diedOutShare    = 0.01 // share of runs without seed or plant
	wideStart       = 10.0 // 95 % over 5 % point of the seedbank at the start
	looseTail       = 1.3  // factor by which a 95 % point may be off (95 % interval)
	ledgerTolerance = 1e-9 // of the seeds that came in
	enoughHistories = 100  // of equal weight, for bands to rest on
)

// Code is a stable word for something that a reader must know before acting.
type Code string

// Codes of warnings.
const (
	NotDrilled Code = "planned-crop-not-drilled" // X: share of the runs that planned it
	// X: share of the runs that planned it, Y: what such a year earns less, per ha, NaN: not known; of a sweep: see missedFrom.
	NoFallback     Code = "no-fallback"
	TooMany        Code = "too-many-to-pull" // X: share of the runs that pull, Y: plants per m² found, median
	DiedOut        Code = "died-out"         // X: share of runs
	LedgerOpen     Code = "ledger"           // X: seeds that came in, Y: accounted for
	TailsUncertain Code = "tails-uncertain"  // X: factor; +Inf: not known at all
	StartUncertain Code = "start-uncertain"  // X to Y: 90 % range of the seed at the start
	WeedFreeStart  Code = "weed-free-start"
	CoverRisks     Code = "cover-not-modelled"
	Resistance     Code = "resistance"
	ReturnNotMet   Code = "return-not-met"     // X: share of runs, Y: the target, seeds per seed
	OwnReturn      Code = "own-return"         // Own: what a user's values do to the target
	NeverTaken     Code = "branch-never-taken" // a branch that no run took
	WorkNotDone    Code = "work-not-done"      // Undone: what is done in fewer than 80 of 100 of the runs that grew the crop
	FewHistories   Code = "few-histories"      // X: so many of equal weight, Y: so many in all

	// Of the plan as written: Plan says what.
	SprayedOften    Code = rotations.SprayedOften
	CoverSprayedOff Code = rotations.CoverSprayedOff
	SeenBeforeWork  Code = rotations.SeenBeforeWork
)

// Warning is a code with its numbers.
type Warning struct {
	Code    Code
	Season  int     // 1 for the first season; 0: not about one season
	Of      *Season // of NotDrilled, NoFallback and NeverTaken: the season, or the branch of it
	X, Y    float64
	From    date.Day           // planned day from which on it holds, in a sweep of days
	Own     *sim.OwnReturn     // of OwnReturn
	Plan    *rotations.Warning // of SprayedOften and CoverSprayedOff
	Evolves *Evolving          // of Resistance: what becomes of it; nil where it is held still
	Undone  []Undone           // of WorkNotDone
}

func (f *Forecast) warnings() []Warning {
	out := ofPlan(f.Calendar)
	for i := range f.Seasons {
		s := &f.Seasons[i]
		for _, u := range s.Units() {
			missed := f.noFallback(i, u)
			if missed == nil {
				missed = notDrilled(i, u)
			}
			out = appendIf(out, missed)
		}
		out = appendIf(out, neverTaken(i, s), tooMany(i, s), diedOut(i, s), ledgerOpen(i, s))
	}
	return appendIf(out, f.workUndone(), f.looseTails(), startWide(&f.Seasons[0]), weedFree(&f.Seasons[0]), f.coverRisks(),
		f.resistance(), f.ownReturn(), f.unmet(), f.fewHistories())
}

// ofPlan are the warnings of a plan that no run is needed for.
func ofPlan(c *rotations.Calendar) []Warning {
	var out []Warning
	for i := range c.Warnings {
		w := &c.Warnings[i]
		out = append(out, Warning{Code: Code(w.Code), Season: w.Season, Plan: w})
	}
	return out
}

func appendIf(list []Warning, more ...*Warning) []Warning {
	for _, w := range more {
		if w != nil {
			list = append(list, *w)
		}
	}
	return list
}

func notDrilled(i int, s *Season) *Warning {
	if s.Drilled == nil || 100-math.Round(100*s.Drilled.Share) < 100*oftenNotDrilled { // as tables show it
		return nil
	}
	return &Warning{Code: NotDrilled, Season: i + 1, Of: s, X: 1 - s.Drilled.Share}
}

// tooMany tells where pulling was planned for more weeds than hands can pull. It is
// done and charged all the same.
func tooMany(i int, s *Season) *Warning {
	if s.TooMany < oftenTooMany {
		return nil
	}
	return &Warning{Code: TooMany, Season: i + 1, X: s.TooMany, Y: s.Bands[sim.PlantsFound].P50}
}

func diedOut(i int, s *Season) *Warning {
	if s.Extinct < diedOutShare || s.Ledger[sim.LedgerStart]+s.Ledger[sim.LedgerShed]+s.Ledger[sim.LedgerBroughtIn] == 0 {
		return nil // rare, or there was none to die
	}
	return &Warning{Code: DiedOut, Season: i + 1, X: s.Extinct}
}

// ledgerOpen checks the seed ledger: what came in must equal what is left and
// what went.
func ledgerOpen(i int, s *Season) *Warning {
	l := s.Ledger
	in := l[sim.LedgerStart] + l[sim.LedgerShed] + l[sim.LedgerBroughtIn]
	out := l[sim.LedgerEnd] + l[sim.LedgerDied] + l[sim.LedgerEaten] + l[sim.LedgerFatal] + l[sim.LedgerEmerged] + l[sim.LedgerCarriedOff]
	if math.Abs(in-out) <= ledgerTolerance*math.Max(1, in) {
		return nil
	}
	return &Warning{Code: LedgerOpen, Season: i + 1, X: in, Y: out}
}

// finest is what of a density is next to nothing.
var finest = map[sim.Metric]float64{sim.Heads: 0.01, sim.SeedbankJune: 0.1}

// looseTails looks at the 95 % points of the last season: with few replicates
// they are set by a handful of runs.
func (f *Forecast) looseTails() *Warning {
	worst := 1.0
	for _, m := range []sim.Metric{sim.Heads, sim.SeedbankJune} {
		least, at := finest[m], f.Seasons[f.Last].Bands[m].P95
		if at <= least {
			continue // next to nothing is left even there
		}
		low, high := quantileInterval(f.Outcome.Column(m, f.Last), 0.95, 0.95)
		worst = max(worst, high/at, at/max(low, least))
	}
	if worst < looseTail {
		return nil
	}
	return &Warning{Code: TailsUncertain, X: worst}
}

func startWide(first *Season) *Warning {
	b := first.Bands[sim.LedgerStart]
	if b.N == 0 || b.P95 <= wideStart*b.P05 || b.P95 == 0 {
		return nil
	}
	return &Warning{Code: StartUncertain, X: b.P05, Y: b.P95}
}

func weedFree(first *Season) *Warning {
	if first.Bands[sim.LedgerStart].P95 > 0 {
		return nil
	}
	return &Warning{Code: WeedFreeStart}
}

func (f *Forecast) coverRisks() *Warning {
	if !slices.ContainsFunc(f.Seasons, func(s Season) bool { return s.Cover != nil }) {
		return nil
	}
	return &Warning{Code: CoverRisks}
}

func (f *Forecast) resistance() *Warning {
	if len(f.Calendar.Resistance) == 0 && f.Calendar.Genes == nil {
		return nil
	}
	return &Warning{Code: Resistance, Evolves: f.Evolves}
}

// unmet tells of a weed whose values cannot return what it is said to return.
func (f *Forecast) unmet() *Warning {
	n := f.Outcome.Unmet()
	if float64(n) < unmetShare*float64(f.Replicates) || n == 0 {
		return nil
	}
	return &Warning{Code: ReturnNotMet, X: float64(n) / float64(f.Replicates), Y: f.Outcome.Model.ReturnTarget()}
}

// ownReturn tells of a user's own values of the weed that move what is known of their
// product.
func (f *Forecast) ownReturn() *Warning {
	own := f.Outcome.Model.OwnReturn()
	if own == nil {
		return nil
	}
	return &Warning{Code: OwnReturn, Own: own}
}

// fewHistories warns of runs that go on from few histories: their pasts repeat,
// however many runs there are.
func (f *Forecast) fewHistories() *Warning {
	if f.Posterior == nil {
		return nil
	}
	squares := 0.0
	for _, x := range f.Posterior.Particles {
		squares += x.Weight * x.Weight
	}
	if worth := 1 / squares; worth < enoughHistories {
		return &Warning{Code: FewHistories, X: worth, Y: float64(len(f.Posterior.Particles))}
	}
	return nil
}
