package sheet

import (
	"bytes"
	"encoding/csv"
	"slices"
	"strings"
)

// Lay is a map with a value under a path of keys, in place of what stood there. What
// is on the way and no map gives way to one. Nothing given is changed.
func Lay(n *Node, path []string, v *Node) *Node {
	if len(path) == 0 {
		return v
	}
	out := &Node{Place: v.Place, Shape: Map}
	if n != nil && n.Shape == Map {
		out.Place, out.Keys, out.Values = n.Place, slices.Clone(n.Keys), slices.Clone(n.Values)
	}
	for i, k := range out.Keys {
		if k.Text == path[0] {
			out.Values[i] = Lay(out.Values[i], path[1:], v)
			out.Keys[i] = &Node{Place: v.Place, Text: k.Text}
			return out
		}
	}
	out.Keys = append(out.Keys, &Node{Place: v.Place, Text: path[0]})
	out.Values = append(out.Values, Lay(nil, path[1:], v))
	return out
}

// Without is a map without some of its keys. What is no map stays as it is.
func Without(n *Node, keys ...string) *Node {
	if n == nil || n.Shape != Map {
		return n
	}
	out := *n
	out.Keys, out.Values = nil, nil
	for i, k := range n.Keys {
		if !slices.Contains(keys, k.Text) {
			out.Keys, out.Values = append(out.Keys, k), append(out.Values, n.Values[i])
		}
	}
	return &out
}

// Headings are those of a CSV file, as ReadCSV finds them in a file that it may read
// loosely; nil where there is no line that can be read.
func Headings(data []byte) []string {
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	reader := csv.NewReader(bytes.NewReader(data))
	reader.Comma = separatorOf(data)
	head, err := reader.Read()
	if err != nil {
		return nil
	}
	for i := range head {
		head[i] = strings.TrimSpace(head[i])
	}
	return head
}
