package rotations

import (
	"math"
	"slices"

	"rundown/params"
	"rundown/params/sheet"
)

// Schema is the JSON Schema (draft 2020-12) of a plan. It offers the names of a
// library; another library may have more.
func Schema(lib *params.Library) []byte {
	return sheet.Schema(planTable(), namesOf(lib))
}

// namesOf offers the names of a library by kind.
func namesOf(lib *params.Library) func(library string) []string {
	return func(library string) []string {
		if library != "operations" {
			return lib.Names(library)
		}
		return slices.Concat(lib.Names("implements"), lib.Names("herbicides"), lib.Names("covers"))
	}
}

const notYet = "the field is treated as one zone"

// whenIs is what says on what a season or its work hangs.
const whenIs = `"choose" in place of a season, with "if" in its branches, or "if" in a piece of work`

// planTable is everything that may stand in a plan.
func planTable() *sheet.Table {
	season := seasonKey()
	return &sheet.Table{Name: "the plan", Keys: []sheet.Key{
		{Name: "format", Kind: sheet.Whole, Low: 1, High: math.Inf(1), Doc: "version of the plan format; 1"},
		{Name: "about", Kind: sheet.Text, Doc: "what the plan is for, in a sentence"},
		{Name: "field", Kind: sheet.Nested, Required: true, Table: fieldTable(), Doc: "the field"},
		{Name: "weed", Kind: sheet.Nested, Required: true, Table: weedTable(), Doc: "the weed and how much of it there is"},
		{Name: "seasons", Kind: sheet.List, Least: 1, Of: &season, Doc: "what is grown, season by season; each ends at its crop's harvest"},
		{Name: "rotation", Kind: sheet.Name, Doc: "a ready-made list of seasons, instead of seasons"},
		{Name: "repeat", Kind: sheet.Whole, Low: 1, High: mostSeasons, Doc: "how many times the list of seasons is run through"},
		{Name: "counting", Kind: sheet.Nested, Table: countingTable(), Doc: "how the field is counted for the conditions of the plan"},
		{Name: "economics", Kind: sheet.Nested, Table: economicsTable(true), Doc: "prices and costs that replace those of the library"},
		afterwardsKey(), discountKey(), shownKey(),
		{Name: "library", Kind: sheet.Text, Doc: "folder with library entries of your own"},
		{Name: "zones", Kind: sheet.Reserved, Doc: notYet},
		{Name: "where", Kind: sheet.Reserved, Doc: notYet},
	}, Instead: map[string]string{
		"area":  `"area_ha" under "field", in ha; or units: {area: ac}, for results in acres`,
		"acres": `"area_ha" under "field", in ha (1 acre is 0.4047 ha), and units: {area: ac} for results in acres`,
		"crop":  `"seasons", a list with a crop in each`, "crops": `"seasons", a list with a crop in each`,
		"start": `"start" under "weed"`, "species": `"species" under "weed"`, "soil": `"soil" under "field"`,
		"climate": `"climate" under "field"`, "weather": `"weather" under "field"`, "area_ha": `"area_ha" under "field"`,
		"when": whenIs, "if": whenIs, "choose": `"choose" in an item of "seasons"`,
		"years": `"repeat", the number of times the list of seasons is run through`,
	}, Rules: []sheet.Rule{{Kind: sheet.ExactlyOne, Keys: []string{"seasons", "rotation"}}}}
}

func fieldTable() *sheet.Table {
	return &sheet.Table{Name: "the field", Keys: []sheet.Key{
		{Name: "name", Kind: sheet.Text, Doc: "name of the field"},
		{Name: "area_ha", Kind: sheet.Number, Unit: "ha", Low: 0.0001, High: 10000, Required: true, Doc: "area; weeds are counted in whole plants on it"},
		{Name: "soil", Kind: sheet.Name, Library: "soils", Required: true, Doc: "soil; rundown library soils"},
		{Name: "climate", Kind: sheet.OneOf, Doc: "climate; rundown library climates", Forms: []sheet.Key{
			{Kind: sheet.Name, Library: "climates"},
			{Kind: sheet.Nested, Table: &sheet.Table{Name: "the climate", Keys: []sheet.Key{
				{Name: "from", Kind: sheet.Text, Required: true, Doc: "weather file that the climate is fitted to"},
				{Name: "columns", Kind: sheet.Nested, Table: columnsTable()},
				{Name: "units", Kind: sheet.Nested, Table: unitsTable()},
			}}},
		}},
		{Name: "weather", Kind: sheet.OneOf, Doc: "daily record: date,tmin_c,tmax_c,rain_mm", Forms: []sheet.Key{
			{Kind: sheet.Text},
			{Kind: sheet.Nested, Table: &sheet.Table{Name: "the weather", Keys: []sheet.Key{
				{Name: "file", Kind: sheet.Text, Required: true, Doc: "CSV file"},
				{Name: "columns", Kind: sheet.Nested, Table: columnsTable(), Doc: "headings of the file, where they differ"},
				{Name: "units", Kind: sheet.Nested, Table: unitsTable(), Doc: "units of the file, where they are not °C and mm"},
				{Name: "beyond", Kind: sheet.Choice, Choices: []string{"resample", "climate"}, Doc: "weather outside the record: whole years of it again, or the climate"},
			}}},
		}},
		{Name: "latitude", Kind: sheet.Number, Unit: "°", High: 66, Doc: "how far north a weather file is from; 52 if left out"},
		{Name: "history", Kind: sheet.Name, Library: "implements", Doc: "usual tillage before the start: an implement, or a drill where nothing else was used"},
		{Name: "last_crop", Kind: sheet.Name, Library: "crops", Doc: "crop before the start"},
		{Name: "work", Kind: sheet.Choice, Choices: []string{"when-fit", "on-its-day"},
			Doc: "when-fit: work waits for fit ground, the usual; on-its-day: for nothing, as in trials"},
	}, Instead: map[string]string{"area": `"area_ha", in ha`, "size": `"area_ha", in ha`, "species": `"species" under "weed"`},
		Rules: []sheet.Rule{{Kind: sheet.AtLeastOne, Keys: []string{"climate", "weather"}}}}
}

