package findings

import (
	"fmt"
	"slices"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/decide"
	"rundown/sim/study"
)

// SearchFormat names the JSON that search writes. Within a format keys are only added.
const SearchFormat = "rundown.search/1"

// SearchRun is what the report of a search is made from.
type SearchRun struct {
	Run
	Found *study.Search
}

// Search assembles the report of a search.
func Search(r SearchRun) *report.Report {
	warnings := searchWarnings(r)
	out := &report.Report{
		Title:     fmt.Sprintf("%s: rotations of %d years searched", r.Calendar.Name, r.Found.Choices.Menu.Years),
		Subtitle:  forecastSubtitle(r.Run) + behindEvery(r.Found.Front[0].Calendar, "rotation"),
		Answer:    searchAnswer(r),
		Short:     shortFront(r),
		Lines:     40,
		Sentences: searchSentences(r),
		Tables:    searchTables(r),
		Pictures:  searchPictures(r),
		Warnings:  warnings,
		Cautions:  Cautions(),
		Method:    searchMethod(r.Found),
		Document:  searchDocument(r, warnings),
		Made:      r.made(r.Replicates),
		Plans:     plansOf(r.Run),
	}
	out.Page = func() *report.Page { return searchPage(r, out) }
	return out
}

// rotationWords are a rotation in words, with what comes again and again told once: late wheat
// twice, rape.
func rotationWords(u *rotations.Menu, r rotations.Rotation) string {
	names := u.Names(r)
	text := ""
	for i := 0; i < len(names); {
		n := 1
		for i+n < len(names) && names[i+n] == names[i] {
			n++
		}
		if text != "" {
			text += ", "
		}
		text += names[i]
		switch {
		case n == 2:
			text += " twice"
		case n > 2:
			text += fmt.Sprintf(" %s times", numeral(n))
		}
		i += n
	}
	return text
}

// RotationLine is the head of the plan of a rotation that is told of.
func RotationLine(r SearchRun, i int) string {
	told := r.Found.Told()
	what := fmt.Sprintf("Rotation %d of the front", i+1)
	if i >= len(r.Found.Front) {
		what = "A rotation behind the front that keeps to what is wanted"
	}
	return fmt.Sprintf("%s of %s: %s.", what, r.Provenance.Plan.Name, rotationWords(r.Found.Choices.Menu, told[i].Rotation))
}

// searchAnswer is the answer: how many stand out, which is worth most, against today, which keep
// to the want, and what cleaner ground costs.
func searchAnswer(r SearchRun) *report.Answer {
	f := r.Found
	best := f.Front[f.Worth]
	cleanest := cleanestOf(f)
	verdict := "front"
	if len(f.Front) == 1 {
		verdict = "one"
	}
	a := &report.Answer{Verdict: verdict, Facts: report.Object{
		{"allowed", bigNumber(f)}, {"front", len(f.Front)}, {"worth_most", f.Choices.Menu.Names(best.Rotation)},
		{"value_per_ha_year", band(best.Value.Year).Mean}, {"margin_per_ha_year", band(best.Yearly).Mean}, {"seed_per_m2", decide.Median(best.Seed)},
	}}
	if best.Against != nil {
		a.Facts = append(a.Facts, againstObject(*best.Against)...)
	}
	for _, try := range []struct {
		named int
		front string
	}{{wordsNamed, frontWords(f)}, {wordsNamed, ""}, {0, ""}} {
		a.Sentences = append(worthMostWords(r, try.named), compact(todayWords(r, best), wantWords(r), cleanestOfFront(r, cleanest), try.front,
			ofTheMenu(noResistance(r.Run)))...)
		if report.AnswerFits(a.Sentences) {
			break
		}
	}
	return a
}

