package sheet

import (
	"fmt"
	"math"

	"rundown/params/date"
)

// Fields are keys with their values, in order: a mapping that is built in Go
// instead of read from a file.
type Fields []Field

// Field is one key of Fields with its value.
type Field = struct {
	Key   string
	Value any
}

// Build makes a node of a Go value, to be read by the same tables as a file. It takes
// text, whole and finite numbers, yes and no as bool, days and dates without a year,
// Fields, lists ([]any, []Fields, []*Node), and nodes of a file, which keep their
// places. All else has the name alone as its place, in messages. A value of any other
// type is an error.
func Build(name string, v any) (*Node, error) {
	n := &Node{Place: Place{File: name}}
	switch v := v.(type) {
	case *Node:
		return v, nil
	case Fields:
		n.Shape = Map
		return n, n.fields(v)
	case []any:
		return n, items(n, v)
	case []Fields:
		return n, items(n, v)
	case []*Node:
		return n, items(n, v)
	case string:
		n.Text = v
	case bool:
		if n.Text = "no"; v {
			n.Text = "yes"
		}
	case int:
		n.Text = fmt.Sprint(v)
	case float64:
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return nil, fmt.Errorf("%s: %v is no number that can be read", name, v)
		}
		n.Text = Plain(v)
	case date.Day, date.Annual, Date:
		n.Text = fmt.Sprint(v)
	default:
		return nil, fmt.Errorf("%s: a %T cannot be read as a value", name, v)
	}
	return n, nil
}

// fields fills a map. A key that stands twice is an error: of a file it would be a mistake.
func (n *Node) fields(list Fields) error {
	for _, f := range list {
		if k, _ := n.Value(f.Key); k != nil {
			return fmt.Errorf("%s: the key %s stands twice", n.Place.File, quote(f.Key))
		}
		v, err := Build(n.Place.File, f.Value)
		if err != nil {
			return fmt.Errorf("%s: %w", f.Key, err)
		}
		n.Keys = append(n.Keys, &Node{Place: n.Place, Text: f.Key})
		n.Values = append(n.Values, v)
	}
	return nil
}

func items[T any](n *Node, list []T) error {
	n.Shape = Sequence
	for i, x := range list {
		v, err := Build(n.Place.File, x)
		if err != nil {
			return fmt.Errorf("[%d]: %w", i, err)
		}
		n.Items = append(n.Items, v)
	}
	return nil
}
