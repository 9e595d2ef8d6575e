package rotations

import (
	"embed"
	"slices"
	"strings"

	"rundown/params/sheet"
)

// files are the ready-made rotations, and the starter plan.
//
//go:embed *.yaml
var files embed.FS

const starterFile = "starter.yaml"

// Starter is the plan to begin with: six seasons of an invented field, with
// comments.
func Starter() []byte {
	data, err := files.ReadFile(starterFile)
	if err != nil {
		panic("rotations: the starter plan is not in the program: " + err.Error()) // it is embedded above
	}
	return data
}

// ReadyMade lists the names of the ready-made rotations, sorted.
func ReadyMade() []string {
	var names []string
	entries, _ := files.ReadDir(".") // an embedded folder can always be listed
	for _, e := range entries {
		if name, ok := strings.CutSuffix(e.Name(), ".yaml"); ok && e.Name() != starterFile {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names
}

// About is what a ready-made rotation says of itself, "" if there is none of
// that name.
func About(name string) string {
	return readRotation(name, new(sheet.Mistakes)).Text("about")
}

// rotationTable is everything that may stand in the file of a ready-made
// rotation.
func rotationTable() *sheet.Table {
	season := sheet.Key{Kind: sheet.Nested, Table: seasonTable(true)}
	return &sheet.Table{Name: "the rotation", Keys: []sheet.Key{
		{Name: "about", Kind: sheet.Text, Required: true, Doc: "the rotation in plain words"},
		{Name: "repeat", Kind: sheet.Whole, Low: 1, High: mostSeasons, Doc: "how many times it is run through unless a plan says otherwise"},
		{Name: "seasons", Kind: sheet.List, Least: 1, Required: true, Of: &season},
	}}
}

// readyMade is the rotation that a plan names.
func readyMade(v *sheet.Value, m *sheet.Mistakes) *sheet.Mapping {
	names := ReadyMade()
	if !slices.Contains(names, v.Text) {
		m.Add(v.Place, "there is no ready-made rotation %q; %s", v.Text, sheet.DidYouMean(v.Text, names))
		return nil
	}
	return readRotation(v.Text, m)
}

func readRotation(name string, m *sheet.Mistakes) *sheet.Mapping {
	data, err := files.ReadFile(name + ".yaml")
	if err != nil {
		return nil
	}
	p := sheet.ReadAt(sheet.Parse("rotations/"+name+".yaml", data, m), rotationTable(), "rotation", m)
	walk(p, func(v *sheet.Value) {
		if v.Map != nil && v.Key.Kind == sheet.Nested && v.Key.Table.Key("days_after_drilling") != nil {
			oneTiming(v, m)
		}
	})
	return p
}
