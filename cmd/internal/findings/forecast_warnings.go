package findings

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/study"
)

func forecastWarnings(r ForecastRun) []report.Warning {
	var out []report.Warning
	if r.Starter {
		out = append(out, starterWarning())
	}
	out = append(out, allInWords(r.Run, r.Found.Seasons, r.Found.Warnings)...)
	if wheatTwice(r.Calendar) {
		out = append(out, noSecond)
	}
	if w := filledDays(r.Calendar); w != nil {
		out = append(out, *w)
	}
	if hasLey(r.Calendar) {
		out = append(out, leyHeads)
	}
	return out
}

// leyHeads is said where heads of a ley stand beside those of crops: they count for a threshold as well.
var leyHeads = report.Warning{Code: "heads-in-a-ley", Text: "Heads in a ley are counted in mid-June as in any crop: those that an earlier cut took are not " +
	"among them, those that a later one takes are, though they may set no seed."}

// hasLey tells whether a plan grows a ley.
func hasLey(c *rotations.Calendar) bool {
	return slices.ContainsFunc(c.Seasons, func(s rotations.Season) bool { return s.Courses[0].Crop.Text["perennial"] == "yes" })
}

func starterWarning() report.Warning {
	return report.Warning{Code: "starter-plan", Text: "No plan was given, so the built-in starter plan was run; its field is invented. 'rundown new " +
		"plan.yaml' writes it for you to edit."}
}

// inWords puts a warning of a forecast into words; seasons are those of the plan.
func inWords(r Run, seasons []study.Season, w study.Warning) report.Warning {
	out := report.Warning{Code: string(w.Code), Season: w.Season}
	switch w.Code {
	case study.NotDrilled:
		return notDrilled(out, about(seasons, w), w.X, planners(seasons))
	case study.SprayedOften, study.CoverSprayedOff, study.SeenBeforeWork:
		return planWords(*w.Plan)
	case study.NoFallback:
		return noFallback(out, about(seasons, w), w, r.Calendar, planners(seasons))
	case study.NeverTaken:
		return neverTaken(out, w.Of)
	case study.WorkNotDone:
		return workNotDone(out, w.Undone)
	case study.TooMany:
		return tooManyToPull(out, &seasons[w.Season-1], w)
	case study.OwnReturn:
		return *ownReturn(r.Calendar.Weed, w.Own)
	case study.DiedOut:
		year := seasons[w.Season-1].HarvestYear
		out.Text = fmt.Sprintf("The weed has died out by the day after harvest %d in %s of 100 runs; it comes back with the first seed brought in.", year,
			report.Of100(w.X))
		out.Lead, out.Detail = "The weed has died out by harvest (it comes back with the first seed brought in):", fmt.Sprintf("%d in %s of 100 runs", year,
			report.Of100(w.X))
	case study.LedgerOpen:
		out.Text = fmt.Sprintf("The seed ledger of harvest %d does not close: %v seeds per m² came in, %v are accounted for. This is a fault of the "+
			"program; do not use the result.",
			seasons[w.Season-1].HarvestYear, w.X, w.Y)
	case study.TailsUncertain:
		how := fmt.Sprintf("only to within a factor of %.1f", w.X)
		if math.IsInf(w.X, 1) {
			how = "hardly at all"
		}
		out.Text = fmt.Sprintf("With %s the upper ends of the last bands are known %s; ask for more --replicates before leaning on them.",
			runsOf(r.Replicates), how)
	case study.StartUncertain:
		form := forms[sim.SeedbankJune]
		out.Text = fmt.Sprintf("The seed in the soil at the start is itself uncertain, %s to %s per m² in nine runs of ten; counts or soil cores would "+
			"narrow the whole forecast.", form.Value(w.X), form.Value(w.Y))
	case study.WeedFreeStart:
		out.Text = "The plan starts with no seed of the weed in the soil, so only seed that is brought in (import_per_m2) can grow."
	case study.CoverRisks:
		out.Text = "Two risks of a cover are in the yield band only as a wide margin: slugs can be worse after it (rolling to a fine, firm seedbed " +
			"helps), and the nitrogen it holds comes back late to a spring crop."
	case study.Resistance:
		out.Text = resistanceWords(r.Calendar, w.Evolves)
	case study.ReturnNotMet:
		weed := r.Calendar.Weed
		out.Text = fmt.Sprintf("In %s of 100 runs no values were found with which %s returns what it is known to, about %s seeds a year for one shed "+
			"(return_target); those runs multiply it otherwise. If a library of your own changes the weed, look at its values.",
			report.Of100(w.X), spoken(weed.Name), brief(w.Y, 3))
	case study.FewHistories:
		out.Text = fmt.Sprintf("All runs go on from %s, worth %.0f of equal weight: however many runs are asked for, their pasts repeat, and the bands "+
			"are narrower than what is known. 'rundown update' with more --replicates keeps more.",
			histories(int(w.Y)), w.X)
	}
	return out
}

