package sheet

import (
	"fmt"
	"strings"
)

// Read reads a mapping by a table. Mistakes are noted and reading goes on; what
// was a mistake is absent from the result. Of a nil node the result is nil.
func Read(n *Node, t *Table, m *Mistakes) *Mapping { return ReadAt(n, t, "", m) }

// ReadAt is Read for a mapping that has a path of its own.
func ReadAt(n *Node, t *Table, path string, m *Mistakes) *Mapping {
	if n == nil {
		return nil
	}
	if n.Shape != Map {
		m.Add(n.Place, "found %s for %s; expected a mapping with the keys %s", n.Say(), t.Name, strings.Join(t.Names(), ", "))
		return nil
	}
	p := &Mapping{Place: n.Place, Path: path}
	meant := map[string]bool{}
	for i, k := range n.Keys {
		key := t.Key(k.Text)
		if key == nil {
			unknown(k, t, meant, m)
			continue
		}
		if key.Kind == Reserved {
			m.Add(k.Place, "%q is not yet possible: %s", key.Name, key.Doc)
			continue
		}
		p.set(key.Name, readValue(n.Values[i], key, join(path, key.Name), m))
	}
	for _, k := range t.Keys {
		if k.Required && !p.Said(k.Name) && !meant[k.Name] {
			m.Add(n.Place, "%s lacks the key %q: expected %s", t.Name, k.Name, k.expects())
		}
	}
	return p
}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

// unknown notes a key that the table does not have, with the likeliest remedy;
// meant receives the key that was probably meant, so that it is not also
// reported missing.
func unknown(k *Node, t *Table, meant map[string]bool, m *Mistakes) {
	if say, ok := t.Instead[k.Text]; ok {
		if name, _, _ := strings.Cut(say, " "); t.Key(strings.Trim(name, `":,;`)) != nil {
			meant[strings.Trim(name, `":,;`)] = true
		}
		m.Add(k.Place, "%s has no key %s; use %s", t.Name, quote(k.Text), say)
		return
	}
	if near := Nearest(k.Text, t.Names()); near != "" && !unitDiffers(k.Text, near) {
		meant[near] = true
		m.Add(k.Place, "%s has no key %s; did you mean %q?", t.Name, quote(k.Text), near)
		return
	}
	if key := otherUnit(k.Text, t); key != nil {
		meant[key.Name] = true
		m.Add(k.Place, "%s has no key %s; use %q, in %s%s", t.Name, quote(k.Text), key.Name, key.Unit, convert(k.Text))
		return
	}
	m.Add(k.Place, "%s has no key %s; expected one of: %s", t.Name, quote(k.Text), strings.Join(t.Names(), ", "))
}

// unitDiffers tells whether two near words differ only in their unit, where
// "did you mean" would hide that the number must change too.
func unitDiffers(a, b string) bool { return stem(a) != a && stem(b) != b && stem(a) == stem(b) }

// readValue reads one value; nil after a mistake.
func readValue(n *Node, k *Key, path string, m *Mistakes) *Value {
	if n.Null {
		sayNothing(n, k, m)
		return nil
	}
	v := &Value{Place: n.Place, Path: path, Key: k, Text: n.Text, Node: n}
	ok := true
	switch k.Kind {
	case Raw:
	case List:
		ok = v.readList(n, m)
	case Nested:
		v.Map = ReadAt(n, k.Table, path, m)
		ok = v.Map != nil
	case Free:
		ok = v.readFree(n, m)
	case Uncertain:
		ok = v.readUncertain(n, m)
	case OneOf:
		return readForms(n, k, path, m)
	default:
		if n.Shape != Scalar {
			m.Add(n.Place, "found %s for %q; expected %s", n.Say(), k.Name, k.expects())
			return nil
		}
		ok = v.readScalar(n, m)
	}
	if !ok {
		return nil
	}
	return v
}

