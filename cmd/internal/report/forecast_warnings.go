package report

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"rundown/sim"
)

// What is worth a warning.
const (
	oftenNotDrilled = 0.10 // share of runs in which the planned crop was not drilled
	oftenTooMany    = 0.10 // share of the runs that pull weeds in which they were too many
	unmetShare      = 0.01 // share of runs whose values do not fit the weed's cycle
	diedOutShare    = 0.01 // share of runs without seed or plant
	wideStart       = 10.0 // 95 % over 5 % point of the seedbank at the start
	looseTail       = 1.3  // factor by which a 95 % point may be off (95 % interval)
	ledgerTolerance = 1e-9 // of the seeds that came in
)

func forecastWarnings(r Run, seasons []season) []Warning {
	var out []Warning
	if r.Starter {
		out = append(out, Warning{Code: "starter-plan", Text: "No plan was given, so the built-in starter plan was run; its field is invented. 'rundown new plan.yaml' writes it for you to edit."})
	}
	out = append(out, planWarnings(r.Calendar)...)
	for i, s := range seasons {
		missed := noFallback(r, i, s)
		if missed == nil {
			missed = notDrilled(i, s)
		}
		out = appendIf(out, missed, tooManyToPull(i, s), diedOut(i, s), ledgerOpen(i, s))
	}
	return appendIf(out, looseTails(r, seasons), startWide(seasons[0]), weedFree(seasons[0]), coverRisks(seasons), resistance(r), ownReturn(r.Calendar.Weed, r.Outcome.Model.OwnReturn()), unmet(r), r.fewHistories(), filledDays(r.Calendar))
}

func appendIf(list []Warning, more ...*Warning) []Warning {
	for _, w := range more {
		if w != nil {
			list = append(list, *w)
		}
	}
	return list
}

func notDrilled(i int, s season) *Warning {
	if s.drilled == nil || 1-s.drilled.share < oftenNotDrilled {
		return nil
	}
	share, year, crop := Of100(1-s.drilled.share), s.HarvestYear, spoken(s.crop)
	var others []string
	for _, g := range s.grown[1:] {
		others = append(others, spoken(g.name)+" "+Of100(g.share))
	}
	instead := ""
	if len(others) > 0 {
		instead = " (" + strings.Join(others, ", ") + ")"
	}
	return &Warning{Code: "planned-crop-not-drilled", Season: i + 1,
		Text:   fmt.Sprintf("The %s planned for harvest %d could not be drilled in time in %s of 100 runs%s.", crop, year, share, strings.Replace(instead, "(", "(grown instead: ", 1)),
		Lead:   "Planned crops that could not be drilled in time, in how many of 100 runs (and what was grown instead):",
		Detail: fmt.Sprintf("%d %s %s%s", year, crop, share, instead)}
}

// tooManyToPull says where pulling was planned for more weeds than hands can pull. It is
// done and charged all the same.
func tooManyToPull(i int, s season) *Warning {
	if s.tooMany < oftenTooMany {
		return nil
	}
	found := forms[sim.Plants].Value(s.bands[sim.PlantsFound].P50)
	return &Warning{Code: "too-many-to-pull", Season: i + 1,
		Text: fmt.Sprintf("Before harvest %d those who pull weeds find more than they can pull in %s of 100 runs (in the middle run %s plants/m²): more than half of what a clean field would give up is left, at a cost that rises with every plant pulled.",
			s.HarvestYear, Of100(s.tooMany), found),
		Lead: "More weeds than can be pulled, in how many of 100 runs (more than half of what a clean field would give up is left, and every plant pulled costs):", Detail: fmt.Sprintf("%d in %s", s.HarvestYear, Of100(s.tooMany))}
}

func diedOut(i int, s season) *Warning {
	if s.extinct < diedOutShare || s.ledger[sim.LedgerStart]+s.ledger[sim.LedgerShed]+s.ledger[sim.LedgerBroughtIn] == 0 {
		return nil // rare, or there was none to die
	}
	return &Warning{Code: "died-out", Season: i + 1,
		Text: fmt.Sprintf("The weed has died out by the day after harvest %d in %s of 100 runs; it comes back with the first seed brought in.", s.HarvestYear, Of100(s.extinct)),
		Lead: "The weed has died out by harvest (it comes back with the first seed brought in):", Detail: fmt.Sprintf("%d in %s of 100 runs", s.HarvestYear, Of100(s.extinct))}
}

