package rotations

import "rundown/params/sheet"

// mostBranches is how many branches a choice may have.
const mostBranches = 8

// seasonKey is a season of a plan, or a choice between some.
func seasonKey() sheet.Key {
	return sheet.Key{Kind: sheet.OneOf, Forms: []sheet.Key{
		{Kind: sheet.Nested, Table: seasonTable(true)},
		{Kind: sheet.Nested, Sign: "choose", Table: choiceTable()},
	}}
}

// choiceTable is a choice: the first branch whose if holds is grown.
func choiceTable() *sheet.Table {
	one := seasonTable(true)
	one.Name = "a branch"
	one.Keys = append([]sheet.Key{ifKey("grown if this holds and no branch before it does; the last branch has none")}, one.Keys...)
	plain := sheet.Key{Kind: sheet.Nested, Table: seasonTable(true)}
	several := &sheet.Table{Name: "a branch", Keys: []sheet.Key{
		ifKey("grown if this holds and no branch before it does; the last branch has none"),
		{Name: "seasons", Kind: sheet.List, Least: 1, Required: true, Of: &plain, Doc: "what is grown, season by season, instead of one crop"},
	}}
	branch := sheet.Key{Kind: sheet.OneOf, Forms: []sheet.Key{
		{Kind: sheet.Nested, Table: one}, {Kind: sheet.Nested, Sign: "seasons", Table: several},
	}}
	return &sheet.Table{Name: "a choice", Keys: []sheet.Key{
		{Name: "choose", Kind: sheet.List, Least: 2, Of: &branch, Doc: "branches; the first whose if holds is grown"},
		{Name: "decide", Kind: sheet.EitherDate, Doc: "day on which it is decided; left out: the day on which the season opens"},
		{Name: "grown", Kind: sheet.Free, FreeKey: "harvest year", Doc: "what was grown in years that are past: harvest year: crop, or number of the branch",
			Of: &sheet.Key{Kind: sheet.OneOf, Forms: []sheet.Key{{Kind: sheet.Whole, Low: 1, High: mostBranches}, {Kind: sheet.Name, Library: "crops"}}}},
	}, Instead: map[string]string{"crop": `"choose", with a crop in each branch`, "if": `"if" in a branch of "choose"`}}
}

func ifKey(doc string) sheet.Key {
	return sheet.Key{Name: "if", Kind: sheet.Nested, Table: conditionTable(true), Doc: doc}
}

// conditionTable is what a condition may ask for; all of it must hold.
func conditionTable(withAny bool) *sheet.Table {
	band := func(name, unit, doc string) sheet.Key {
		t := &sheet.Table{Name: name, Least: 1, Keys: []sheet.Key{
			{Name: "above", Kind: sheet.Number, Unit: unit, High: 1e6, Doc: "more than this"},
			{Name: "below", Kind: sheet.Number, Unit: unit, Above: true, High: 1e6, Doc: "less than this"},
		}, Instead: map[string]string{"over": `"above"`, "under": `"below"`, "at_least": `"above"`, "at_most": `"below"`}}
		return sheet.Key{Name: name, Kind: sheet.Nested, Table: t, Doc: doc}
	}
	t := &sheet.Table{Name: "a condition", Least: 1, Keys: []sheet.Key{
		band("heads_per_m2", "heads/m²", "weed heads in the mid-June before"),
		band("plants_per_m2", "plants/m²", "weed plants standing"),
		band("seed_per_m2", "seedlings/m²", "seedlings that are raised from cores of soil; not all seed shows"),
		{Name: "drilled_by", Kind: sheet.EitherDate, Doc: "a crop was drilled by this day: this season's for work, the last season's for a choice"},
		{Name: "ground", Kind: sheet.Choice, Choices: []string{"dry", "wet"}, Doc: "dry: it carries a drill on the day; wet: it does not"},
		{Name: "crop_before", Kind: sheet.OneOf, Doc: "the crop that really stood before, or a list of some", Forms: []sheet.Key{
			{Kind: sheet.Name, Library: "crops"}, {Kind: sheet.List, Least: 1, Of: &sheet.Key{Kind: sheet.Name, Library: "crops"}},
		}},
		{Name: "seen", Kind: sheet.EitherDate, Doc: "day of looking; left out: the day before the work is wished, or before it is decided"},
		{Name: "seen_days_before", Kind: sheet.Whole, Unit: "d", Low: 1, High: 300,
			Doc: "days of looking before the work is due; for work that is counted from drilling or harvest"},
	}, Instead: map[string]string{"heads": `"heads_per_m2"`, "plants": `"plants_per_m2"`, "seed": `"seed_per_m2"`, "seeds_per_m2": `"seed_per_m2"`,
		"date": `"seen", the day of looking`, "all": `several keys: all of them must hold`},
		Rules: []sheet.Rule{{Kind: sheet.NotBoth, Keys: []string{"seen", "seen_days_before"}}}}
	if withAny {
		inner := sheet.Key{Kind: sheet.Nested, Table: conditionTable(false)}
		t.Keys = append(t.Keys, sheet.Key{Name: "any", Kind: sheet.List, Least: 2, Of: &inner, Doc: "conditions of which one at least must hold"})
	}
	return t
}

