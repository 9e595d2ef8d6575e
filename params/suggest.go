package params

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"rundown/params/sheet"
)

// aliasesFile is the words by which people look for what the library calls otherwise:
// words of the trade and names of chemistry, none of a product. They change no number,
// so they stand outside the files whose hash says which values a result was made with.
//
//go:embed aliases.csv
var aliasesFile string

// HRAC is the kind under which aliases of the herbicide groups stand.
const HRAC = "hrac"

// aliases are the rows of aliasesFile: by kind, the aliases of a name.
var aliases = sync.OnceValue(func() map[string]map[string][]string {
	out := map[string]map[string][]string{}
	rows, err := csv.NewReader(strings.NewReader(aliasesFile)).ReadAll()
	if err != nil {
		return out // a test reads what the program carries
	}
	for _, r := range rows[1:] {
		if out[r[0]] == nil {
			out[r[0]] = map[string][]string{}
		}
		out[r[0]][r[1]] = append(out[r[0]][r[1]], r[2])
	}
	return out
})

// Aliases are the other words for an entry: those that the program knows and those of
// its file.
func (e *Entry) Aliases() []string {
	return slices.Concat(aliases()[e.Kind][e.Name], e.Lists["aliases"])
}

// mostSuggested is how many names an answer gives before it says where the list is.
const mostSuggested = 4

// DidYouMean ends a message about a name that the library does not have among these kinds:
// what it is called now if it was the name of an entry once; the names that may have been
// meant, by alias and by spelling, all of them in the library; or else where they are listed.
func (l *Library) DidYouMean(word string, kinds ...string) string {
	var names []string
	other := map[string][]string{}
	for _, kind := range kinds {
		if now := former[kind+"/"+word]; now != "" && l.Find(kind, now) != nil {
			return fmt.Sprintf("it is called %q now", now)
		}
		for _, n := range l.Names(kind) {
			names = append(names, n)
			other[n] = append(other[n], l.aliasesOf(kind, n)...)
		}
	}
	if near := nearest(word, names, other); len(near) > 0 {
		return meant(near)
	}
	if slices.Equal(kinds, []string{"herbicides"}) {
		return "programmes are named by what is in them; see rundown library herbicides"
	}
	return sheet.DidYouMean("", names)
}

// Places are where an entry may stand that a word means, by name, alias or spelling: "KIND NAME" each, none
// where nothing comes near. A spelling counts only where no kind has the very word.
func (l *Library) Places(word string) []string {
	var exact, near []string
	for _, kind := range Kinds {
		names, other := l.Names(kind), map[string][]string{}
		for _, n := range names {
			other[n] = l.aliasesOf(kind, n)
		}
		for _, n := range nearest(word, names, other) {
			near = append(near, kind+" "+n)
			if n == word || slices.Contains(other[n], word) {
				exact = append(exact, kind+" "+n)
			}
		}
	}
	if len(exact) > 0 {
		return exact
	}
	return near
}

// aliasesOf are the aliases of a name without reading its file, where the program carries it.
func (l *Library) aliasesOf(kind, name string) []string {
	l.mu.Lock()
	e := l.entries[kind][name]
	l.mu.Unlock()
	if e != nil {
		return e.Aliases()
	}
	return aliases()[kind][name]
}

// SuggestGroup ends a message about an HRAC group that no herbicide has.
func SuggestGroup(word string, groups []string) string {
	if near := nearest(word, groups, aliases()[HRAC]); len(near) > 0 {
		return meant(near)
	}
	return sheet.DidYouMean(word, groups)
}

func meant(names []string) string {
	var quoted []string
	for _, n := range names[:min(mostSuggested, len(names))] {
		quoted = append(quoted, `"`+n+`"`)
	}
	return fmt.Sprintf("did you mean %s?", strings.Join(quoted, " or "))
}

// nearest are the names that a word may have meant: one that it spells but for capitals,
// spaces and hyphens; those with that alias; the nearest spelling of a name; the names
// with most words in common; those whose alias is spelt nearly so.
func nearest(word string, names []string, other map[string][]string) []string {
	w := plainWords(word)
	if w == "" {
		return nil
	}
	for _, same := range []func(a, b string) bool{equal, nearlyEqual} {
		if out := matching(names, func(n string) bool { return same(w, plainWords(n)) }); len(out) > 0 {
			return out
		}
		if out := matching(names, func(n string) bool {
			return slices.ContainsFunc(other[n], func(a string) bool { return same(w, plainWords(a)) })
		}); len(out) > 0 {
			return out
		}
	}
	return sharing(strings.Fields(w), names)
}

func matching(names []string, fits func(string) bool) []string {
	var out []string
	for _, n := range names {
		if fits(n) && !slices.Contains(out, n) {
			out = append(out, n)
		}
	}
	return out
}

func equal(a, b string) bool {
	return a == b || strings.ReplaceAll(a, " ", "") == strings.ReplaceAll(b, " ", "")
}

func nearlyEqual(a, b string) bool { return sheet.Nearest(a, []string{b}) != "" }

// sharing are the names with most words in common with those given, all of the name's or
// all of the given; a word may be one letter off or lack its s.
func sharing(words, names []string) []string {
	var out []string
	best := 0
	words = slices.DeleteFunc(slices.Clone(words), func(w string) bool { return slices.Contains([]string{"and", "with", "of", "the"}, w) })
	for _, n := range names {
		of, common := strings.Fields(plainWords(n)), 0
		for _, w := range of {
			if slices.ContainsFunc(words, func(x string) bool { return alike(x, w) }) {
				common++
			}
		}
		switch {
		case common == 0 || common < best || common < len(of) && common < len(words):
		case common > best:
			best, out = common, []string{n}
		default:
			out = append(out, n)
		}
	}
	return out
}

// alike tells whether two words are one, but for an s at the end or, of five letters and
// more, one letter.
func alike(a, b string) bool {
	if strings.TrimSuffix(a, "s") == strings.TrimSuffix(b, "s") {
		return true
	}
	return utf8.RuneCountInString(a) >= 5 && utf8.RuneCountInString(b) >= 5 && sheet.Distance(a, b) <= 1
}

// plainWords is a name in small letters, its words parted by single spaces.
func plainWords(s string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }), " ")
}
