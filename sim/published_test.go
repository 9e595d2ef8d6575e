package sim_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"rundown/sim/testfile"
)

// outcome is one row of a table in testdata/published, written down before
// the engine was tuned.
type outcome struct {
	name, published, unit, source, protocol string
	low, high                               float64 // accepted
	set                                     bool    // used to set a default: shown, not counted
}

func outcomes(t *testing.T, file string) []outcome {
	t.Helper()
	rows := testfile.Rows(t, "../testdata/published/"+file)
	number := func(s string, absent float64) float64 {
		if s == "" {
			return absent
		}
		x, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	var all []outcome
	for _, r := range rows[1:] {
		published := r[1]
		if published == "" {
			published = "–"
		}
		all = append(all, outcome{name: r[0], published: published, unit: r[4], low: number(r[2], math.Inf(-1)), high: number(r[3], math.Inf(1)),
			set: r[5] == "yes", source: r[6], protocol: r[7]})
	}
	return all
}

// gaps are outcomes that this version does not reproduce, recorded with what it
// gives; the test fails if one of them comes back into its range unnoticed.
var gaps = map[string]bool{
	// 0.33: uncontrolled, the weed grows sixfold a year under the plough here, and a
	// growing bank is young. At a steady rain it is 0.25.
	"plough_fresh_share": true,
	// 0.62: seed under straw and stubble comes up and is spared (0.48 without that), but what lies
	// in the open still fares worse than seed stirred in; the grey sources may speak of fields, not of plots.
	"direct_against_shallow": true,
}

func TestPublished(t *testing.T) {
	if testing.Short() {
		t.Skip("published outcomes take some seconds")
	}
	got := measure(t, 400)
	table := judge(t, "outcomes.csv", gaps, got) + "\n" + plain(got)
	t.Log("\n" + table)
	readmeBlock(t, "published", table)
	readmeBlock(t, "weekly", weekly(got))
}

// mostGaps are how many gaps a table may have: of rows of a file of testdata/published. A
// table of which more of the rows are gaps says so, in words of its own, where it is shown.
var mostGaps = map[string]int{
	"outcomes.csv": 2, "waiting.csv": 2,
	"resistance.csv": 3, // of seventeen
	"rules.csv":      4, // of six: thresholds hang on prices and spans of years that the sources do not give, or that were not re-read
}

// judge holds what was measured against the rows of a file of testdata/published, of which
// gaps are not reproduced, and returns the table of sim/README.md.
func judge(t *testing.T, file string, gaps map[string]bool, got map[string]float64) string {
	t.Helper()
	var b strings.Builder
	bad := 0
	b.WriteString("| published outcome | published | accepted | source | this version | verdict |\n|---|---|---|---|---|---|\n")
	for _, o := range outcomes(t, file) {
		x, ok := got[o.name]
		if !ok {
			t.Errorf("%s: not measured", o.name)
			continue
		}
		verdict := "in range"
		in := x >= o.low && x <= o.high
		switch {
		case o.set && in:
			verdict = "used to set a default; not counted"
		case gaps[o.name] && in:
			t.Errorf("%s is back in its range with %.3g: take it off the gaps", o.name, x)
		case gaps[o.name]:
			verdict, bad = "**gap**", bad+1
		case !in:
			verdict = "**fails**"
			t.Errorf("%s: %.3g, accepted %.3g…%.3g (%s)", o.name, x, o.low, o.high, o.source)
		}
		t.Logf("%-28s %7.3f  %6.2f…%-6.2f %-11s %s", o.name, x, o.low, o.high, verdict, o.source)
		fmt.Fprintf(&b, "| %s | %s | %s | %s | %.2f %s | %s |\n", o.protocol, o.published, o.accepted(), o.source, x, o.unit, verdict)
	}
	most, known := mostGaps[file]
	if !known {
		t.Errorf("nothing says how many gaps the table of %s may have", file)
	}
	if bad > most {
		t.Errorf("%d gaps; at most %d are allowed", bad, most)
	}
	return b.String()
}

// accepted is the range in words.
func (o *outcome) accepted() string {
	switch {
	case math.IsInf(o.high, 1):
		return fmt.Sprintf("at least %.2f", o.low)
	case o.low == 0 || math.IsInf(o.low, -1):
		return fmt.Sprintf("at most %.2f", o.high)
	}
	return fmt.Sprintf("%.2f…%.2f", o.low, o.high)
}

// unbarred are measurements that are shown without a bar: constraints of
// model.md §10 (marked so), and what nobody has published.
var unbarred = []struct{ name, words string }{
	{"growth shallow-disc", "seed returned per seed shed and year without control, shallow tillage (a constraint: 25, sd 0.30 on the log scale)"},
	{"old share shallow-disc", "share of plants from old seed, shallow tillage (a constraint: about one third, Naylor 1972, sd 0.07)"},
	{"kill to stand still shallow-disc", "kill needed to stand still at a steady rain, shallow tillage (follows from the first)"},
	{"growth of heads, median", "growth of heads a year at low density without control, continuous wheat, shallow tillage, from 0.01 heads/m²: first " +
		"to second harvest, median (published: 10- to 40-fold)"},
	{"growth of heads, low", "the same, five in a hundred fields and years below"},
	{"growth of heads, high", "the same, five in a hundred above"},
	{"growth plough", "seed returned per seed shed and year without control, ploughed yearly"},
	{"kill to stand still plough", "kill needed to stand still at a steady rain, ploughed yearly"},
	{"plough never inverted before", "fall in plants by the first plough in a field never inverted before"},
	{"plough_fresh_share, steady", "share of plants from fresh seed, ploughed well every year, at a steady rain (the gap above is of a weed that grows)"},
	{"lowest of the trials", "lowest of the eight shares of fresh seed in the trials above"},
	{"highest of the trials", "highest of them"},
	{"31 October, counted 15 February", "fall in plants, drilled 31 October against 25 September, counted on 15 February"},
	{"before, counted 1 April", "fall in the week before 25 September over the mean weekly fall, counted on 1 April"},
	{"after, counted 1 April", "fall in the week after 31 October over the mean weekly fall, counted on 1 April (published: more than 1)"},
}

// weekly is the table of how the fall in plants changes with the drilling date.
func weekly(got map[string]float64) string {
	var b strings.Builder
	b.WriteString("| fewer plants, in the week to |")
	for _, d := range drillings[1:] {
		fmt.Fprintf(&b, " %s |", d)
	}
	b.WriteString("\n|---|" + strings.Repeat("---|", len(drillings)-1) + "\n")
	for _, count := range []string{"15 February", "1 April"} {
		fmt.Fprintf(&b, "| counted on %s |", count)
		for _, d := range drillings[1:] {
			fmt.Fprintf(&b, " %.1f %% |", 100*got["week to "+d+", "+count])
		}
		b.WriteString("\n")
	}
	return b.String()
}

// plain is the table of what is shown without a bar.
func plain(got map[string]float64) string {
	var b strings.Builder
	b.WriteString("| shown without a bar | this version |\n|---|---|\n")
	for _, u := range unbarred {
		fmt.Fprintf(&b, "| %s | %.2f |\n", u.words, got[u.name])
	}
	return b.String()
}