// ruled adds to a table of work that it may be left to a condition.
func ruled(t *sheet.Table, planned bool, done sheet.Key) *sheet.Table {
	if planned {
		done.Name, done.Kind, done.FreeKey = "done", sheet.Free, "harvest year"
		t.Keys = append(t.Keys, ifKey("done only if this holds"), done)
	}
	return t
}

// workDone are facts of work with an if, whether it was done.
func workDone() sheet.Key {
	return sheet.Key{Doc: "of years that are past: harvest year: no, or the day on which it was done", Of: &sheet.Key{Kind: sheet.OneOf, Forms: []sheet.Key{
		{Kind: sheet.Choice, Choices: []string{"no"}}, {Kind: sheet.EitherDate},
	}}}
}

// controlDone are those of weed-seed control at harvest.
func controlDone() sheet.Key {
	return sheet.Key{Doc: "of years that are past: harvest year: yes or no", Of: &sheet.Key{Kind: sheet.YesNo}}
}

// countingTable is how the field is counted.
func countingTable() *sheet.Table {
	return &sheet.Table{Name: "the counting", Keys: []sheet.Key{
		{Name: "quadrats", Kind: sheet.OneOf, Doc: "how many are counted on a visit; all: what is there is seen as it is, for nothing (for study)",
			Forms: []sheet.Key{
				{Kind: sheet.Whole, Low: 1, High: 10000}, {Kind: sheet.Choice, Choices: []string{"all"}},
			}},
		{Name: "quadrat_m2", Kind: sheet.Number, Unit: "m²", Low: 0.01, High: 100, Doc: "area of one; 0.25"},
		{Name: "cores", Kind: sheet.Whole, Low: 1, High: 10000, Doc: "cores of soil that are taken where seed is looked for; 40"},
		{Name: "core_m2", Kind: sheet.Number, Unit: "m²", Low: 0.0001, High: 1, Doc: "area of one; 0.002, which is 5 cm across"},
		{Name: "depth_cm", Kind: sheet.Number, Unit: "cm", Above: true, High: 20, Doc: "how deep they are taken; 10"},
		{Name: "cost", Kind: sheet.Number, Unit: "money/ha", High: 1000, Doc: "of a visit, per ha; 0"},
		{Name: "cost_per_quadrat", Kind: sheet.Number, Unit: "money", High: 1000, Doc: "of a quadrat, for the field; 0"},
		{Name: "cost_per_core", Kind: sheet.Number, Unit: "money", High: 1000, Doc: "of a core, for the field; 0"},
	}}
}