// ledgerOpen checks the seed ledger: what came in must equal what is left and
// what went.
func ledgerOpen(i int, s season) *Warning {
	l := s.ledger
	in := l[sim.LedgerStart] + l[sim.LedgerShed] + l[sim.LedgerBroughtIn]
	out := l[sim.LedgerEnd] + l[sim.LedgerDied] + l[sim.LedgerEaten] + l[sim.LedgerFatal] + l[sim.LedgerEmerged] + l[sim.LedgerCarriedOff]
	if math.Abs(in-out) <= ledgerTolerance*math.Max(1, in) {
		return nil
	}
	return &Warning{Code: "ledger", Season: i + 1,
		Text: fmt.Sprintf("The seed ledger of harvest %d does not close: %v seeds per m² came in, %v are accounted for. This is a fault of the program; do not use the result.", s.HarvestYear, in, out)}
}

// looseTails looks at the 95 % points of the last season: with few replicates
// they are set by a handful of runs.
func looseTails(r Run, seasons []season) *Warning {
	last := len(seasons) - 1
	worst := 1.0
	for _, m := range []sim.Metric{sim.Heads, sim.SeedbankJune} {
		least, at := forms[m].Least, seasons[last].bands[m].P95
		if at <= least {
			continue // next to nothing is left even there
		}
		low, high := quantileInterval(r.Outcome.Column(m, last), 0.95, 0.95)
		worst = max(worst, high/at, at/max(low, least))
	}
	if worst < looseTail {
		return nil
	}
	how := fmt.Sprintf("only to within a factor of %.1f", worst)
	if math.IsInf(worst, 1) {
		how = "hardly at all"
	}
	return &Warning{Code: "tails-uncertain",
		Text: fmt.Sprintf("With %s the upper ends of the last bands are known %s; ask for more --replicates before leaning on them.", runsOf(r.Replicates), how)}
}

func startWide(first season) *Warning {
	b := first.bands[sim.LedgerStart]
	if b.N == 0 || b.P95 <= wideStart*b.P05 || b.P95 == 0 {
		return nil
	}
	form := forms[sim.SeedbankJune]
	return &Warning{Code: "start-uncertain",
		Text: fmt.Sprintf("The seed in the soil at the start is itself uncertain, %s to %s per m² in nine runs of ten; counts or soil cores would narrow the whole forecast.", form.Value(b.P05), form.Value(b.P95))}
}

func weedFree(first season) *Warning {
	if first.bands[sim.LedgerStart].P95 > 0 {
		return nil
	}
	return &Warning{Code: "weed-free-start", Text: "The plan starts with no seed of the weed in the soil, so only seed that is brought in (import_per_m2) can grow."}
}

func coverRisks(seasons []season) *Warning {
	if !slices.ContainsFunc(seasons, func(s season) bool { return s.Cover != nil }) {
		return nil
	}
	return &Warning{Code: "cover-not-modelled",
		Text: "Two risks of a cover are in the yield band only as a wide margin: slugs can be worse after it (rolling to a fine, firm seedbed helps), and the nitrogen it holds comes back late to a spring crop."}
}

func resistance(r Run) *Warning {
	if len(r.Calendar.Resistance) == 0 {
		return nil
	}
	var groups []string
	for g := range r.Calendar.Resistance {
		groups = append(groups, g)
	}
	sort.Slice(groups, func(a, b int) bool {
		return len(groups[a]) < len(groups[b]) || len(groups[a]) == len(groups[b]) && groups[a] < groups[b]
	})
	for i, g := range groups {
		groups[i] = fmt.Sprintf("group %s loses %s %% of its effect", g, shortest(math.Round(1000*r.Calendar.Resistance[g])/10))
	}
	return &Warning{Code: "resistance",
		Text: "Resistance is taken from the plan and held still: HRAC " + strings.Join(groups, ", ") + ". A test of this field's own seed is better than a guess."}
}

func sentence(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// unmet tells of a weed whose values cannot return what it is said to return.
func unmet(r Run) *Warning {
	n := r.Outcome.Unmet()
	if float64(n) < unmetShare*float64(r.Replicates) || n == 0 {
		return nil
	}
	weed := r.Calendar.Weed
	return &Warning{Code: "return-not-met", Text: fmt.Sprintf("In %s of 100 runs no values were found with which %s returns what it is known to, about %s seeds a year for one shed (return_target); those runs multiply it otherwise. If a library of your own changes the weed, look at its values.",
		Of100(float64(n)/float64(r.Replicates)), spoken(weed.Name), brief(r.Outcome.Model.ReturnTarget(), 3))}
}
