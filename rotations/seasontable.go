package rotations

import "rundown/params/sheet"

// seasonTable is everything that may stand in a season of a plan, or, with
// planned false, in a crop's usual practice.
func seasonTable(planned bool) *sheet.Table {
	list := func(name string, of sheet.Key, doc string) sheet.Key {
		return sheet.Key{Name: name, Kind: sheet.List, Of: &of, Doc: doc}
	}
	spray := sheet.Key{Kind: sheet.OneOf, Forms: []sheet.Key{
		{Kind: sheet.EitherDate},
		{Kind: sheet.Nested, Table: ruled(operationTable("a spray", "with", "herbicides", false), planned, workDone())},
	}}
	nested := func(t *sheet.Table) sheet.Key { return sheet.Key{Kind: sheet.Nested, Table: t} }
	herbicides := list("herbicides", nested(ruled(operationTable("a herbicide", "programme", "herbicides", true), planned, workDone())),
		"selective herbicides; [] for none")
	drill := sheet.Key{Name: "drill", Kind: sheet.Nested, Table: drillTable(), Doc: "the sowing of the crop"}
	work := []sheet.Key{
		list("cultivate", nested(ruled(cultivationTable(), planned, workDone())), "work that moves soil; [] for none"),
		list("spray_off", spray, "non-selective sprays before drilling; [] for none"),
		drill,
		herbicides,
		list("in_crop", nested(ruled(operationTable("work in the crop", "with", "implements", true), planned, workDone())), "hoeing, roguing, cutting in the crop"),
		{Name: "harvest", Kind: sheet.Nested, Table: ruled(harvestTable(), planned, controlDone()), Doc: "how the crop is harvested"},
	}
	if !planned {
		return &sheet.Table{Name: "the usual practice", Keys: work}
	}
	otherwise := &sheet.Table{Name: "the crop grown otherwise", Keys: []sheet.Key{
		{Name: "crop", Kind: sheet.Name, Library: "crops", Required: true, Doc: "the crop"}, drill, herbicides,
	}}
	keys := []sheet.Key{
		{Name: "crop", Kind: sheet.Name, Library: "crops", Required: true, Doc: "crop; rundown library crops, or its EPPO code"},
		{Name: "years", Kind: sheet.Whole, Low: 1, High: 10, Doc: "of a ley: seasons for which it stands"},
		{Name: "cover", Kind: sheet.Nested, Table: ruled(coverTable(), planned, workDone()), Doc: "cover crop before the crop"},
	}
	keys = append(append(keys, work...),
		sheet.Key{Name: "otherwise", Kind: sheet.OneOf, Doc: "grown instead when the crop cannot be drilled by latest; left out: fallow", Forms: []sheet.Key{
			{Kind: sheet.Name, Library: "crops"}, {Kind: sheet.Nested, Table: otherwise},
		}},
		sheet.Key{Name: "cultivar_factor", Kind: sheet.Number, Unit: "factor", Low: 0.2, High: 3, Doc: "weed heads in this cultivar against a typical one; 1"},
		sheet.Key{Name: "economics", Kind: sheet.Nested, Table: economicsTable(false), Doc: "prices and costs of this season alone"},
		sheet.Key{Name: "where", Kind: sheet.Reserved, Doc: notYet},
	)
	return &sheet.Table{Name: "a season", Keys: keys, Instead: map[string]string{
		"sow": `"drill"`, "plant": `"drill"`, "drilling": `"drill"`, "plough": `"cultivate", with: plough`,
		"tillage": `"cultivate"`, "sprays": `"spray_off" or "herbicides"`, "name": `"crop"`, "when": whenIs,
	}}
}

func timingKeys(drillingFirst bool) []sheet.Key {
	keys := []sheet.Key{
		{Name: "date", Kind: sheet.EitherDate, Doc: "day wished"},
		{Name: "days_after_drilling", Kind: sheet.Whole, Unit: "d", Low: 0, High: 300, Doc: "days after the actual drilling"},
	}
	if !drillingFirst {
		keys = append(keys, sheet.Key{Name: "days_before_drilling", Kind: sheet.Whole, Unit: "d", Low: 0, High: 300,
			Doc: "days before the planned drilling; 0 is the day itself, before the drill. A spray is done again just before the drill when that comes over " +
				"a week late"},
			daysAfterHarvest("days after the harvest of the crop before, whenever that was"))
	}
	return append(keys, sheet.Key{Name: "latest", Kind: sheet.EitherDate, Doc: "given up after this day"})
}

