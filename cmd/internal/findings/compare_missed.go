package findings

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/sim/study"
)

// missedElsewhere tells of crops that often miss their season where the plan names another. Plans
// that miss alike are told together.
func missedElsewhere(x *comparison) (out []report.Warning) {
	lead := "So many of 100 runs could not drill a planned crop in time:"
	if slices.ContainsFunc(x.all, func(c *contender) bool { return anyChosen(c.Seasons) }) {
		lead = "So many of 100 runs that planned it could not drill a crop in time:"
	}
	said := map[string]int{}
	for _, c := range x.all {
		missed := missedCrops(c, func(crop string) bool { return !fallsFallow(c, crop) })
		if missed == "" {
			continue
		}
		w := report.Warning{Code: string(study.NotDrilled),
			Text: fmt.Sprintf("So many of 100 runs of %s could not drill a planned crop in time: %s.", c.Name, missed), Lead: lead}
		few := withoutYears.ReplaceAllString(missed, "")
		if at, ok := said[few]; ok {
			out[at].Detail = strings.Replace(out[at].Detail, ": "+few, ", "+c.Name+": "+few, 1)
		} else {
			said[few], w.Detail = len(out), c.Name+": "+few
		}
		out = append(out, w)
	}
	return out
}

// fallsFallow tells whether a plan is warned that it names nothing to grow where a crop is missed.
func fallsFallow(c *contender, crop string) bool {
	return slices.ContainsFunc(c.Warnings, func(w study.Warning) bool { return w.Code == study.NoFallback && about(c.Seasons, w).Crop == crop })
}

// together is a note that several plans share: its lead, and a detail for those that are alike.
type together struct {
	lead    string
	details []string
}

// next is the lead and the next detail, "" where all are told.
func (t *together) next() (lead, detail string) {
	if len(t.details) > 0 {
		detail, t.details = t.details[0], t.details[1:]
	}
	return t.lead, detail
}

// nothingInstead is the note on crops that are missed in plans that name nothing to grow instead.
func nothingInstead(x *comparison) *together {
	of := ""
	var costs []float64
	var names [][]string
	var missed []string
	for _, c := range x.all {
		if anyChosen(c.Seasons) {
			of = planners(c.Seasons)
		}
		for _, w := range c.Warnings {
			if w.Code == study.NoFallback && w.Y > 0 {
				costs = append(costs, w.Y)
			}
		}
		few := withoutYears.ReplaceAllString(missedCrops(c, func(crop string) bool { return fallsFallow(c, crop) }), "")
		switch at := slices.Index(missed, few); {
		case few == "":
		case at >= 0:
			names[at] = append(names[at], c.Name)
		default:
			names, missed = append(names, []string{c.Name}), append(missed, few)
		}
	}
	t := &together{lead: "In so many of 100 runs" + of + " a crop could not be drilled in time, and the plan names nothing to grow instead (otherwise:)"}
	if len(costs) > 0 {
		money := func(y float64) string { return perMargin(x.area(), y) }
		t.lead += fmt.Sprintf("; such a year earned %s %s less on the mean", lowToHigh(money(slices.Min(costs)), money(slices.Max(costs))),
			perArea(x.all[0].Calendar))
	}
	t.lead += ":"
	for i := range missed {
		t.details = append(t.details, strings.Join(names[i], ", ")+": "+missed[i])
	}
	return t
}

// withoutYears takes the years out of what missedCrops says.
var withoutYears = regexp.MustCompile(` \([^)]*\)`)

// missedCrops are those of a plan's crops that often miss their season: winter wheat
// 20 to 24 (2027–2032).
func missedCrops(c *contender, which func(crop string) bool) string {
	var names []string
	years, shares := map[string][]int{}, map[string][]float64{}
	for i := range c.Seasons {
		for _, s := range c.Seasons[i].Units() {
			if s.Drilled == nil || 1-s.Drilled.Share < 0.05 || !which(s.Crop) {
				continue
			}
			if years[s.Crop] == nil {
				names = append(names, s.Crop)
			}
			years[s.Crop] = append(years[s.Crop], s.HarvestYear)
			shares[s.Crop] = append(shares[s.Crop], 1-s.Drilled.Share)
		}
	}
	var parts []string
	for _, n := range names {
		missed := lowToHigh(report.Of100(slices.Min(shares[n])), report.Of100(slices.Max(shares[n])))
		parts = append(parts, fmt.Sprintf("%s %s (%s)", spoken(n), missed, manyYears(years[n])))
	}
	return strings.Join(parts, ", ")
}
