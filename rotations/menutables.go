package rotations

import (
	"math"

	"rundown/params"
	"rundown/params/sheet"
)

// What a menu may hold at most. The count of rotations has no bound but these.
const (
	mostEntries = 40
	mostYears   = 20
)

// menuTable is everything that may stand in a menu: a plan with seasons to choose from.
func menuTable() *sheet.Table {
	season := seasonKey()
	field := fieldTable()
	field.Keys = append(field.Keys, sheet.Key{Name: "before", Kind: sheet.List, Of: &sheet.Key{Kind: sheet.Name, Library: "crops"},
		Doc: "crops before last_crop, the oldest first; rules that count years look back on them"})
	rule := sheet.Key{Kind: sheet.Nested, Table: ruleTable()}
	return &sheet.Table{Name: "the menu", Keys: []sheet.Key{
		{Name: "format", Kind: sheet.Whole, Low: 1, High: math.Inf(1), Doc: "version of the plan format; 1"},
		{Name: "about", Kind: sheet.Text, Doc: "what is searched for, in a sentence"},
		{Name: "field", Kind: sheet.Nested, Required: true, Table: field, Doc: "the field, as in a plan"},
		{Name: "weed", Kind: sheet.Nested, Required: true, Table: weedTable(), Doc: "the weed and how much of it there is, as in a plan"},
		{Name: "years", Kind: sheet.Whole, Low: 1, High: mostYears, Required: true, Doc: "harvests that a rotation has"},
		{Name: "menu", Kind: sheet.Free, FreeKey: "name", Required: true, Of: &season, Doc: "named seasons, each as in a plan"},
		{Name: "rules", Kind: sheet.List, Of: &rule, Doc: "what may follow what, and how often"},
		{Name: "want", Kind: sheet.Nested, Table: wantTable(), Doc: "what a rotation should keep to; it is told which do"},
		{Name: "against", Kind: sheet.Text, Doc: "plan that rotations are set against: what is done now"},
		{Name: "economics", Kind: sheet.Nested, Table: economicsTable(true), Doc: "prices and costs that replace those of the library"},
		afterwardsKey(), discountKey(), shownKey(),
		{Name: "library", Kind: sheet.Text, Doc: "folder with library entries of your own"},
	}, Instead: map[string]string{
		"seasons": `"menu", a mapping from a name to a season`, "rotation": `"menu", a mapping from a name to a season`, "repeat": `"years"`,
		"crops": `"menu", a mapping from a name to a season`, "wants": `"want"`, "rule": `"rules", a list`,
	}}
}

// ruleTable is one rule. Which of its keys go together is checked in its words.
func ruleTable() *sheet.Table {
	crops := []sheet.Key{{Kind: sheet.Name, Library: "crops"}, {Kind: sheet.List, Least: 1, Of: &sheet.Key{Kind: sheet.Name, Library: "crops"}}}
	entries := []sheet.Key{{Kind: sheet.Text}, {Kind: sheet.List, Least: 1, Of: &sheet.Key{Kind: sheet.Text}}}
	return &sheet.Table{Name: "a rule", Least: 1, Keys: []sheet.Key{
		{Name: "crop", Kind: sheet.OneOf, Forms: crops, Doc: "crop of the library, or a list of some: what is counted"},
		{Name: "at_most", Kind: sheet.Whole, Low: 0, High: mostYears, Doc: "years with it at most"},
		{Name: "at_least", Kind: sheet.Whole, Low: 1, High: mostYears, Doc: "years with it at least"},
		{Name: "in_years", Kind: sheet.Whole, Low: 1, High: mostYears, Doc: "in any so many years on end; left out: in the whole rotation"},
		{Name: "at_most_in_a_row", Kind: sheet.Whole, Low: 1, High: mostYears, Doc: "years with it on end, at most"},
		{Name: "first", Kind: sheet.OneOf, Forms: entries, Doc: "entries that a rotation may begin with"},
		{Name: "last", Kind: sheet.OneOf, Forms: entries, Doc: "entries that it may end with"},
		{Name: "after", Kind: sheet.OneOf, Forms: entries, Doc: "entries behind which those of not may not stand"},
		{Name: "not", Kind: sheet.OneOf, Forms: entries, Doc: "with after: the entries that may not stand there"},
	}, Instead: map[string]string{"max": `"at_most"`, "min": `"at_least"`, "every": `"in_years"`, "before": `"after" and "not"`, "crops": `"crop"`}}
}

func wantTable() *sheet.Table {
	in := sheet.Key{Name: "in", Kind: sheet.Number, Low: 1, High: 100, Doc: "of 100 runs; 80"}
	return &sheet.Table{Name: "the want", Least: 1, Keys: []sheet.Key{
		{Name: "heads_per_m2", Kind: sheet.Nested, Table: &sheet.Table{Name: "heads_per_m2", Keys: []sheet.Key{
			{Name: "below", Kind: sheet.Number, Unit: "heads/m²", Above: true, High: 10000, Required: true, Doc: "every season has fewer"}, in,
			{Name: "from", Kind: sheet.Whole, Low: 1, High: mostYears, Doc: "season from which on; 3"},
		}}, Doc: "heads that every season keeps under"},
		{Name: "margin_per_ha", Kind: sheet.Nested, Table: &sheet.Table{Name: "margin_per_ha", Keys: []sheet.Key{
			{Name: "at_least", Kind: sheet.Number, Unit: "money/ha", Low: -params.MostMoney, High: params.MostMoney, Required: true, Doc: "mean of the years"}, in,
		}}, Doc: "margin a year that is earned at least"},
	}}
}
