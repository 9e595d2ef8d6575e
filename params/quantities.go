package params

import (
	"slices"
	"strings"
)

// Quantity is one key that entries of a kind have values for: a row of the
// table by which entries are read, shown and documented.
type Quantity struct {
	Key   string
	Unit  string  // "fraction", "date", "factor", "°C d", …
	Low   float64 // physical limits; both included
	High  float64
	Short string // for tables and pictures: at most 28 characters, one of its kind
	Label string // in words, as a sentence needs it
	Roles string // roles that have the key, between spaces, or other words of an entry; "" for every entry of the kind
	Row   int    // how many numbers it has: 0 one, 12 a year of months, 25 a matrix
	Weed  string // the one weed that it is about; an entry may leave it out
	Field bool   // it is the field's own: of the fields of a farm each has its own draw
}

// Limits of money, in the library and in plans alike. A cost below 0 is a payment, as for
// a cover or a ley that a scheme pays for.
const (
	LeastCost = -100000
	MostMoney = 100000
)

// Quantities are the keys of a kind, in the order in which they are shown; nil
// for an unknown kind.
func Quantities(kind string) []Quantity {
	switch kind {
	case "weeds":
		return slices.Concat(seedQuantities, plantQuantities)
	case "crops":
		return slices.Clone(cropQuantities)
	case "covers":
		return slices.Clone(coverQuantities)
	case "implements":
		return slices.Clone(implementQuantities)
	case "herbicides":
		return slices.Clone(herbicideQuantities)
	case "genes":
		return slices.Clone(geneQuantities)
	case "soils":
		return slices.Clone(soilQuantities)
	case "climates":
		return slices.Clone(climateQuantities)
	}
	return nil
}

// For tells whether entries of a role have the quantity.
func (q Quantity) For(role string) bool {
	return q.Roles == "" || slices.Contains(strings.Fields(q.Roles), role)
}

// has tells whether an entry has the quantity: by its role, by how it works in the
// crop, or as a crop that stands for years.
func (e *Entry) has(q Quantity) bool {
	return q.For(e.Text["role"]) || e.Text["works"] != "" && q.For(e.Text["works"]) || e.Text["perennial"] == "yes" && q.For("perennial")
}

// Layers names the five layers of the soil in the order of matrices.
var Layers = [5]string{"surface", "0-5", "5-10", "10-15", "15-20"}
