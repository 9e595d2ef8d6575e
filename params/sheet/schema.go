package sheet

import (
	"encoding/json"
	"math"
)

// Schema writes the JSON Schema (draft 2020-12) of a file read by a table. It
// is as strict as Read in keys, kinds and limits; rules that need dates or the
// library are not in it.
func Schema(t *Table) []byte {
	s := t.schema()
	s["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	out, err := json.MarshalIndent(s, "", "  ")
	if err != nil {
		panic("sheet: a table that is no JSON: " + err.Error()) // tables hold words and finite numbers
	}
	return append(out, '\n')
}

type object = map[string]any

func (t *Table) schema() object {
	props, required := object{}, []string{}
	for i := range t.Keys {
		k := &t.Keys[i]
		if k.Kind == Reserved {
			continue
		}
		props[k.Name] = k.schema()
		if k.Required {
			required = append(required, k.Name)
		}
	}
	s := object{"type": "object", "properties": props, "additionalProperties": false}
	if len(required) > 0 {
		s["required"] = required
	}
	return s
}

func (k *Key) schema() object {
	s := k.shape()
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

func (k *Key) shape() object {
	switch k.Kind {
	case Text:
		return object{"type": []string{"string", "number"}}
	case Name:
		p := namePattern
		if k.Library == "weeds" || k.Library == "crops" {
			p += "|" + eppoPattern
		}
		return object{"type": "string", "pattern": p}
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
		s := object{"type": "array", "items": k.Of.schema()}
		if n := max(k.Count, k.Least); n > 0 {
			s["minItems"] = n
		}
		if k.Count > 0 {
			s["maxItems"] = k.Count
		}
		return s
	case Nested:
		return k.Table.schema()
	case Free:
		return object{"type": "object", "additionalProperties": k.Of.schema()}
	case Uncertain:
		point := k.limit(object{"type": "number"})
		return object{"anyOf": []object{point, rangeTable(k).schema()}}
	case OneOf:
		var forms []object
		for i := range k.Forms {
			forms = append(forms, k.Forms[i].schema())
		}
		return object{"anyOf": forms}
	}
	return object{}
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
