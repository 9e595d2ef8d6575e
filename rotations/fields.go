package rotations

import (
	"bytes"
	"slices"
	"strings"

	"rundown/params/sheet"
)

// MostFields is how many fields a table may have.
const MostFields = 10_000

// FieldRow is a field as a row of a table has it. It is laid over plans: what it says
// stands in place of what they say, the rest is theirs.
type FieldRow struct {
	Name  string
	Place sheet.Place // of its name
	cells []laid
}

// laid is a value of a row and where it belongs in a plan.
type laid struct {
	path []string
	node *sheet.Node
}

// instead are keys that go with others: a row that gives one of them takes all of them
// away from the plan, since weather, and what stood on a field, are told in one way.
var instead = map[string][]string{
	"climate": {"climate", "weather", "latitude"}, "weather": {"climate", "weather", "latitude"},
	"heads_per_m2": {"heads_per_m2", "trend", "seedbank_per_m2"}, "seedbank_per_m2": {"heads_per_m2", "trend", "seedbank_per_m2"},
}

// ReadFields reads a table of fields, a CSV file with a row for each: its name, and any
// key of the field and the weed of a plan. All mistakes are noted, with row and column.
func ReadFields(file string, data []byte, m *sheet.Mistakes) []*FieldRow {
	columns, paths := fieldColumns(file, data, m)
	if columns == nil {
		return nil
	}
	var rows []*FieldRow
	first := map[string]sheet.Place{}
	sheet.ReadCSV(file, bytes.NewReader(data), sheet.Columns{Keys: columns, Loose: true}, m, func(r *sheet.Row) {
		if r.Cells[0] == nil {
			return
		}
		row := &FieldRow{Name: r.Cells[0].Text, Place: r.Cells[0].Place}
		if at, twice := first[row.Name]; twice {
			m.Add(row.Place, "the field %q is already in line %d; give every field a name of its own, by which its luck is told from that of others", row.Name, at.Line)
			return
		}
		first[row.Name] = row.Place
		for i, cell := range r.Cells {
			if cell != nil {
				row.clash(paths[i], cell, m)
				row.cells = append(row.cells, laid{paths[i], cell.Node})
			}
		}
		if r.Good {
			rows = append(rows, row)
		}
	})
	switch {
	case m.Len() == 0 && len(rows) == 0:
		m.Add(sheet.Place{File: file, Line: 1}, "the table has no fields; write a line for each under the heading")
	case len(rows) > MostFields:
		m.Add(sheet.Place{File: file}, "the table has %d fields; at most %d are run at once: take it apart", len(rows), MostFields)
	}
	return rows
}

// clash notes a cell that says again, in another way, what one before has said.
func (f *FieldRow) clash(path []string, cell *sheet.Value, m *sheet.Mistakes) {
	for _, c := range f.cells {
		n := min(len(c.path), len(path))
		if len(c.path) != len(path) && slices.Equal(c.path[:n], path[:n]) {
			m.Add(cell.Place, "%s and %s of %q are both given; keep one of them", strings.Join(c.path, "."), strings.Join(path, "."), f.Name)
		}
	}
}

// fieldColumns are the columns of a table of fields, the name first, and where each
// belongs in a plan; nil where the heading cannot be read.
func fieldColumns(file string, data []byte, m *sheet.Mistakes) (keys []sheet.Key, paths [][]string) {
	at := sheet.Place{File: file, Line: 1}
	before := m.Len()
	keys, paths = []sheet.Key{{Name: "name", Kind: sheet.Text, Required: true}}, [][]string{{"field", "name"}}
	for _, head := range sheet.Headings(data) {
		if head == "" || head == "name" {
			continue // an empty one is told by the reading
		}
		key, path, why := columnKey(head)
		if why != "" {
			m.Add(at, "the column %q %s", head, why)
			continue
		}
		for i, other := range paths {
			if slices.Equal(other, path) && keys[i].Name != head {
				m.Add(at, "the columns %q and %q are the same; keep one of them", keys[i].Name, head)
			}
		}
		key.Name, key.Required = head, false
		keys, paths = append(keys, key), append(paths, path)
	}
	if m.Len() > before {
		return nil, nil
	}
	return keys, paths
}

