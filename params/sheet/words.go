package sheet

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
)

// quote puts text in plain quotation marks, cut to a length that fits a message.
func quote(s string) string {
	if r := []rune(s); len(r) > 60 {
		s = string(r[:57]) + "…"
	}
	return `"` + s + `"`
}

// Nearest is the name closest to a word, at most two letters away (Levenshtein
// distance, neighbours exchanged counting one), and closer than half its
// length; "" when none is, and for words without a letter, which are not
// misspelt but mistaken.
func Nearest(word string, names []string) string {
	best, at := "", 3
	if !strings.ContainsFunc(word, unicode.IsLetter) {
		return ""
	}
	for _, n := range names {
		if d := Distance(strings.ToLower(word), n); d < at && 2*d < len(n) {
			best, at = n, d
		}
	}
	return best
}

// DidYouMean ends a message about a word that is not known: the nearest name,
// or else all of them.
func DidYouMean(word string, names []string) string {
	if n := Nearest(word, names); n != "" {
		return fmt.Sprintf("did you mean %q?", n)
	}
	if len(names) == 0 {
		return "there is none to choose from"
	}
	return "expected one of: " + strings.Join(names, ", ")
}

// Distance is the optimal string alignment distance of two words.
func Distance(a, b string) int {
	x, y := []rune(a), []rune(b)
	if len(x) > 40 || len(y) > 40 {
		return 99
	}
	var older []int
	prev := make([]int, len(y)+1)
	for j := range prev {
		prev[j] = j
	}
	for i := 1; i <= len(x); i++ {
		row := make([]int, len(y)+1)
		row[0] = i
		for j := 1; j <= len(y); j++ {
			cost := 1
			if x[i-1] == y[j-1] {
				cost = 0
			}
			row[j] = min(prev[j]+1, row[j-1]+1, prev[j-1]+cost)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				row[j] = min(row[j], older[j-2]+1)
			}
		}
		older, prev = prev, row
	}
	return prev[len(y)]
}

// unitEnds are the endings by which keys carry units.
var unitEnds = []string{
	"_per_m2", "_per_ha", "_per_acre", "_per_ft2", "_per_yd2", "_per_t", "_per_kg",
	"_t_per_ha", "_ha", "_hectares", "_acres", "_acre", "_ac", "_m2", "_km2",
	"_mm", "_cm", "_m", "_in", "_inch", "_inches", "_c", "_f", "_days", "_weeks",
	"_kg_per_ha", "_lb", "_kg", "_t", "_percent", "_pct", "_fraction",
}

// stem is a key without its unit.
func stem(key string) string {
	best := key
	for _, e := range unitEnds {
		if s, ok := strings.CutSuffix(key, e); ok && len(s) < len(best) {
			best = s
		}
	}
	return best
}

// otherUnit finds the key that says the same in the unit used here: area_ha for
// area_acres. It returns nil when there is none.
func otherUnit(word string, t *Table) *Key {
	s := stem(word)
	for i := range t.Keys {
		k := &t.Keys[i]
		if k.Unit != "" && k.Name != word && stem(k.Name) == s && (s != word || s != k.Name) {
			return k
		}
	}
	return nil
}

// InOtherUnit says which key tells the same as a word with another unit; "" where there is none.
func InOtherUnit(word string, t *Table) string {
	key := otherUnit(word, t)
	if key == nil {
		return ""
	}
	return "use " + inQuotes(key.Name) + ", in " + key.Unit + convert(word)
}

// convert tells how to get from the unit a user had to the one wanted.
func convert(word string) string {
	for _, c := range []struct{ end, say string }{
		{"_per_acre", "1 per acre is 2.471 per ha"},
		{"_acres", "1 acre is 0.4047 ha"}, {"_acre", "1 acre is 0.4047 ha"}, {"_ac", "1 acre is 0.4047 ha"},
		{"_per_ft2", "1 per ft² is 10.76 per m²"}, {"_per_yd2", "1 per yd² is 1.196 per m²"},
		{"_percent", "1 % is 0.01"}, {"_pct", "1 % is 0.01"}, {"_inches", "1 inch is 25.4 mm"}, {"_inch", "1 inch is 25.4 mm"},
	} {
		if strings.HasSuffix(word, c.end) {
			return " (" + c.say + ")"
		}
	}
	return ""
}

// inQuotes writes text in double quotes, in which YAML knows all of Go's escapes.
func inQuotes(s string) string { return strconv.Quote(s) }
