package sheet

import (
	"fmt"
	"slices"
)

// expected is what a file must hold after an edit.
func expected(was *Node, path []step, e Edit, to *Node) (*Node, error) {
	out := clone(was)
	if e.Do == Insert || e.Do == Repeat {
		list, err := out.at(path)
		if err != nil {
			return nil, err
		}
		return out, list.listed(e, to)
	}
	holder, err := out.at(path[:len(path)-1])
	if err != nil {
		return nil, err
	}
	last := path[len(path)-1]
	if last.index >= 0 {
		return out, holder.changedItem(last.index, e, to)
	}
	return out, holder.changedKey(last.key, e, to)
}

// listed makes an edit of a list as a whole.
func (n *Node) listed(e Edit, to *Node) error {
	switch {
	case n.Shape != Sequence:
		return fmt.Errorf("here stands %s, not a list", n.Say())
	case e.Do == Repeat && (e.At < 1 || e.At*len(n.Items) > 1000):
		return fmt.Errorf("a list cannot be written out %d times", e.At)
	case e.Do == Repeat:
		n.Items = slices.Repeat(n.Items, e.At)
	case e.At < 0 || e.At > len(n.Items):
		return fmt.Errorf("the list has %d entries", len(n.Items))
	default:
		n.Items = slices.Insert(n.Items, e.At, to)
	}
	return nil
}

func (n *Node) changedItem(i int, e Edit, to *Node) error {
	if n.Shape != Sequence || i >= len(n.Items) {
		return fmt.Errorf("there is no entry %d", i+1)
	}
	switch e.Do {
	case Set:
		n.Items[i] = to
	case Remove:
		n.Items = slices.Delete(n.Items, i, i+1)
	case Copy:
		n.Items = slices.Insert(n.Items, i, n.Items[i])
	case Move:
		if e.At < 0 || e.At >= len(n.Items) {
			return fmt.Errorf("the list has %d entries", len(n.Items))
		}
		x := n.Items[i]
		n.Items = slices.Insert(slices.Delete(n.Items, i, i+1), e.At, x)
	default:
		return fmt.Errorf("an entry of a list has no key")
	}
	return nil
}

func (n *Node) changedKey(key string, e Edit, to *Node) error {
	if n.Shape != Map {
		return fmt.Errorf("here stands %s, not a mapping", n.Say())
	}
	at := slices.IndexFunc(n.Keys, func(k *Node) bool { return k.Text == key })
	switch {
	case e.Do == Lines && (at < 0 || to.Shape != Map):
		return fmt.Errorf("there are no lines for %s", quote(key))
	case e.Do == Lines:
		n.Keys, n.Values = slices.Concat(n.Keys[:at], to.Keys, n.Keys[at+1:]), slices.Concat(n.Values[:at], to.Values, n.Values[at+1:])
	case e.Do == Set && at >= 0:
		n.Values[at] = to
	case e.Do == Set:
		n.Keys, n.Values = append(n.Keys, &Node{Text: key}), append(n.Values, to)
	case e.Do == Remove && at >= 0:
		n.Keys, n.Values = slices.Delete(n.Keys, at, at+1), slices.Delete(n.Values, at, at+1)
	case e.Do == Remove:
		return fmt.Errorf("there is no %s", quote(key))
	default:
		return fmt.Errorf("%s is no entry of a list", quote(key))
	}
	return nil
}

// at follows a path.
func (n *Node) at(path []step) (*Node, error) {
	for _, s := range path {
		switch {
		case s.index >= 0 && n.Shape == Sequence && s.index < len(n.Items):
			n = n.Items[s.index]
		case s.index < 0 && n.Shape == Map:
			_, v := n.Value(s.key)
			if v == nil {
				return nil, fmt.Errorf("there is no %s", quote(s.key))
			}
			n = v
		default:
			return nil, fmt.Errorf("here stands %s, and what was to be changed in it is not there", n.Say())
		}
	}
	return n, nil
}

func clone(n *Node) *Node {
	out := *n
	out.Keys, out.Values, out.Items = clones(n.Keys), clones(n.Values), clones(n.Items)
	return &out
}

func clones(list []*Node) []*Node {
	out := make([]*Node, len(list))
	for i, n := range list {
		out[i] = clone(n)
	}
	return out
}

// same tells whether two pieces hold the same, wherever they stand. The order of the keys of
// a mapping says nothing.
func same(a, b *Node) bool {
	if a.Shape != b.Shape || a.Text != b.Text || a.Null != b.Null || a.Quoted != b.Quoted || len(a.Items) != len(b.Items) || len(a.Keys) != len(b.Keys) {
		return false
	}
	for i := range a.Items {
		if !same(a.Items[i], b.Items[i]) {
			return false
		}
	}
	for i, k := range a.Keys {
		if _, v := b.Value(k.Text); v == nil || !same(a.Values[i], v) {
			return false
		}
	}
	return true
}
