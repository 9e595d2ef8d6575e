package params

import (
	"encoding/csv"
	"regexp"
	"slices"
	"strings"
	"testing"

	"rundown/params/sheet"
)

// What people write is answered with names that there are.
func TestSuggest(t *testing.T) {
	l := load(t)
	for _, x := range []struct{ kinds, word, want string }{
		{"crops", "wheat", `did you mean "spring-wheat" or "winter-wheat"?`},
		{"crops", "Winter Wheat", `did you mean "winter-wheat"?`},
		{"crops", "winterwheat", `did you mean "winter-wheat"?`},
		{"crops", "winter-weat", `did you mean "winter-wheat"?`},
		{"crops", "OSR", `did you mean "winter-oilseed-rape"?`},
		{"crops", "oilseed rape", `did you mean "winter-oilseed-rape"?`},
		{"crops", "beans", `did you mean "spring-beans" or "winter-beans"?`},
		{"crops", "maize", `did you mean "forage-maize"?`},
		{"crops", "barley", `did you mean "hybrid-winter-barley" or "spring-barley" or "winter-barley"?`},
		{"soils", "heavy clay", `did you mean "clay"?`},
		{"soils", "Clay", `did you mean "clay"?`},
		{"soils", "clay loam soil", `did you mean "clay-loam"?`},
		{"weeds", "blackgrass", `did you mean "black-grass"?`},
		{"weeds", "ryegrass", `did you mean "italian-rye-grass"?`},
		{"weeds", "wild oats", `did you mean "wild-oat"?`},
		{"implements", "plow", `did you mean "plough"?`},
		{"implements", "ploughed", `did you mean "plough"?`},
		{"implements", "direct drill", `did you mean "disc-drill" or "tine-drill"?`},
		{"herbicides", "glyphosate", `did you mean "spray-off"?`},
		{"herbicides", "Grassaway 480", "programmes are named by what is in them; see rundown library herbicides"},
		{"herbicides", "???", "programmes are named by what is in them; see rundown library herbicides"},
		{"covers", "peas and oats", `did you mean "oats-legumes"?`},
		{"covers", "oat-bean-pea", `it is called "oats-legumes" now`},
		{"covers", "vetch", `did you mean "rye-vetch"?`},
		{"climates", "East Anglia", `did you mean "east-lowland"?`},
		{"implements herbicides covers", "burn off", `did you mean "spray-off"?`},
	} {
		got := l.DidYouMean(x.word, strings.Fields(x.kinds)...)
		if got != x.want {
			t.Errorf("%s %q: %s\nwant: %s", x.kinds, x.word, got, x.want)
		}
	}
	groups := []string{"1", "2", "3", "9", "12", "15", "30"}
	for word, want := range map[string]string{"ACCase": `did you mean "1"?`, "ALS": `did you mean "2"?`, "ALS inhibitors": `did you mean "2"?`,
		"K3": `did you mean "15"?`, "4": "expected one of: 1, 2, 3, 9, 12, 15, 30"} {
		if got := SuggestGroup(word, groups); got != want {
			t.Errorf("group %q: %s; want %s", word, got, want)
		}
	}
}

// Whatever is written, no name is suggested that the library does not have.
func TestSuggestsOnlyWhatThereIs(t *testing.T) {
	l := load(t)
	quoted := regexp.MustCompile(`"([^"]*)"`)
	words := []string{"x", "silty sandy clay", "Wheat (2nd)", "winter-", "é", "drill with discs", "a b c d", "clay clay clay", strings.Repeat("wheat ", 30)}
	for _, kind := range Kinds {
		for _, n := range l.Names(kind) {
			words = append(words, n+"s", "my "+n, strings.ToUpper(n), n[1:], n[:len(n)-1])
		}
	}
	for _, kind := range Kinds {
		names := l.Names(kind)
		for _, w := range words {
			for _, m := range quoted.FindAllStringSubmatch(l.DidYouMean(w, kind), -1) {
				if !slices.Contains(names, m[1]) {
					t.Errorf("%s %q: %q is not in the library", kind, w, m[1])
				}
			}
		}
	}
}

// The table of aliases is whole: every name is there, no alias is a name of its kind, and
// none is given twice.
func TestAliases(t *testing.T) {
	l := load(t)
	rows, err := csv.NewReader(strings.NewReader(aliasesFile)).ReadAll()
	if err != nil || strings.Join(rows[0], ",") != "kind,name,alias" || len(rows) < 100 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	groups := map[string]bool{}
	for _, n := range l.Names("herbicides") {
		groups[l.Find("herbicides", n).Text["hrac"]] = true
	}
	seen := map[string]bool{}
	for _, r := range rows[1:] {
		switch key := strings.Join(r, ","); {
		case seen[key]:
			t.Errorf("%s stands twice", key)
		case r[0] == HRAC && !groups[r[1]], r[0] != HRAC && l.Find(r[0], r[1]) == nil:
			t.Errorf("%s: there is no such name", key)
		case r[0] != HRAC && slices.Contains(l.Names(r[0]), r[2]):
			t.Errorf("%s: the alias is itself a name", key)
		case r[2] != plainWords(r[2]):
			t.Errorf("%s: write the alias in small letters, its words parted by spaces", key)
		default:
			seen[key] = true
		}
	}
}

// A word that stands without its kind is found where it is.
func TestPlaces(t *testing.T) {
	l := load(t)
	for word, want := range map[string]string{"winter-wheat": "crops winter-wheat", "wheat": "crops spring-wheat;crops winter-wheat", "clay": "soils clay",
		"blackgrass": "weeds black-grass", "xyzzy": ""} {
		if got := strings.Join(l.Places(word), ";"); got != want {
			t.Errorf("%s: %q, expected %q", word, got, want)
		}
	}
}

// A user's entry has aliases of its own, and those suggest it.
func TestAliasesOfAUser(t *testing.T) {
	l := load(t)
	var m sheet.Mistakes
	l.add("soils", "user/soils/clay.yaml", "user/soils/clay.yaml", []byte("name: clay\naliases: [blue slipper]\n"), &m)
	if m.Len() > 0 {
		t.Fatal(&m)
	}
	if got := l.DidYouMean("Blue Slipper", "soils"); got != `did you mean "clay"?` {
		t.Error(got)
	}
	if got := l.DidYouMean("heavy land", "soils"); got != `did you mean "clay"?` {
		t.Errorf("the program's own alias is gone: %s", got)
	}
}