// daysAfterHarvest counts from the harvest before, so that a day still fits when the
// crop before is another.
func daysAfterHarvest(doc string) sheet.Key {
	return sheet.Key{Name: "days_after_harvest", Kind: sheet.Whole, Unit: "d", Low: 1, High: 300, Doc: doc}
}

// operationTable is one operation, named under a key from a kind of the library.
func operationTable(name, key, library string, drillingFirst bool) *sheet.Table {
	keys := append(timingKeys(drillingFirst), sheet.Key{Name: key, Kind: sheet.Name, Library: library, Doc: "what is used",
		Required: key == "programme" || library == "implements"})
	days := []string{"date", "days_after_drilling"}
	if !drillingFirst {
		days = append(days, "days_before_drilling", "days_after_harvest")
	}
	t := &sheet.Table{Name: name, Keys: keys, Rules: []sheet.Rule{
		{Kind: sheet.ExactlyOne, Keys: days}, {Kind: sheet.NotBoth, Keys: []string{"days_after_drilling", "latest"}}}}
	if !drillingFirst {
		t.Rules = append(t.Rules, sheet.Rule{Kind: sheet.NotBoth, Keys: []string{"days_after_harvest", "latest"}})
	}
	if key == "programme" {
		t.Instead = map[string]string{"with": `"programme"`, "name": `"programme"`, "dose": "no dose here: the label rules"}
	}
	return t
}

func cultivationTable() *sheet.Table {
	t := operationTable("a cultivation", "with", "implements", false)
	t.Keys = append(t.Keys, sheet.Key{Name: "quality", Kind: sheet.Choice, Choices: []string{"ordinary", "good"},
		Doc: "of ploughing: how completely it turns the soil over"})
	t.Instead = map[string]string{"implement": `"with"`, "name": `"with"`}
	return t
}

func coverTable() *sheet.Table {
	return &sheet.Table{Name: "a cover", Keys: []sheet.Key{
		{Name: "mix", Kind: sheet.Name, Library: "covers", Required: true, Doc: "mixture; rundown library covers"},
		{Name: "sow", Kind: sheet.EitherDate, Doc: "day of sowing wished"},
		daysAfterHarvest("instead of sow: days after the harvest of the crop before"),
		{Name: "latest", Kind: sheet.EitherDate, Doc: "sowing is given up after this day; 14 days on"},
		{Name: "destroy", Kind: sheet.EitherDate, Required: true, Doc: "day of destruction wished"},
		{Name: "destroy_with", Kind: sheet.Name, Library: "operations", Doc: "herbicide or implement; a non-selective spray"},
	}, Instead: map[string]string{"with": `"mix"`, "name": `"mix"`, "date": `"sow" and "destroy"`},
		Rules: []sheet.Rule{{Kind: sheet.ExactlyOne, Keys: []string{"sow", "days_after_harvest"}},
			{Kind: sheet.NotBoth, Keys: []string{"days_after_harvest", "latest"}}}}
}

func drillTable() *sheet.Table {
	return &sheet.Table{Name: "a drilling", Keys: []sheet.Key{
		{Name: "date", Kind: sheet.EitherDate, Doc: "day wished"},
		{Name: "latest", Kind: sheet.EitherDate, Doc: "given up after this day"},
		{Name: "with", Kind: sheet.Name, Library: "implements", Doc: "drill"},
		{Name: "seeds_per_m2", Kind: sheet.Number, Unit: "seeds/m²", Above: true, High: 5000, Doc: "seed rate"},
	}, Instead: map[string]string{"seed_rate": `"seeds_per_m2", in seeds/m²`,
		"kg_per_ha": `"seeds_per_m2", in seeds/m² (kg/ha × 100 / thousand-grain weight in g)`}}
}

func harvestTable() *sheet.Table {
	return &sheet.Table{Name: "the harvest", Keys: []sheet.Key{
		{Name: "with", Kind: sheet.Name, Library: "implements", Doc: "harvest weed-seed control"},
		{Name: "straw", Kind: sheet.Choice, Choices: []string{"chopped", "removed"}, Doc: "what becomes of the straw"},
	}}
}
