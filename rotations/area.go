package rotations

import (
	"math"
	"strconv"

	"rundown/params/sheet"
)

// Area is the unit of land that money and yields are told per. It is of display alone: what a
// plan says, what is worked out, JSON and CSV are per hectare.
type Area struct {
	Name string  // as it stands behind a number: ha
	Ha   float64 // hectares in one
}

// Areas are the units to choose from, the usual one first. The acre is the international one.
var Areas = []Area{{"ha", 1}, {"ac", 0.40468564224}}

// Per is a quantity per hectare as one per unit.
func (a Area) Per(x float64) float64 { return x * a.Ha }

// Of is so many hectares in this unit.
func (a Area) Of(ha float64) float64 { return ha / a.Ha }

// Size writes so many hectares: 9 ha, or 22.2 ac. A plan says hectares, so that they stand as written.
func (a Area) Size(ha float64) string {
	x := ha
	if a.Ha != 1 {
		parts := 10.0
		if a.Of(ha) < 10 {
			parts = 100
		}
		x = math.Round(a.Of(ha)*parts) / parts
	}
	return strconv.FormatFloat(x, 'f', -1, 64) + " " + a.Name
}

// shownKey is the switch.
func shownKey() sheet.Key {
	var names []string
	for _, a := range Areas {
		names = append(names, a.Name)
	}
	return sheet.Key{Name: "units", Kind: sheet.Nested, Doc: "units in which results are shown; the plan itself stays in ha, t/ha and money/ha",
		Table: &sheet.Table{Name: "units", Keys: []sheet.Key{
			{Name: "area", Kind: sheet.Choice, Choices: names, Doc: "ha, the usual, or ac: field, money and yields are shown in acres and per acre"},
		}, Instead: map[string]string{"yield": `"area", by which yields and money are shown`, "money": `"area", by which yields and money are shown`,
			"land": `"area"`, "temperature": `"units" under "weather" under "field", where a file is in °F`,
			"rain": `"units" under "weather" under "field", where a file is in inches`}}}
}

// area is the unit that a plan asks for.
func (r *resolver) area() Area {
	asked := r.plan.Root.Map("units").Text("area")
	for _, a := range Areas {
		if a.Name == asked {
			return a
		}
	}
	return Areas[0]
}
