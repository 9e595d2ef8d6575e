package params

import (
	"strings"
	"testing"

	"rundown/params/sheet"
)

// Every active of the library says how it does on each weed and in which crops it is
// used, and every programme is used in some crop.
func TestActivesAreWhole(t *testing.T) {
	lib, err := Load()
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range lib.Names("herbicides") {
		e := lib.Find("herbicides", name)
		if e.Text["role"] == "non-selective" {
			continue
		}
		if crops, known := lib.CropsOf(e); !known || len(crops) == 0 {
			t.Errorf("%s is used in no crop", name)
		}
		if e.Text["role"] == "programme" {
			continue
		}
		for _, q := range Quantities("herbicides") {
			if q.Weed != "" && e.Values[q.Key] == nil {
				t.Errorf("%s does not say how it does on %s", name, q.Weed)
			}
		}
	}
}

// A weed takes its own value of a herbicide, or that of the weed whose kind it is; what
// is about other weeds is told apart, so that no run draws it.
func TestOnWeed(t *testing.T) {
	lib, err := Load()
	if err != nil {
		t.Fatal(err)
	}
	e, oat := lib.Find("herbicides", "residual-15-oxyacetamide"), lib.Find("weeds", "wild-oat")
	if v := e.OnWeed(oat); v == nil || v.Path != "herbicides/residual-15-oxyacetamide/on_wild_oat" {
		t.Errorf("on wild-oat: %v", v)
	}
	if e.OnWeed(lib.Find("weeds", "black-grass")) != nil {
		t.Error("black-grass is what the others are held against")
	}
	kin := &Entry{Kind: "weeds", Name: "winter-wild-oat", Text: map[string]string{"herbicides_as": "wild-oat"}}
	if e.OnWeed(kin) != e.OnWeed(oat) {
		t.Error("herbicides_as has no effect")
	}
	for key, other := range map[string]bool{"on_wild_oat": false, "on_sterile_brome": true, "season_control": false} {
		if e.AboutOther(key, oat) != other {
			t.Errorf("%s about another weed than wild-oat: %v", key, !other)
		}
	}
}

// Mistakes of a user's herbicides and weeds are named.
func TestHerbicideMistakes(t *testing.T) {
	for text, want := range map[string]string{
		"herbicides: name: twice\nrole: programme\nactives: [residual-12-phytoene, residual-12-phytoene]": `names "residual-12-phytoene" twice`,
		"herbicides: name: autumn-residual-single\ncrops: [winter-wheet]":                                 `no crop is called "winter-wheet"`,
		"herbicides: name: seven\nrole: programme\nactives: [residual-12-phytoene, residual-15-granule, residual-15-oxyacetamide, " +
			"residual-15-thiocarbamate, residual-3-benzamide, residual-3-dinitroaniline, residual-30-cineole]": "more than 6 residual actives",
		"weeds: name: black-grass\nherbicides_as: oat":               `no weed is called "oat"`,
		"herbicides: name: spring-contact\nfamily: cyclohexanedione": `which is asked of HRAC group 1 alone; take "family" out`,
		"herbicides: name: contact-acc\nfamily: dim":                 `expected one of: aryloxyphenoxypropionate, cyclohexanedione, phenylpyrazoline`,
	} {
		kind, text, _ := strings.Cut(text, ": ")
		name, _, _ := strings.Cut(strings.TrimPrefix(text, "name: "), "\n")
		dir := write(t, map[string]string{kind + "/" + name + ".yaml": text + "\n"})
		lib, err := Load()
		if err != nil {
			t.Fatal(err)
		}
		var m sheet.Mistakes
		lib.Overlay(dir, &m)
		if !strings.Contains(m.Error(), want) {
			t.Errorf("%s: %q; want %q", name, m.Error(), want)
		}
	}
}