func columnsTable() *sheet.Table {
	t := &sheet.Table{Name: "the columns"}
	for _, k := range recordKeys(units{}) {
		t.Keys = append(t.Keys, sheet.Key{Name: k.Name, Kind: sheet.Text, Doc: "heading of this column"})
	}
	return t
}

func unitsTable() *sheet.Table {
	return &sheet.Table{Name: "the units", Keys: []sheet.Key{
		{Name: "temperature", Kind: sheet.Choice, Choices: []string{"C", "F"}, Doc: "°C, the usual, or °F"},
		{Name: "rain", Kind: sheet.Choice, Choices: []string{"mm", "inches"}, Doc: "mm, the usual, or inches"},
	}}
}

func weedTable() *sheet.Table {
	seeds := func(name, doc string) sheet.Key {
		return sheet.Key{Name: name, Kind: sheet.Uncertain, Unit: "seeds/m²", High: 1e6, Doc: doc}
	}
	bank := &sheet.Table{Name: "the seedbank", Keys: []sheet.Key{
		seeds("surface", "old seed on the surface"), seeds("0-5", "old seed at 0–5 cm"), seeds("5-10", "at 5–10 cm"),
		seeds("10-15", "at 10–15 cm"), seeds("15-20", "at 15–20 cm"), seeds("fresh", "this year's seed, on the surface"),
	}, Least: 1}
	return &sheet.Table{Name: "the weed", Keys: []sheet.Key{
		{Name: "species", Kind: sheet.Name, Library: "weeds", Required: true, Doc: "weed; rundown library weeds, or its EPPO code"},
		{Name: "start", Kind: sheet.FullDate, Required: true, Doc: "day on which the projection begins"},
		{Name: "heads_per_m2", Kind: sheet.Uncertain, Unit: "heads/m²", High: 10000, Doc: "heads counted in the last June"},
		{Name: "trend", Kind: sheet.Uncertain, Unit: "factor", Above: true, High: 20, Doc: "seed of one year over that of the year before, in past years"},
		{Name: "seedbank_per_m2", Kind: sheet.Nested, Table: bank, Doc: "viable seed by layer, instead of heads_per_m2"},
		{Name: "resistance", Kind: sheet.Free, FreeKey: "HRAC group", Of: resistanceKey(), Doc: "HRAC group: share of efficacy lost, or what a test found"},
		{Name: "evolve", Kind: sheet.YesNo, Doc: "yes: resistance evolves under the plan; no: it is held still, as when left out"},
		{Name: "import_per_m2", Kind: sheet.Number, Unit: "seeds/m²", High: 10000, Doc: "viable seed brought in each season"},
		{Name: "threshold_heads_per_m2", Kind: sheet.Number, Unit: "heads/m²", Above: true, High: 10000, Doc: "heads at which you would act; drawn in the pictures"},
	}, Instead: map[string]string{"name": `"species"`, "weed": `"species"`, "plants_per_m2": `"heads_per_m2", the heads counted in the last June`},
		Rules: []sheet.Rule{{Kind: sheet.ExactlyOne, Keys: []string{"heads_per_m2", "seedbank_per_m2"}},
			{Kind: sheet.NotBoth, Keys: []string{"trend", "seedbank_per_m2"}}}}
}

// economicsTable is the prices and costs at plan level, or of one season.
func economicsTable(plan bool) *sheet.Table {
	money := func(name, unit, library, free, doc string) sheet.Key {
		of := &sheet.Key{Kind: sheet.Uncertain, Unit: unit, Low: params.LeastCost, High: params.MostMoney}
		if name == "prices" {
			of.Low = 0
		}
		return sheet.Key{Name: name, Kind: sheet.Free, Library: library, FreeKey: free, Doc: doc, Of: of}
	}
	t := &sheet.Table{Name: "economics", Keys: []sheet.Key{
		money("prices", "money/t", "crops", "crop", "crop: price per tonne"),
		money("variable_costs", "money/ha", "crops", "crop", "crop: seed, fertiliser and sprays other than grass-weed herbicides, per ha; below 0 for a payment"),
		money("harvest_costs", "money/ha", "crops", "crop", "crop: harvest, per ha"),
		money("costs", "money/ha", "operations", "implement, herbicide or cover", "implement, herbicide or cover: one pass, per ha; below 0 for a payment"),
	}}
	if plan {
		t.Keys = append([]sheet.Key{{Name: "currency", Kind: sheet.Text, Doc: "label of the money; GBP"}}, t.Keys...)
	}
	return t
}