// columnKey finds the key of a plan that a heading names: field.area_ha, or area_ha for
// short; heads_per_m2.low; resistance.2. Else it says why there is none.
func columnKey(head string) (key sheet.Key, path []string, why string) {
	tables := map[string]*sheet.Table{"field": fieldTable(), "weed": weedTable()}
	words := strings.Split(head, ".")
	section, known := tables[words[0]]
	if known {
		path, words = append(path, words[0]), words[1:]
	} else {
		for _, name := range []string{"field", "weed"} {
			if tables[name].Key(words[0]) != nil && section == nil {
				path, section = append(path, name), tables[name]
			}
		}
	}
	switch {
	case len(words) == 0:
		return key, nil, "holds several values; give each a column: " + strings.Join(section.Names(), ", ")
	case section == nil:
		for _, t := range tables {
			if say := t.Instead[words[0]]; say != "" {
				return key, nil, "is not known; use " + say
			}
		}
		for _, t := range tables {
			if say := sheet.InOtherUnit(words[0], t); say != "" {
				return key, nil, "is not known; tables of fields are in hectares and metres: " + say
			}
		}
		return key, nil, "is not known; " + sheet.DidYouMean(words[0], columnNames())
	}
	top := sheet.Key{Kind: sheet.Nested, Table: section}
	key = top
	for _, word := range words {
		var next *sheet.Key
		if next, why = below(&key, word); next == nil {
			return key, nil, why
		}
		key, path = *next, append(path, word)
	}
	one, why := single(&key)
	return one, path, why
}

// columnNames are the usual headings.
func columnNames() []string {
	var out []string
	for _, t := range []*sheet.Table{fieldTable(), weedTable()} {
		out = append(out, t.Names()...)
	}
	return out
}

// below is the key under a word of a key that holds others.
func below(key *sheet.Key, word string) (*sheet.Key, string) {
	for _, k := range append([]sheet.Key{*key}, key.Forms...) {
		switch {
		case k.Kind == sheet.Nested:
			if found := k.Table.Key(word); found != nil {
				return found, ""
			}
			return nil, "is not known; " + sheet.DidYouMean(word, k.Table.Names())
		case k.Kind == sheet.Free:
			return k.Of, ""
		case k.Kind == sheet.Uncertain && (word == "low" || word == "high"):
			end := k
			end.Kind = sheet.Number
			return &end, ""
		}
	}
	return nil, "is not known: a plan holds nothing under that key"
}

// single is a key whose value goes into one cell.
func single(key *sheet.Key) (sheet.Key, string) {
	k := *key
	var cells []sheet.Key
	for _, form := range key.Forms {
		if form.Kind != sheet.Nested && form.Kind != sheet.Free && form.Kind != sheet.List {
			cells = append(cells, form)
		}
	}
	switch len(cells) {
	case 0:
	case 1:
		k = cells[0]
	default:
		k = sheet.Key{Kind: sheet.OneOf, Forms: cells, Unit: cells[0].Unit}
	}
	switch k.Kind {
	case sheet.Uncertain:
		k.Kind = sheet.Number
	case sheet.Nested:
		return k, "holds several values; give each a column: " + strings.Join(k.Table.Names(), ", ") + ", each after it and a dot"
	case sheet.Free:
		return k, "holds several values; give each a column, with the " + k.FreeKey + " after it and a dot"
	}
	return k, ""
}

// Over is a plan with the field of a row, both as written.
func (f *FieldRow) Over(plan *sheet.Node) *sheet.Node {
	if plan == nil || plan.Shape != sheet.Map {
		return plan
	}
	for _, c := range f.cells {
		if others := instead[c.path[1]]; others != nil {
			if _, section := plan.Value(c.path[0]); section != nil {
				plan = sheet.Lay(plan, c.path[:1], sheet.Without(section, others...))
			}
		}
	}
	for _, c := range f.cells {
		plan = sheet.Lay(plan, c.path, c.node)
	}
	return plan
}

// ReadOn reads a plan that was parsed, with the field of a row laid over it.
func ReadOn(file string, parsed *sheet.Node, f *FieldRow, m *sheet.Mistakes) *Plan {
	return planOf(file, f.Over(parsed), m.Len(), m)
}
