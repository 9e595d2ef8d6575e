package params

import (
	"math"

	"rundown/params/sheet"
)

// Form is the table of keys of an entry's file: its words and, under values,
// its quantities.
func Form(kind string) *sheet.Table {
	t := &sheet.Table{Name: "the entry"}
	t.Keys = append(t.Keys,
		sheet.Key{Name: "name", Kind: sheet.Name, Library: kind, New: true, Required: true, Doc: "the name that plans use; also the name of the file"},
		sheet.Key{Name: "about", Kind: sheet.Text, Doc: "one plain sentence"},
		sheet.Key{Name: "aliases", Kind: sheet.List, Of: &sheet.Key{Kind: sheet.Text}, Doc: "other words that people write for it; who writes one is told the name"})
	t.Keys = append(t.Keys, words(kind)...)
	values := &sheet.Table{Name: "values", Instead: formerKeys(kind)}
	for _, q := range Quantities(kind) {
		values.Keys = append(values.Keys, sheet.Key{Name: q.Key, Kind: sheet.Nested, Table: q.form(), Doc: q.Label, Unit: q.Unit})
	}
	return &sheet.Table{Name: t.Name, Keys: append(t.Keys,
		sheet.Key{Name: "values", Kind: sheet.Nested, Table: values, Doc: "its quantities"})}
}

// formerKeys are quantities that a kind had once, with what to write instead.
func formerKeys(kind string) map[string]string {
	if kind != "soils" {
		return nil
	}
	say := `"clay_share", from which the limits of work follow now, and "workable_site" for a field that carries work wetter than its kind (below 1) or only drier`
	return map[string]string{"workable_drilling": say, "workable_cultivation": say, "workable_spraying": say}
}

// words are the keys of a kind that hold words.
func words(kind string) []sheet.Key {
	eppo := sheet.Key{Name: "eppo", Kind: sheet.Text, Doc: "EPPO code"}
	yes := func(name, doc string) sheet.Key { return sheet.Key{Name: name, Kind: sheet.YesNo, Doc: doc} }
	role := func(choices ...string) sheet.Key {
		return sheet.Key{Name: "role", Kind: sheet.Choice, Choices: choices, Doc: "what it is used for"}
	}
	switch kind {
	case "weeds":
		return []sheet.Key{eppo,
			{Name: "herbicides_as", Kind: sheet.Name, Library: kind, Doc: "the weed of the library that answers to herbicides alike; black-grass when left out"}}
	case "crops":
		return []sheet.Key{eppo,
			{Name: "season", Kind: sheet.Choice, Choices: []string{"autumn", "spring", "none"}, Doc: "when it is sown"},
			yes("perennial", "stands for more than one harvest"),
			{Name: "usual", Kind: sheet.Raw, Doc: "its usual practice, written as a season of a plan"}}
	case "implements":
		return []sheet.Key{role("cultivator", "drill", "in-crop", "harvest"),
			{Name: "works", Kind: sheet.Choice, Choices: []string{"pull", "cut", "top", "spray", "hoe"},
				Doc: "of role in-crop: pull takes plants with their heads off the field, cut takes what stands above it, top leaves that lying, spray kills " +
					"crop and weed in patches, hoe kills and leaves lying"},
			yes("low_disturbance", "a drill that leaves most of the surface as it was"),
			{Name: "bypass_as", Kind: sheet.Name, Library: kind, Doc: "the implement that soil missed by a plough is treated as by"}}
	case "herbicides":
		return []sheet.Key{role("residual", "programme", "contact", "non-selective"),
			{Name: "hrac", Kind: sheet.Text, Doc: "HRAC group"},
			{Name: "family", Kind: sheet.Choice, Choices: Families,
				Doc: "of an active of HRAC group 1, its chemical family: one copy of a gene keeps off less of a cyclohexanedione; left out: as of the other two"},
			{Name: "actives", Kind: sheet.List, Least: 1, Of: &sheet.Key{Kind: sheet.Name, Library: kind}, Doc: "the entries that a programme sprays together"},
			{Name: "crops", Kind: sheet.List, Least: 1, Of: &sheet.Key{Kind: sheet.Name, Library: "crops"},
				Doc: "the crops in which it is used; of a programme, when left out, those of all its actives"},
			yes("cold_soil", "sprayed only once the soil is at most 10 °C and moist")}
	}
	return nil
}

