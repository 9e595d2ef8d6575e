package findings

import (
	"slices"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/rotations"
	"rundown/sim/study"
)

// What the model leaves out, said wherever a choice hangs on it.
var (
	// noBreak is said where crops in turn are set against others.
	noBreak = report.Warning{Code: "no-break-crop", Text: "Yields do not know the crop before: wheat behind wheat yields as behind beans, and beans leave no " +
		"nitrogen. A break crop is worth more than these margins say."}

	// noSecond is said of a plan that grows wheat behind wheat.
	noSecond = report.Warning{Code: "no-break-crop", Text: "Yields do not know the crop before: a second wheat yields here as a first one does."}

	// stubblePasses is said where passes through stubble differ. The figures are the row direct_against_shallow of
	// testdata/published/outcomes.csv.
	stubblePasses = report.Warning{Code: "stubble-passes", Text: "What a pass through stubble does is the model's weakest point: ground left " +
		"alone has 0.6 times the plants of ground that was disced, where trials found 0.7 to 1.5, and a pass brings no flush. Do not choose " +
		"between passes by these runs."}
)

// passesDiffer tells whether two plans cultivate the stubble before like crops differently, the plough aside.
func passesDiffer(here, there *rotations.Calendar) bool {
	return slices.ContainsFunc(study.Practices(here, there, [2]string{}), func(p study.Practice) bool {
		if p.Kind != study.WorkDone && p.Kind != study.WorkDay || p.What == "plough" {
			return false
		}
		e := here.Library.Find("implements", p.What)
		return e != nil && e.Text["role"] == "cultivator"
	})
}

// wheatTwice tells whether a plan grows wheat behind wheat.
func wheatTwice(c *rotations.Calendar) bool {
	isWheat := func(i int) bool { return strings.HasSuffix(c.Seasons[i].Courses[0].Crop.Name, "wheat") }
	for i := 1; i < len(c.Seasons); i++ {
		if isWheat(i-1) && isWheat(i) {
			return true
		}
	}
	return false
}
