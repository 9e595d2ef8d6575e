package findings

import (
	"fmt"
	"math"

	"rundown/cmd/internal/report"
	"rundown/rotations"
	"rundown/sim/study"
)

// juneBank is what lies in the soil on 30 June, which pictures show: what answers and tables tell is the seed of a
// year, that and what is shed in it.
const juneBank = "Seed in the soil, 30 June, before this year's seed"

// What the words of answers mean, at the foot of their pages.

// seedAtAnEnd says what seed is meant where plans and rotations are set against each other.
const seedAtAnEnd = " Seed at an end is what lies in the soil on 30 June and the viable seed shed that year, less what was carried off."

// ofThisModel ends all of them.
const ofThisModel = " It is counted over runs of this model, which does not know what it leaves out."

// worthSaying is the least difference of margins that is spoken of, in the field's own unit of area.
func worthSaying(c *rotations.Calendar) string {
	return report.Shortest(math.Round(10*c.Area.Per(study.WorthSaying)) / 10)
}

// drillingScale explains the choice of a sweep.
func (s *sweep) drillingScale() string {
	return fmt.Sprintf("A date is the day for which drilling is planned; the ground may make it later. It goes in: the crop is drilled in so many of 100 runs, "+
		"over the seasons moved. Only a date that goes in in %s of 100 may be called best. Wait, or do not wait: the best date has a higher mean margin than the "+
		"planned one, by more than the 95 %% error of their difference and by at least %s %s a year. Keep: it has not. As good: not parted from the best in that "+
		"way.", s.asked(), worthSaying(s.Run.Calendar), perArea(s.Run.Calendar)) + ofThisModel
}

// compareScale explains what plans are called that are set against each other.
func compareScale(c *rotations.Calendar) string {
	return fmt.Sprintf("Cleanest: the least seed at the last harvest that all plans have, by the middle run. About as clean: the difference is under a tenth of "+
		"that seed, which nobody who walks the field could tell. Cannot tell apart: the difference is within its 95 %% error over these runs. About as much: the "+
		"mean margins differ by less than %s %s a year. In so many of 100 runs: run by run, under the same weather and luck.",
		worthSaying(c), perArea(c)) + seedAtAnEnd + ofThisModel
}

// worthScale explains what a rule and a look are worth.
const worthScale = "Worth: the mean margin a year, less what the seed left behind costs afterwards, over that of the best plan that never looks; of a number " +
	"of quadrats, over the better of always and never. Its cost is taken off where that is said. Pays, or costs: by more than its 95 % error over these runs. " +
	"As good, or does as well: not parted from the best in that way. These runs cannot tell: the interval holds 0." + ofThisModel

// searchScale explains the front.
const searchScale = "No other beats a rotation where none that was tried both earns more a year and leaves less seed, in runs made anew after the choice. " +
	"Worth most: the mean margin a year, less what the seed left behind costs afterwards. Earns more, or is cleaner, in so many of 100 runs: " +
	"run by run, under the same weather and luck." + seedAtAnEnd + ofThisModel

// driversScale explains what is said of values.
const driversScale = "Moves most: the value with the largest total index. So much of the spread hangs on it: its total index, what " +
	"would be left of the variance if all else were known and it alone were not; such parts overlap and need not sum to 100 %. Makes so many by itself: what " +
	"would go, on average, if it alone became known. These runs cannot tell an order: within the 95 % intervals it may be another. Luck: weather, " +
	"seasons and chance." + ofThisModel
