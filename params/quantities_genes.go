package params

// Groups are the HRAC groups that have heritabilities of their own; others share one.
var Groups = []string{"1", "2", "3", "5", "9", "12", "15", "30"}

// GeneGroups are the HRAC groups for which one gene of large effect (target-site) is known.
var GeneGroups = []string{"1", "2"}

// Families are the chemical families of HRAC group 1, in the trade "fops", "dims" and "dens". One copy
// of a gene keeps off less of a cyclohexanedione than of the other two.
var Families = []string{"aryloxyphenoxypropionate", Cyclohexanedione, "phenylpyrazoline"}

// Cyclohexanedione is the family of the "dims".
const Cyclohexanedione = "cyclohexanedione"

// geneQuantities are how a weed inherits resistance.
var geneQuantities = append([]Quantity{
	{Key: "outcrossing", Unit: "fraction", High: 1, Short: "seed by foreign pollen", Label: "share of seed that another plant's pollen makes"},
	{Key: "mutation_rate", Unit: "per gamete", High: 1e-3, Short: "new resistance, per gamete",
		Label: "chance that a copy of a gene becomes resistant, per gamete"},
	{Key: "start_share_1", Unit: "fraction", High: 0.5, Short: "group 1 gene before use",
		Label: "share of copies of the gene that resist HRAC group 1 where nothing is known of the field"},
	{Key: "start_share_2", Unit: "fraction", High: 0.5, Short: "group 2 gene before use",
		Label: "share of copies of the gene that resist HRAC group 2 where nothing is known of the field"},
	{Key: "target_site_share_1", Unit: "fraction", High: 1, Short: "group 1 by one gene",
		Label: "chance that resistance to group 1 comes by one gene, and not by many, where nothing is said"},
	{Key: "target_site_share_2", Unit: "fraction", High: 1, Short: "group 2 by one gene",
		Label: "chance that resistance to group 2 comes by one gene, and not by many, where nothing is said"},
	{Key: "protection", Unit: "fraction", High: 1, Short: "what two copies keep off", Label: "share of a herbicide's kill that two copies of a gene keep off"},
	{Key: "dominance_1", Unit: "fraction", High: 1, Short: "one copy, group 1", Label: "what one copy keeps off of group 1, over what two do"},
	{Key: "dominance_1_" + Cyclohexanedione, Unit: "fraction", High: 1, Short: "one copy, cyclohexanediones",
		Label: "what one copy keeps off of cyclohexanediones (the 'dims' of group 1), over what two do"},
	{Key: "dominance_2", Unit: "fraction", High: 1, Short: "one copy, group 2", Label: "what one copy keeps off of group 2, over what two do"},
	{Key: "cost", Unit: "fraction", High: 1, Short: "heads lost by two copies",
		Label: "share of heads that two copies of a gene cost, where they cost any; one copy half"},
	{Key: "cost_share", Unit: "fraction", High: 1, Short: "fields where it costs heads", Label: "share of fields whose gene of large effect costs heads at all"},
	{Key: "trait_cost", Unit: "1/sd", High: 1, Short: "cost of many-gene resistance",
		Label: "fall of the log of heads per standard deviation of a many-gene trait"},
	{Key: "pollen_outside", Unit: "fraction", High: 1, Short: "pollen from outside", Label: "share of foreign pollen that comes from outside the field"},
	{Key: "pollen_between_patches", Unit: "fraction", High: 1, Short: "pollen between patches", Label: "share of foreign pollen from the rest of the field"},
	{Key: "correlation_1_2", Unit: "number", Low: -1, High: 1, Short: "groups 1 and 2 together",
		Label: "genetic correlation of many-gene resistance to groups 1 and 2"},
	{Key: "correlation_3_15", Unit: "number", Low: -1, High: 1, Short: "groups 3 and 15 together",
		Label: "genetic correlation of many-gene resistance to groups 3 and 15"},
	{Key: "correlation_other", Unit: "number", Low: -1, High: 1, Short: "other groups together",
		Label: "genetic correlation of many-gene resistance to any two other groups"},
}, heritabilities()...)

// heritabilities are one for each group, and one for the rest.
func heritabilities() (all []Quantity) {
	row := func(group, words string) {
		all = append(all, Quantity{Key: "heritability_" + group, Unit: "fraction", High: 0.95, Short: "inherited, " + words,
			Label: "share of the variance between plants in bearing " + words + " that is inherited by many genes"})
	}
	for _, g := range Groups {
		row(g, "group "+g)
	}
	row("other", "other groups")
	return all
}
