package findings

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/rotations"
	"rundown/sim/study"
)

// allInWords puts warnings of a plan into words. Those of one kind in several seasons
// have one detail together, the first's.
func allInWords(r Run, seasons []study.Season, warnings []study.Warning) []report.Warning {
	var out []report.Warning
	groups := map[string]*alike{}
	for _, w := range warnings {
		out = append(out, inWords(r, seasons, w))
		key, ok := alikeBy(seasons, w)
		if !ok {
			continue
		}
		g := groups[key]
		if g == nil {
			g = &alike{first: len(out) - 1, low: w.X, high: w.X, detail: out[len(out)-1].Detail}
			groups[key] = g
		} else {
			out[len(out)-1].Detail = ""
		}
		g.add(seasons, w)
		out[g.first].Detail = g.words(seasons, w, r.Calendar)
	}
	return out
}

// alike are the seasons that are told together.
type alike struct {
	count     int
	first     int    // index of the warning that tells of all
	detail    string // its own
	years     []int
	low, high float64   // shares of runs
	crops     []string  // grown instead
	costs     []float64 // where they are known
}

// alikeBy is what warnings that are told together have in common; not ok: it stands alone.
func alikeBy(seasons []study.Season, w study.Warning) (key string, ok bool) {
	switch w.Code {
	case study.NotDrilled, study.NoFallback:
		return string(w.Code) + about(seasons, w).Crop, true
	case study.DiedOut, study.TooMany, study.SprayedOften, study.CoverSprayedOff, study.SeenBeforeWork:
		return string(w.Code), true
	}
	return "", false
}

// about is the season of a warning, or the branch of it.
func about(seasons []study.Season, w study.Warning) *study.Season {
	if w.Of != nil {
		return w.Of
	}
	return &seasons[w.Season-1]
}

func (g *alike) add(seasons []study.Season, w study.Warning) {
	if g.count++; w.Plan != nil {
		return
	}
	s := about(seasons, w)
	g.years, g.low, g.high = append(g.years, s.HarvestYear), min(g.low, w.X), max(g.high, w.X)
	for _, other := range s.Grown[1:] {
		if math.Round(100*other.Share) == 0 {
			continue
		}
		if name := spoken(other.Name); !slices.Contains(g.crops, name) {
			g.crops = append(g.crops, name)
		}
	}
	if w.Code == study.NoFallback && w.Y > 0 {
		g.costs = append(g.costs, w.Y)
	}
}

// words are the detail of all.
func (g *alike) words(seasons []study.Season, w study.Warning, c *rotations.Calendar) string {
	if w.Plan != nil {
		if g.count > 1 {
			return fmt.Sprintf("%s, and %d more like it ('rundown check' names them)", g.detail, g.count-1)
		}
		return g.detail
	}
	crop, shares, years := spoken(about(seasons, w).Crop), lowToHigh(report.Of100(g.low), report.Of100(g.high)), manyYears(g.years)
	switch w.Code {
	case study.NotDrilled:
		instead := ""
		if len(g.crops) > 0 {
			instead = " (" + strings.Join(g.crops, ", ") + ")"
		}
		return fmt.Sprintf("%s of %s in %s of 100 runs%s%s", crop, years, shares, planners(seasons), instead)
	case study.NoFallback:
		cost := ""
		if len(g.costs) > 0 {
			money := func(x float64) string { return perMargin(c.Area, x) }
			cost = fmt.Sprintf(" (on the mean such a year earned %s %s less)", lowToHigh(money(slices.Min(g.costs)), money(slices.Max(g.costs))), perArea(c))
		}
		return fmt.Sprintf("%s of %s in %s of 100 runs%s%s", crop, years, shares, planners(seasons), cost)
	case study.TooMany:
		return fmt.Sprintf("%s, %s", shares, years)
	}
	return fmt.Sprintf("in %s of 100 runs, %s", shares, years) // died out
}

// lowToHigh is a range in words; one word where the ends are the same.
func lowToHigh(low, high string) string {
	if low == high {
		return low
	}
	return low + " to " + high
}

// manyYears writes ascending years, of very many the first and the last.
func manyYears(years []int) string {
	if text := yearRanges(years); len(text) <= 60 {
		return text
	}
	return fmt.Sprintf("%d years from %d to %d", len(years), years[0], years[len(years)-1])
}