func sayNothing(n *Node, k *Key, m *Mistakes) {
	what := "nothing stands after"
	if n.Text != "" {
		what = fmt.Sprintf("found %q after", n.Text)
	}
	if k.Kind == List {
		m.Add(n.Place, "%s %q; write [] for none or leave the key out", what, k.Name)
		return
	}
	m.Add(n.Place, "%s %q; expected %s, or leave the key out", what, k.Name, k.expects())
}

func (v *Value) readList(n *Node, m *Mistakes) bool {
	k := v.Key
	if n.Shape != Sequence {
		m.Add(n.Place, "found %s for %q; expected a list: write [ ] round it or begin each line with \"- \"", n.Say(), k.Name)
		return false
	}
	if k.Count > 0 && len(n.Items) != k.Count {
		m.Add(n.Place, "%q has %d values; expected %d", k.Name, len(n.Items), k.Count)
		return false
	}
	if len(n.Items) < k.Least {
		m.Add(n.Place, "%q has %d entries; expected at least %d", k.Name, len(n.Items), k.Least)
		return false
	}
	v.List = []*Value{}
	of := *k.Of
	if of.Name == "" {
		of.Name = k.Name
	}
	ok := true
	for i, item := range n.Items {
		x := readValue(item, &of, fmt.Sprintf("%s[%d]", v.Path, i), m)
		if x == nil {
			ok = ok && k.Count == 0
			continue
		}
		v.List = append(v.List, x)
	}
	return ok
}

func (v *Value) readFree(n *Node, m *Mistakes) bool {
	k := v.Key
	if n.Shape != Map {
		m.Add(n.Place, "found %s for %q; expected %s", n.Say(), k.Name, k.expects())
		return false
	}
	v.Map = &Mapping{Place: n.Place, Path: v.Path}
	for i, key := range n.Keys {
		if k.Library != "" && !properName(key, k, m) {
			continue
		}
		of := *k.Of
		of.Name = k.Name + "." + key.Text
		v.Map.set(key.Text, readValue(n.Values[i], &of, join(v.Path, key.Text), m))
	}
	return true
}

// readForms reads by the first form that the value fits. When the value's shape
// allows one form only, that form's own message is given.
func readForms(n *Node, k *Key, path string, m *Mistakes) *Value {
	var fitting []Key
	for _, f := range k.Forms {
		if f.takes(n.Shape) {
			f.Name = k.Name
			fitting = append(fitting, f)
		}
	}
	fitting = numeral(signed(fitting, n), n)
	if len(fitting) == 1 {
		return readValue(n, &fitting[0], path, m)
	}
	for i := range fitting {
		var trial Mistakes
		if v := readValue(n, &fitting[i], path, &trial); v != nil && trial.Len() == 0 {
			return v
		}
	}
	m.Add(n.Place, "found %s for %q; expected %s", n.Say(), k.Name, k.expects())
	return nil
}

// numeral leaves, of forms of one word, the only number where a word begins as one: what is
// wrong with it says the number's own message.
func numeral(forms []Key, n *Node) []Key {
	if n.Shape != Scalar || n.Text == "" || !strings.ContainsAny(n.Text[:1], "+-.0123456789") {
		return forms
	}
	var numbers []Key
	for _, f := range forms {
		switch f.Kind {
		case Number, Whole:
			numbers = append(numbers, f)
		case Choice, Name: // of words
		default:
			return forms
		}
	}
	if len(numbers) == 1 {
		return numbers
	}
	return forms
}

// signed leaves, of forms that are known by a key, the one whose key a mapping has, or
// else those that are known by none.
func signed(forms []Key, n *Node) []Key {
	if n.Shape != Map {
		return forms
	}
	var plain []Key
	for _, f := range forms {
		if f.Sign == "" {
			plain = append(plain, f)
			continue
		}
		if _, v := n.Value(f.Sign); v != nil {
			return []Key{f}
		}
	}
	return plain
}

// takes tells whether values of a kind have a shape.
func (k *Key) takes(s Shape) bool {
	switch k.Kind {
	case Raw:
		return true
	case List:
		return s == Sequence
	case Nested, Free:
		return s == Map
	case Uncertain:
		return s != Sequence
	}
	return s == Scalar
}
