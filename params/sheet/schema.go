package sheet

import (
	"encoding/json"
	"math"
)

// Schema writes the JSON Schema (draft 2020-12) of a file read by a table. It
// is as strict as Read in keys, kinds, limits and which keys go together; rules
// that compare values or need dates or the library are not in it.
//
// names lists what the library has of a kind, for editors to offer; a library
// of the user's own may have more, so no other name is ruled out. It may be nil.
func Schema(t *Table, names func(library string) []string) []byte {
	s := t.schema(names)
	s["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	out, err := json.MarshalIndent(s, "", "  ")
	if err != nil {
		panic("sheet: a table that is no JSON: " + err.Error()) // tables hold words and finite numbers
	}
	return append(out, '\n')
}

type object = map[string]any

// lister lists the names of a kind of the library; nil knows none.
type lister = func(library string) []string

func (t *Table) schema(names lister) object {
	props, required := object{}, []string{}
	for i := range t.Keys {
		k := &t.Keys[i]
		if k.Kind == Reserved {
			continue
		}
		props[k.Name] = k.schema(names)
		if k.Required {
			required = append(required, k.Name)
		}
	}
	s := object{"type": "object", "properties": props, "additionalProperties": false}
	if len(required) > 0 {
		s["required"] = required
	}
	if t.Least > 0 {
		s["minProperties"] = t.Least
	}
	var all []object
	for _, r := range t.Rules {
		all = append(all, r.schema())
	}
	if len(all) > 0 {
		s["allOf"] = all
	}
	return s
}

func (r Rule) schema() object {
	var each []object
	for _, k := range r.Keys {
		each = append(each, object{"required": []string{k}})
	}
	switch r.Kind {
	case ExactlyOne:
		return object{"oneOf": each}
	case AtLeastOne:
		return object{"anyOf": each}
	}
	return object{"not": object{"required": r.Keys}}
}

func (k *Key) schema(names lister) object {
	s := k.shape(names)
	if doc := k.Doc; doc != "" {
		if k.Unit != "" {
			doc += " [" + k.Unit + "]"
		}
		s["description"] = doc
	}
	return s
}

const (
	namePattern   = `^[a-z0-9]+(-[a-z0-9]+)*$`
	eppoPattern   = `^[A-Z]{4}[A-Z0-9]{1,2}$`
	fullPattern   = `^[0-9]{4}-[0-9]{2}-[0-9]{2}$`
	annualPattern = `^[0-9]{1,2} [A-Za-z]{3,9}$`
)

func (k *Key) shape(names lister) object {
	switch k.Kind {
	case Text:
		return object{"type": []string{"string", "number"}}
	case Name:
		p := namePattern
		if k.Library == "weeds" || k.Library == "crops" {
			p += "|" + eppoPattern
		}
		s := object{"type": "string", "pattern": p}
		if names != nil && k.Library != "" {
			s["examples"] = names(k.Library)
		}
		return s
	case Number:
		return k.limit(object{"type": "number"})
	case Whole:
		return k.limit(object{"type": "integer"})
	case YesNo:
		return object{"enum": []any{true, false, "yes", "no"}}
	case FullDate:
		return object{"type": "string", "pattern": fullPattern}
	case AnnualDate:
		return object{"type": "string", "pattern": annualPattern}
	case EitherDate:
		return object{"type": "string", "pattern": fullPattern + "|" + annualPattern}
	case Choice:
		return object{"enum": k.Choices}
	case List:
		s := object{"type": "array", "items": k.Of.schema(names)}
		if n := max(k.Count, k.Least); n > 0 {
			s["minItems"] = n
		}
		if k.Count > 0 {
			s["maxItems"] = k.Count
		}
		return s
	case Nested:
		return k.Table.schema(names)
	case Free:
		return object{"type": "object", "additionalProperties": k.Of.schema(names)}
	case Uncertain:
		point := k.limit(object{"type": "number"})
		return object{"anyOf": []object{point, lognormalRange(k).schema(names)}}
	case OneOf:
		var forms []object
		for i := range k.Forms {
			forms = append(forms, k.Forms[i].schema(names))
		}
		return object{"anyOf": forms}
	}
	return object{}
}

// lognormalRange is rangeTable with what readUncertain asks of it: it begins
// above 0, unless the number itself may be below.
func lognormalRange(k *Key) *Table {
	t := rangeTable(k)
	low := &t.Keys[0]
	if !low.limited() {
		low.High = math.Inf(1)
	}
	if low.Low == 0 {
		low.Low, low.Above = 0, true
	}
	return t
}

func (k *Key) limit(s object) object {
	if !k.limited() {
		return s
	}
	switch {
	case math.IsInf(k.Low, -1):
	case k.Above:
		s["exclusiveMinimum"] = k.Low
	default:
		s["minimum"] = k.Low
	}
	if !math.IsInf(k.High, 1) {
		s["maximum"] = k.High
	}
	return s
}
