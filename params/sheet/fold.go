package sheet

import (
	"fmt"
	"regexp"
	"strings"
)

// Numbers and days of a message: they alone differ where a list is repeated, since the season and its years do.
var numbersOf = regexp.MustCompile(`[0-9]+( (Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)\b)?`)

// onceEach leaves of mistakes at one place that differ in numbers alone the first, with how many
// more there are: such come from a list of seasons that is repeated.
func onceEach(list []Mistake) []Mistake {
	type kind struct {
		at   Place
		text string
	}
	at, more := map[kind]int{}, map[kind]int{}
	var out []Mistake
	for _, x := range list {
		k := kind{x.Place, numbersOf.ReplaceAllString(x.Text, "0")}
		if i, there := at[k]; there && x.Place.Column > 0 && out[i].Text != x.Text {
			more[k]++
			continue
		}
		at[k] = len(out)
		out = append(out, x)
	}
	for k, n := range more {
		seasons := "a later season"
		if n > 1 {
			seasons = fmt.Sprintf("%d later seasons", n)
		}
		out[at[k]].Text += " (and so in " + seasons + ")"
	}
	return out
}

// fewAlike is how many lines may say the same before they are told together.
const fewAlike = 2

// Folded are the mistakes in order, as Sorted gives them, but those of many lines that say the
// same at the same column are one, at the first of the lines, which names them.
func (m *Mistakes) Folded() []Mistake {
	type kind struct {
		file   string
		column int
		text   string
	}
	sorted := m.Sorted()
	lines := map[kind][]int{}
	of := func(x Mistake) kind { return kind{x.Place.File, x.Place.Column, x.Text} }
	for _, x := range sorted {
		lines[of(x)] = append(lines[of(x)], x.Place.Line)
	}
	var out []Mistake
	for _, x := range sorted {
		switch l := lines[of(x)]; {
		case len(l) <= fewAlike:
			out = append(out, x)
		case l[0] == x.Place.Line:
			x.Text = linesText(l) + ": " + x.Text
			out = append(out, x)
		}
	}
	return out
}

// linesText names lines: lines 2 to 17 and 20.
func linesText(lines []int) string {
	var parts []string
	for i := 0; i < len(lines); {
		j := i
		for j+1 < len(lines) && lines[j+1] <= lines[j]+1 {
			j++
		}
		switch lines[j] - lines[i] {
		case 0:
			parts = append(parts, fmt.Sprint(lines[i]))
		case 1:
			parts = append(parts, fmt.Sprint(lines[i]), fmt.Sprint(lines[j]))
		default:
			parts = append(parts, fmt.Sprintf("%d to %d", lines[i], lines[j]))
		}
		i = j + 1
	}
	if n := len(parts); n > 1 {
		return "lines " + strings.Join(parts[:n-1], ", ") + " and " + parts[n-1]
	}
	return "lines " + parts[0]
}
