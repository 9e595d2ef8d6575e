package findings

import (
	"fmt"
	"math"
	"strings"

	"rundown/sim/study"
)

// mostBesides is how many differences a sentence names.
const mostBesides = 2

// mostWords is how many words a sentence of an answer has at most.
const mostWords = 25

// besidesWords name what the two plans do differently that their names do not say, and how many
// more such differences there are.
func besidesWords(x *comparison) (text string, left int) {
	if len(x.Besides) == 0 {
		return "", 0
	}
	names := "their names"
	if len(x.all) > 2 {
		names = fmt.Sprintf("the names of %s and %s", x.all[x.Cleanest].Name, x.all[x.Other].Name)
	}
	for n := min(mostBesides, len(x.Besides)); n > 0; n-- {
		var parts []string
		for _, p := range x.Besides[:n] {
			parts = append(parts, practiceWords(p))
		}
		left = len(x.Besides) - n
		text = fmt.Sprintf("Besides what %s say, %s has %s.", names, x.all[x.Cleanest].Name, strings.Join(parts, " and "))
		if len(strings.Fields(text)) <= mostWords {
			break
		}
	}
	return text, left
}

// moreDifferences counts those that a sentence has no room for.
func moreDifferences(n int) string {
	if n == 1 {
		return "one more difference"
	}
	return numeral(n) + " more differences"
}

// differsWords are all that a plan does differently from another.
func differsWords(here, there string, list []study.Practice) string {
	if len(list) == 0 {
		return ""
	}
	var parts []string
	for _, p := range list {
		parts = append(parts, practiceWords(p))
	}
	return fmt.Sprintf("Against %s, %s has %s.", there, here, strings.Join(parts, "; "))
}

// practiceWords say what a plan does differently.
func practiceWords(p study.Practice) string {
	what, crop := spoken(p.What), spoken(p.Crop)
	switch p.Kind {
	case study.CropsGrown:
		if p.Instead != "" && p.Seasons[0] == p.Seasons[1] {
			n := float64(p.Seasons[0])
			return fmt.Sprintf("%s instead of %s in %.0f of %.0f years", what, spoken(p.Instead), (p.Here-p.There)*n, n)
		}
		if p.Instead != "" {
			return fmt.Sprintf("%s instead of %s in %.0f of 100 years", what, spoken(p.Instead), 100*(p.Here-p.There))
		}
		if p.Seasons[0] == p.Seasons[1] {
			n := float64(p.Seasons[0])
			return fmt.Sprintf("%s in %.0f of %.0f years, not %.0f", what, p.Here*n, n, p.There*n)
		}
		return fmt.Sprintf("%s in %.0f of 100 years, not %.0f", what, 100*p.Here, 100*p.There)
	case study.CoverGrown:
		switch {
		case p.There == 0:
			return fmt.Sprintf("a cover (%s) before %s", what, crop)
		case p.Here == 0:
			return fmt.Sprintf("no cover (%s) before %s", what, crop)
		}
		return fmt.Sprintf("%s before %s in %.0f of 100, not %.0f", what, crop, 100*p.Here, 100*p.There)
	case study.DrilledDay:
		return crop + " drilled " + byDays(p)
	case study.LatestDay:
		return "a latest day for " + crop + " " + byDays(p)
	case study.CoverEnd:
		return "the cover's end before " + crop + " " + byDays(p)
	case study.WorkDay:
		if !p.Alone {
			what += " in " + crop
		}
		return "the " + whichOf(p) + what + " " + byDays(p)
	case study.FallbackCrop:
		return what + " instead of missed " + crop
	case study.HarvestWork:
		if what == "" {
			return "other straw after " + crop
		}
	}
	return timesWords(p)
}

// byDays say by how much a day is moved.
func byDays(p study.Practice) string {
	days, way := math.Round(math.Abs(p.Here-p.There)), "later"
	if p.Here < p.There {
		way = "earlier"
	}
	by := fmt.Sprintf("%.0f days %s", days, way)
	if days == 1 {
		by = "1 day " + way
	}
	if !p.Steady {
		by += " on average"
	}
	return by
}

// whichOf is which of several pieces of work of one kind is moved.
func whichOf(p study.Practice) string {
	switch {
	case p.Of < 2:
		return ""
	case p.Nth == 1:
		return "first "
	case p.Nth == p.Of:
		return "last "
	case p.Nth == 2:
		return "second "
	case p.Nth == 3:
		return "third "
	}
	return fmt.Sprintf("%dth ", p.Nth)
}

// timesWords say of work that is done more often, or less, how often.
func timesWords(p study.Practice) string {
	what, crop, n := spoken(p.What), spoken(p.Crop), p.Here-p.There
	in := "in " + crop
	switch {
	case p.Alone && min(p.Seasons[0], p.Seasons[1]) > 1:
		in = "every year"
	case min(p.Seasons[0], p.Seasons[1]) > 1:
		in = "in every " + crop
	}
	but := ""
	if p.ButEnders {
		but = ", not counting the one that ends the cover"
	}
	switch whole := p.Steady && math.Abs(n-math.Round(n)) < 1e-9; {
	case p.Instead != "" && whole && n == 1:
		return fmt.Sprintf("%s instead of %s %s", theWork(what), theWork(spoken(p.Instead)), in)
	case p.Instead != "":
		return fmt.Sprintf("%s instead of %s in %s", theWork(what), theWork(spoken(p.Instead)), ofSeasons(p, n*float64(p.Seasons[0]), p.Seasons[0]))
	case whole && p.There == 0 && n == 1:
		return fmt.Sprintf("%s %s%s", aWork(what), in, but)
	case whole && p.Here == 0:
		return fmt.Sprintf("no %s %s%s", what, strings.NewReplacer("every year", "in any year", "in every", "in any").Replace(in), but)
	case whole && n == 1:
		return fmt.Sprintf("one more %s %s%s", what, in, but)
	case whole && n == -1:
		return fmt.Sprintf("one %s fewer %s%s", what, in, but)
	case whole && n > 0:
		return fmt.Sprintf("%s more of %s %s%s", numeral(int(n)), what, in, but)
	case whole:
		return fmt.Sprintf("%s fewer of %s %s%s", numeral(int(-n)), what, in, but)
	}
	here, there := p.Here*float64(p.Seasons[0]), p.There*float64(p.Seasons[1])
	if p.Seasons[0] != p.Seasons[1] {
		return fmt.Sprintf("%s in %s, not in %s%s", theWork(what), ofSeasons(p, here, p.Seasons[0]), ofSeasons(p, there, p.Seasons[1]), but)
	}
	return fmt.Sprintf("%s in %s, not %.0f%s", theWork(what), ofSeasons(p, here, p.Seasons[0]), there, but)
}

// ofSeasons is in how many seasons of a crop work is done; where it is done more than once in some,
// how many times in all.
func ofSeasons(p study.Practice, times float64, seasons int) string {
	of := "years"
	if !p.Alone {
		of = "seasons of " + spoken(p.Crop)
	}
	if times > float64(seasons) {
		return fmt.Sprintf("%d %s %.0f times", seasons, of, times)
	}
	return fmt.Sprintf("%.0f of %d %s", times, seasons, of)
}

func theWork(what string) string { return "the " + what }

func aWork(what string) string {
	if strings.ContainsRune("aeiou", rune(what[0])) {
		return "an " + what
	}
	return "a " + what
}
