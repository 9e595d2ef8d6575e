package sheet

import (
	"strings"

	"gopkg.in/yaml.v3"
)

// Shape is what a node of a file is.
type Shape uint8

// Shapes.
const (
	Scalar Shape = iota
	Sequence
	Map
)

// Node is a piece of a YAML file with its place, before any meaning is read
// into it.
type Node struct {
	Place  Place
	Shape  Shape
	Text   string  // a scalar as written, without quotation marks
	Quoted bool    // a scalar that stood in quotation marks or in a block
	Null   bool    // a scalar that says nothing: an empty value, ~ or null
	Keys   []*Node // of a map, in the order of the file
	Values []*Node // of a map; each belongs to the key of the same index
	Items  []*Node // of a sequence
}

// Value is the node under a key of a map, and the node of the key; nil when
// there is none.
func (n *Node) Value(key string) (k, v *Node) {
	if n == nil {
		return nil, nil
	}
	for i, k := range n.Keys {
		if k.Text == key {
			return k, n.Values[i]
		}
	}
	return nil, nil
}

// Say describes a node in a message: its text in quotation marks, "a list",
// "a mapping", "nothing".
func (n *Node) Say() string {
	switch {
	case n == nil, n.Null:
		return "nothing"
	case n.Shape == Sequence:
		return "a list"
	case n.Shape == Map:
		return "a mapping"
	case n.Quoted:
		return "the text " + quote(n.Text)
	}
	return quote(n.Text)
}

// deepest is how far a file may nest. Plans nest five deep.
const deepest = 20

// builder turns the YAML tree into Nodes and notes what is refused in it.
type builder struct {
	file string
	m    *Mistakes
	bad  bool // something stands in the file that makes it unreadable
}

func (b *builder) refuse(p Place, format string, args ...any) {
	b.bad = true
	b.m.Add(p, format, args...)
}

func (b *builder) node(y *yaml.Node, depth int) *Node {
	n := &Node{Place: Place{b.file, y.Line, y.Column}}
	if depth > deepest {
		b.refuse(n.Place, "nested more than %d deep; a plan needs no more than six", deepest)
		return n
	}
	if y.Kind == yaml.AliasNode {
		b.refuse(n.Place, "found the alias *%s; aliases are not read here: write the value out", y.Value)
		return n
	}
	if y.Anchor != "" {
		b.refuse(n.Place, "found the anchor &%s; anchors are not read here: write each value out", y.Anchor)
	}
	if y.Style&yaml.TaggedStyle != 0 {
		b.refuse(n.Place, "found the tag %s; tags are not read here: write the value alone", y.Tag)
	}
	switch y.Kind {
	case yaml.SequenceNode:
		n.Shape = Sequence
		for _, c := range y.Content {
			n.Items = append(n.Items, b.node(c, depth+1))
		}
	case yaml.MappingNode:
		n.Shape = Map
		b.pairs(n, y, depth)
	default:
		n.Text = y.Value
		n.Quoted = y.Style&^yaml.TaggedStyle != 0
		n.Null = !n.Quoted && y.Tag == "!!null"
	}
	return n
}

// pairs fills a map. Of a key written twice the first counts and the second is
// a mistake; 2 and "2" are one key.
func (b *builder) pairs(n *Node, y *yaml.Node, depth int) {
	given := map[string]int{} // key → its line
	for i := 0; i+1 < len(y.Content); i += 2 {
		k := b.node(y.Content[i], depth+1)
		if k.Text == "<<" && y.Content[i].Tag == "!!merge" {
			b.refuse(k.Place, "found the merge key <<; merge keys are not read here: write the keys out")
			continue
		}
		v := b.node(y.Content[i+1], depth+1)
		switch {
		case k.Shape != Scalar:
			b.refuse(k.Place, "found %s as a key; expected a word", k.Say())
			continue
		case k.Null || strings.TrimSpace(k.Text) == "":
			b.refuse(k.Place, "found an empty key; expected a word before the colon")
			continue
		}
		if first, ok := given[k.Text]; ok {
			b.m.Add(k.Place, "the key %s stands here a second time; it was first given at line %d", quote(k.Text), first)
			continue
		}
		given[k.Text] = k.Place.Line
		n.Keys = append(n.Keys, k)
		n.Values = append(n.Values, v)
	}
}
