package params

import (
	"errors"
	"fmt"
	"regexp"
	"strings"
	"testing"
)

// parseBibTeX reads entries as BibTeX does: a kind, a key, fields in balanced braces;
// what stands between entries is a comment.
func parseBibTeX(s string) (map[string]map[string]string, error) {
	out := map[string]map[string]string{}
	head := regexp.MustCompile(`^@([a-z]+)\{([A-Za-z0-9:-]+)`)
	field := regexp.MustCompile(`^\s*,\s*([a-z]+)\s*=\s*\{`)
	for {
		at := strings.IndexByte(s, '@')
		if at < 0 {
			return out, nil
		}
		s = s[at:]
		m := head.FindStringSubmatch(s)
		if m == nil {
			return nil, fmt.Errorf("no entry begins at %.40q", s)
		}
		if out[m[2]] != nil {
			return nil, fmt.Errorf("the key %s stands twice", m[2])
		}
		fields := map[string]string{"@": m[1]}
		s = s[len(m[0]):]
		for {
			f := field.FindStringSubmatch(s)
			if f == nil {
				break
			}
			s = s[len(f[0]):]
			depth, i := 1, 0
			for ; i < len(s) && depth > 0; i++ {
				switch {
				case s[i] == '\\':
					i++
				case s[i] == '{':
					depth++
				case s[i] == '}':
					depth--
				case strings.IndexByte("&%$#_", s[i]) >= 0:
					return nil, fmt.Errorf("%s, %s: %q is not escaped", m[2], f[1], s[i])
				}
			}
			if depth > 0 {
				return nil, errors.New(m[2] + ": a brace is not closed")
			}
			if _, twice := fields[f[1]]; twice {
				return nil, fmt.Errorf("%s: %s stands twice", m[2], f[1])
			}
			fields[f[1]] = s[:i-1]
			s = s[i:]
		}
		if s = strings.TrimLeft(s, " \n"); !strings.HasPrefix(s, "}") {
			return nil, fmt.Errorf("%s does not end: %.40q", m[2], s)
		}
		out[m[2]], s = fields, s[1:]
	}
}

func TestBibTeX(t *testing.T) {
	works, err := Sources()
	if err != nil {
		t.Fatal(err)
	}
	text := BibTeX(works)
	entries, err := parseBibTeX(text)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	for key, f := range entries {
		for _, must := range []string{"author", "year", "title", "journal", "volume", "note"} {
			if f[must] == "" {
				t.Errorf("%s has no %s", key, must)
			}
		}
	}
	if n := strings.Count(text, "% without a volume"); len(entries)+n != len(works) || len(entries) < 25 {
		t.Errorf("%d entries and %d left out of %d works", len(entries), n, len(works))
	}
	for key, want := range map[string]map[string]string{
		"chahal2023":        {"author": "Chahal and {Van Eerd}", "volume": "15", "pages": "6517", "journal": "Sustainability"},
		"capri1995":         {"author": "Capri and others", "volume": "43", "pages": "247--253", "journal": "Journal of Agricultural and Food Chemistry"},
		"zdarkova2014":      {"volume": "443", "pages": "156--164"},
		"schappert2018":     {"volume": "8", "number": "9", "pages": "144"},
		"andersson2009":     {"author": `Andersson and {Åkerblom Espeby}`},
		"allen1998":         {"journal": "FAO Irrigation and Drainage Paper", "volume": "56"},
		"froudwilliams1983": {"pages": "139--148"},
	} {
		for f, w := range want {
			if got := entries[key][f]; got != w {
				t.Errorf("%s: %s is %q, want %q", key, f, got, w)
			}
		}
	}
	if _, ok := entries["pintar2021"]; ok || !strings.Contains(text, "Pintar et al. 2021") {
		t.Error("a work without a journal is printed as if it had one")
	}
}

// Two works of one author and year have two keys, and what TeX obeys is escaped.
func TestBibTeXKeys(t *testing.T) {
	s := Source{"Smith, Jones & de Vries", "2001", `50 % of {all} & more_or less`, "Weed Research 1:2–3", ""}
	text := BibTeX([]Source{s, s})
	entries, err := parseBibTeX(text)
	if err != nil || len(entries) != 2 || entries["smith2001"] == nil || entries["smith2001a"] == nil {
		t.Fatalf("%v\n%s", err, text)
	}
	if got := entries["smith2001"]["author"]; got != "Smith and Jones and {de Vries}" {
		t.Error(got)
	}
}