func compareFloats(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

func frontWords(f *study.Search) string {
	tried := fmt.Sprintf("Of the %s rotations that the rules allow", grouped(f.Choices.Allowed.String()))
	if !f.Exhaustive {
		tried = fmt.Sprintf("Of %s rotations tried, among %s allowed", grouped(fmt.Sprint(f.Tried)), grouped(f.Choices.Allowed.String()))
	}
	if len(f.Front) == 1 {
		return tried + ", one beats all others on margin and seed, as far as these runs can tell."
	}
	return fmt.Sprintf("%s, %s stand out: no other earns more and leaves less seed.", tried, numeral(len(f.Front)))
}

// wordsNamed is how many words a rotation may have in the sentence of what is worth most.
const wordsNamed = 20

// worthMostWords name the rotation that is worth most, by its crops where they are few words, and say
// what it is worth.
func worthMostWords(r SearchRun, most int) []string {
	f := r.Found
	best := f.Front[f.Worth]
	last := fmt.Sprintf("the seed it leaves charged at %s", pounds(r.Calendar.Area, mean(best.Value.LeftAYear())))
	if list := asGood(f); len(list) == 1 {
		last = fmt.Sprintf("and rotation %s may match it", list[0])
	} else if list != nil {
		last = fmt.Sprintf("and %s others may match it", numeral(len(list)))
	}
	worth := fmt.Sprintf("%s %s a year", pounds(r.Calendar.Area, mean(best.Value.Year)), perArea(r.Calendar))
	words := rotationWords(f.Choices.Menu, best.Rotation)
	if len(strings.Fields(words)) > most {
		return []string{fmt.Sprintf("Worth most is rotation %d: %s, %s.", f.Worth+1, worth, last)}
	}
	return []string{fmt.Sprintf("Worth most is rotation %d: %s.", f.Worth+1, words), fmt.Sprintf("It is worth %s, %s.", worth, last)}
}

func todayWords(r SearchRun, best *study.Kept) string {
	if best.Against == nil {
		return ""
	}
	a, c := best.Against, r.Calendar
	money := fmt.Sprintf("it earns about %s %s a year more", pounds(c.Area, a.MarginYear), perArea(c))
	if a.MarginYear < 0 {
		money = fmt.Sprintf("it earns about %s %s a year less", pounds(c.Area, -a.MarginYear), perArea(c))
	}
	if abs(a.MarginYear) <= a.MarginError {
		money = "it earns about as much"
	}
	runs := report.Of100(a.Cleaner) + " of 100 runs"
	if a.Cleaner == 1 {
		runs = "every run"
	}
	return fmt.Sprintf("Against today's plan %s, %s for the field, with less seed in %s.", money, fieldMoney(abs(a.MarginField)), runs)
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}

func wantWords(r SearchRun) string {
	f := r.Found
	w := f.Choices.Menu.Want
	if w == nil {
		return ""
	}
	if f.Wanted == nil {
		edge := ""
		for _, k := range f.Front {
			if k.Meets == study.OnTheEdge {
				edge = fmt.Sprintf(" Rotation %d is on the edge of it.", slices.Index(f.Front, k)+1)
				break
			}
		}
		return "None that was tried keeps to what is wanted." + edge
	}
	if f.Wanted == f.Front[f.Worth] {
		return fmt.Sprintf("It also keeps to what is wanted, in %s of 100 runs.", wantShare(w, f.Wanted))
	}
	less := mean(decide.Differences(f.Front[f.Worth].Value.Year, f.Wanted.Value.Year))
	return fmt.Sprintf("Rotation %d keeps to what is wanted in %s of 100 runs, and is worth about %s %s a year less.",
		slices.Index(f.Told(), f.Wanted)+1, wantShare(w, f.Wanted), pounds(r.Calendar.Area, less), perArea(r.Calendar))
}

func wantShare(w *rotations.Want, k *study.Kept) string {
	switch {
	case w.Heads > 0 && w.HasMargin:
		return fmt.Sprintf("%s (heads) and %s (margin)", report.Of100(k.Under), report.Of100(k.Earns))
	case w.Heads > 0:
		return report.Of100(k.Under)
	}
	return report.Of100(k.Earns)
}

// asCleanBy is the part of the least seed by which another rotation of the front may have more and still
// be as clean to anybody who walks the field (assumed).
const asCleanBy = 0.1

// cleanestOfFront says what cleaner ground than that of the rotation that is worth most costs: of those that
// are as clean as any, of the one that earns most.
func cleanestOfFront(r SearchRun, k *study.Kept) string {
	f := r.Found
	best := f.Front[f.Worth]
	var alike []string
	at := -1
	for i, x := range f.Front {
		if decide.Median(x.Seed) > (1+asCleanBy)*decide.Median(k.Seed) {
			continue
		}
		if x == best {
			return ""
		}
		alike = append(alike, fmt.Sprint(i+1))
		if at < 0 || mean(x.Yearly) > mean(f.Front[at].Yearly) {
			at = i
		}
	}
	k = f.Front[at]
	less := mean(decide.Differences(best.Yearly, k.Yearly))
	more := "less"
	if less < 0 {
		more = "more"
	}
	is := "is cleanest"
	if alike = slices.DeleteFunc(alike, func(no string) bool { return no == fmt.Sprint(at+1) }); len(alike) > 0 {
		is = "is as clean as any"
	}
	seed := forms[sim.SeedbankJune]
	return fmt.Sprintf("Rotation %d %s: it ends with %s seeds per m², not %s, and earns about %s %s a year %s.",
		at+1, is, seed.Value(decide.Median(k.Seed)), seed.Value(decide.Median(best.Seed)),
		pounds(r.Calendar.Area, abs(less)), perArea(r.Calendar), more)
}

// grouped sets commas in a whole number.
func grouped(digits string) string {
	for i := len(digits) - 3; i > 0; i -= 3 {
		digits = digits[:i] + "," + digits[i:]
	}
	return digits
}