// planners say whose share it is that could not drill a crop: where the plan chooses, the
// runs that chose it.
func planners(seasons []study.Season) string {
	if anyChosen(seasons) {
		return " that planned it"
	}
	return ""
}

func notDrilled(out report.Warning, s *study.Season, share float64, of string) report.Warning {
	missed, year, crop := report.Of100(share), s.HarvestYear, spoken(s.Crop)
	var others []string
	for _, g := range s.Grown[1:] {
		if math.Round(100*g.Share) == 0 {
			continue // hardly ever: it would read as what is to be expected
		}
		others = append(others, spoken(g.Name)+" "+report.Of100(g.Share))
	}
	instead := ""
	if len(others) > 0 {
		instead = " (" + strings.Join(others, ", ") + ")"
	}
	out.Text = fmt.Sprintf("The %s planned for harvest %d could not be drilled in time in %s of 100 runs%s%s.", crop, year, missed, of,
		strings.Replace(instead, "(", "(grown instead: ", 1))
	out.Lead = "Planned crops that could not be drilled in time (and what was grown instead):"
	out.Detail = fmt.Sprintf("%s of %d in %s of 100 runs%s%s", crop, year, missed, of, instead)
	return out
}

// noFallback tells of a crop that is missed while the plan names nothing to grow
// instead, and what such a year costs.
func noFallback(out report.Warning, s *study.Season, w study.Warning, c *rotations.Calendar, of string) report.Warning {
	share, crop := report.Of100(w.X), spoken(s.Crop)
	cost := ""
	if !math.IsNaN(w.Y) {
		cost = fmt.Sprintf("; on the mean such a year earned %s %s less", perMargin(c.Area, w.Y), perArea(c))
	}
	out.Text = fmt.Sprintf("The %s planned for harvest %d could not be drilled by %s in %s of 100 runs%s, "+
		"and the plan names nothing to grow instead, so the field lay fallow%s. Write a crop after otherwise:, or otherwise: fallow if that is meant.",
		crop, s.HarvestYear, dayOfYear(s.Courses[0].Drill.Latest), share, of, cost)
	out.Lead = "The plan names nothing to grow instead (otherwise:) of crops that could not be drilled in time:"
	out.Detail = fmt.Sprintf("%s of %d in %s of 100 runs%s%s", crop, s.HarvestYear, share, of, cost)
	return out
}

// tooManyToPull says where pulling was planned for more weeds than hands can pull.
func tooManyToPull(out report.Warning, s *study.Season, w study.Warning) report.Warning {
	out.Text = fmt.Sprintf("Before harvest %d those who pull weeds find more than they can pull in %s of 100 runs "+
		"(in the middle run %s plants/m²): more than half of what a clean field would give up is left, at a cost that rises with every plant pulled.",
		s.HarvestYear, report.Of100(w.X), forms[sim.Plants].Value(w.Y))
	out.Lead = "More weeds than can be pulled, in how many of 100 runs (more than half of what a clean field would give up is left, and every plant pulled costs):"
	out.Detail = fmt.Sprintf("%d in %s", s.HarvestYear, report.Of100(w.X))
	return out
}

func sentence(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
