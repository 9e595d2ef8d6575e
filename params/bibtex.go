package params

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"regexp"
	"strings"
	"unicode"
)

// sourcesFile is the works that the library's values rest on, with what was read of each.
//
//go:embed sources.csv
var sourcesFile string

// Source is a work that is cited: author and year as sources of values begin.
type Source struct {
	Author  string // "Bell & Nalewaja", "Allen et al."
	Year    string
	Title   string
	Journal string // with volume and pages as far as known: "Weed Research 31:107–116"
	Read    string // what was read of it
}

// Sources are the works that the library's values rest on, by author.
func Sources() ([]Source, error) {
	rows, err := csv.NewReader(strings.NewReader(sourcesFile)).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("reading the sources of the library: %w", err)
	}
	var out []Source
	for _, r := range rows[1:] {
		out = append(out, Source{r[0], r[1], r[2], r[3], r[4]})
	}
	return out, nil
}

// Cites tells whether a value rests on the work.
func (s Source) Cites(v *Value) bool { return strings.Contains(v.Source, s.Author+" "+s.Year) }

// placeForm is a journal with a volume and, as a rule, an issue and pages.
var placeForm = regexp.MustCompile(`^(.*?) ([0-9]+)(?:\(([0-9]+)\))?(?::([0-9A-Za-z–-]+))?$`)

// remark is a remark in brackets at the end of a title or a journal.
var remark = regexp.MustCompile(` \(([^)]* from memory)\)$`)

// BibTeX is the work as an entry of BibTeX under a key; ok is false where it cannot be
// found by what is known of it: there is no volume.
func (s Source) BibTeX(key string) (entry string, ok bool) {
	title, journal := remark.ReplaceAllString(s.Title, ""), remark.ReplaceAllString(s.Journal, "")
	place := placeForm.FindStringSubmatch(journal)
	if place == nil {
		return "", false
	}
	var notes []string
	for _, from := range []string{s.Title, s.Journal} {
		if m := remark.FindStringSubmatch(from); m != nil {
			notes = append(notes, m[1])
		}
	}
	if s.Read != "" {
		notes = append(notes, "read: "+s.Read)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "@article{%s", key)
	for _, f := range [][2]string{{"author", bibAuthors(s.Author)}, {"year", s.Year}, {"title", "{" + bibText(title) + "}"}, {"journal", bibText(place[1])},
		{"volume", place[2]}, {"number", place[3]}, {"pages", strings.ReplaceAll(place[4], "–", "--")}, {"note", bibText(strings.Join(notes, "; "))}} {
		if f[1] != "" {
			fmt.Fprintf(&b, ",\n  %-7s = {%s}", f[0], f[1])
		}
	}
	return b.String() + "\n}\n", true
}

// BibTeX is works as a file of BibTeX. A comment names those that are left out.
func BibTeX(works []Source) string {
	var b, left strings.Builder
	used := map[string]int{}
	for _, s := range works {
		key := bibKey(s)
		if used[key]++; used[key] > 1 {
			key += string(rune('a' + used[key] - 2))
		}
		entry, ok := s.BibTeX(key)
		if !ok {
			fmt.Fprintf(&left, "%% without a volume, so not printed: %s %s, %s, %s\n", s.Author, s.Year, s.Title, s.Journal)
			continue
		}
		if b.Len() > 0 {
			b.WriteByte('\n')
		}
		b.WriteString(entry)
	}
	if left.Len() > 0 && b.Len() > 0 {
		b.WriteByte('\n')
	}
	return b.String() + left.String()
}

// bibAuthors are the authors with "and" between them; a surname of two words is kept together.
func bibAuthors(s string) string {
	s, more := strings.CutSuffix(s, " et al.")
	var out []string
	for _, a := range strings.FieldsFunc(strings.ReplaceAll(s, " & ", ","), func(r rune) bool { return r == ',' }) {
		if a = bibText(strings.TrimSpace(a)); strings.Contains(a, " ") {
			a = "{" + a + "}"
		}
		out = append(out, a)
	}
	if more {
		out = append(out, "others")
	}
	return strings.Join(out, " and ")
}

// bibText writes what BibTeX and TeX would obey.
func bibText(s string) string {
	return strings.NewReplacer(`\`, `\textbackslash{}`, "&", `\&`, "%", `\%`, "$", `\$`, "#", `\#`, "_", `\_`, "{", `\{`, "}", `\}`, "°",
		`\textdegree{}`, "–", "--").Replace(s)
}

// plainLetters are letters with marks as keys have them.
var plainLetters = strings.NewReplacer("Å", "a", "å", "a", "Ž", "z", "ž", "z", "č", "c", "á", "a", "ď", "d", "ě", "e", "é", "e", "ö", "o", "ü", "u")

// bibKey is the first surname and the year, in plain small letters.
func bibKey(s Source) string {
	name, _, _ := strings.Cut(strings.TrimSuffix(s.Author, " et al."), " &")
	name, _, _ = strings.Cut(name, ",")
	return strings.Map(func(r rune) rune {
		if r > unicode.MaxASCII || !unicode.IsLetter(r) {
			return -1
		}
		return unicode.ToLower(r)
	}, plainLetters.Replace(name)) + s.Year
}