// form is the table of keys of one quantity.
func (q Quantity) form() *sheet.Table {
	return &sheet.Table{Name: q.Key, Keys: []sheet.Key{
		q.number(),
		{Name: "spread", Kind: sheet.OneOf, Doc: "how it is drawn; fixed when left out", Forms: []sheet.Key{
			{Kind: sheet.Choice, Choices: []string{"fixed"}}, {Kind: sheet.Nested, Table: spreadForm()}}},
		{Name: "drawn", Kind: sheet.Choice, Choices: []string{"per-replicate", "per-event"}, Doc: "per-event: drawn anew for each spray or pass"},
		{Name: "grade", Kind: sheet.Choice, Choices: gradeWords(), Required: true, Doc: "how far it can be trusted"},
		{Name: "source", Kind: sheet.Text, Required: true, Doc: "author, year and journal, or what else it rests on"},
		{Name: "note", Kind: sheet.Text, Doc: "where sources conflict, or what to mind"},
	}}
}

// number is the key of a quantity's central value.
func (q Quantity) number() sheet.Key {
	one := sheet.Key{Name: "value", Kind: sheet.Number, Unit: q.Unit, Low: q.Low, High: q.High, Required: true, Doc: "the central value"}
	switch {
	case q.Unit == "date":
		return sheet.Key{Name: "value", Kind: sheet.AnnualDate, Required: true, Doc: "the central date"}
	case q.Row == 12:
		return sheet.Key{Name: "value", Kind: sheet.List, Count: 12, Of: &one, Required: true, Doc: "twelve months, January first"}
	case q.Row == 25:
		t := &sheet.Table{Name: "the matrix"}
		for _, layer := range Layers {
			t.Keys = append(t.Keys, sheet.Key{Name: layer, Kind: sheet.List, Count: 5, Of: &one, Required: true,
				Doc: "shares that go from here to each layer, the surface first"})
		}
		return sheet.Key{Name: "value", Kind: sheet.Nested, Table: t, Required: true, Doc: "from each layer to each layer"}
	}
	return one
}

// spreadForm is the table of the families of spread; one of them is given.
func spreadForm() *sheet.Table {
	numbers := func(k SpreadKind, n int, doc string) sheet.Key {
		return sheet.Key{Name: k.String(), Kind: sheet.List, Count: n, Of: &sheet.Key{Kind: sheet.Number}, Doc: doc}
	}
	above := func(k SpreadKind, low float64, doc string) sheet.Key {
		return sheet.Key{Name: k.String(), Kind: sheet.Number, Low: low, High: math.Inf(1), Above: true, Doc: doc}
	}
	return &sheet.Table{Name: "the spread", Keys: []sheet.Key{
		above(Lognormal, 1, "geometric sd"),
		above(Normal, 0, "sd, cut at the limits"),
		above(LogitNormal, 0, "sd on the logit scale"),
		numbers(Beta, 2, "the two shapes"),
		numbers(Triangular, 3, "low, mode, high"),
		numbers(Range, 2, "low, high; likeliest at the value"),
		numbers(Stated, 2, "low, high; shown, not drawn"),
	}, Instead: map[string]string{"low": `"range", as in range: [120, 190]`, "high": `"range", as in range: [120, 190]`,
		"sd": `"normal", as in normal: 12`, "gsd": `"lognormal", as in lognormal: 1.3`}}
}

// gradeWords are the grades as files write them, best first.
func gradeWords() []string {
	return []string{string(Published), string(Grey), string(Memory), string(Derived), string(Assumed)}
}
