package findings

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"rundown/cmd/internal/figure"
	"rundown/params/date"
	"rundown/rotations"
	"rundown/sim/study"
)

// foldedWords say how to read a strip that stands for several seasons.
const foldedWords = "A strip for several years stands for seasons that are planned alike: its days of drilling are those of all of them, its " +
	"numbers those of the worst."

// oneByOne are the seasons of a plan one by one: of one that is chosen on the way each branch
// that any run took.
func oneByOne(seasons []study.Season) (list []*study.Season, standOn []bool) {
	for i := range seasons {
		for _, s := range seasons[i].Units() {
			list, standOn = append(list, s), append(standOn, i+1 < len(seasons) && seasons[i+1].StandsOn)
		}
	}
	return list, standOn
}

// folded are the strips of seasons, those that are planned alike as one, where the first of
// them stands.
func folded(seasons []study.Season) []figure.CalendarSeason {
	var out []figure.CalendarSeason
	years := map[int][]int{}
	at := map[string]int{}
	list, standOn := oneByOne(seasons)
	for i, s := range list {
		strip := calendarSeason(*s)
		strip.StandsOn = standOn[i]
		key := plannedAlike(s) + fmt.Sprint(strip.StandsOn)
		k, seen := at[key]
		if !seen {
			k, at[key] = len(out), len(out)
			out = append(out, strip)
		} else {
			merge(&out[k], &strip)
		}
		if years[k] = append(years[k], s.HarvestYear); len(years[k]) > 1 {
			out[k].Years = manyYears(years[k])
		}
	}
	return out
}

// isFolded tells whether strips stand for several seasons.
func isFolded(seasons []study.Season) bool {
	list, _ := oneByOne(seasons)
	return len(folded(seasons)) < len(list)
}

// plannedAlike is what a season plans, without its year.
func plannedAlike(s *study.Season) string {
	var b strings.Builder
	on := func(d date.Day) {
		_, month, day := d.Date()
		fmt.Fprintf(&b, " %d/%d", day, month)
	}
	c := &s.Courses[0]
	fmt.Fprint(&b, s.Crop, s.StandsOn, s.If)
	on(s.End)
	if k := s.Cover; k != nil {
		fmt.Fprint(&b, k.Mix.Name, ifText(k.If))
		on(k.Sow)
		on(k.Destroy)
	}
	if d := c.Drill; d != nil {
		fmt.Fprint(&b, d.With.Name)
		on(d.On)
		on(d.Latest)
	}
	for i := range c.Operations {
		o := &c.Operations[i]
		fmt.Fprint(&b, o.With.Name, " ", operationWhen(o), ifText(o.If), ";")
	}
	return b.String()
}

func ifText(c *rotations.Condition) string {
	if c == nil {
		return ""
	}
	return c.Text
}

// merge takes a strip that is planned alike into another, whose year it keeps.
func merge(into, strip *figure.CalendarSeason) {
	if by := into.Planned - strip.Planned; !math.IsNaN(strip.Middle) { // one date of both years, which may be leap years
		if math.IsNaN(into.Middle) {
			into.From, into.Middle, into.To = math.Inf(1), strip.Middle+by, math.Inf(-1)
		}
		into.From, into.To = min(into.From, strip.From+by), max(into.To, strip.To+by)
	}
	into.Share = min(into.Share, strip.Share)
	into.CoverSeldom, into.CropSeldom = seldomer(into.CoverSeldom, strip.CoverSeldom), seldomer(into.CropSeldom, strip.CropSeldom)
	for i := range into.Jobs {
		if i < len(strip.Jobs) && strip.Jobs[i].Name == into.Jobs[i].Name {
			into.Jobs[i].Seldom = seldomer(into.Jobs[i].Seldom, strip.Jobs[i].Seldom)
		}
	}
	if into.Otherwise == "" {
		into.Otherwise = strip.Otherwise
	}
}

// seldomer is the smaller of two numbers of runs in words, "" for none.
func seldomer(a, b string) string {
	number := func(s string) float64 {
		x, err := strconv.ParseFloat(strings.TrimLeft(s, "<>"), 64)
		if err != nil {
			return math.Inf(1)
		}
		if strings.HasPrefix(s, "<") {
			x /= 2
		}
		return x
	}
	if number(b) < number(a) {
		return b
	}
	return a
}
