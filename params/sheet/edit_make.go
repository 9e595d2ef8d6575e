package sheet

import (
	"bytes"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"
)

// edit makes the bytes of an edit.
func (t *text) edit(path []step, e Edit) ([]byte, error) {
	if e.Do == Insert || e.Do == Repeat {
		list, err := t.find(path)
		if err != nil {
			return nil, err
		}
		if list.Kind != yaml.SequenceNode {
			return nil, t.refuse(list, "here stands no list")
		}
		if e.Do == Repeat {
			return t.repeat(list, e.At)
		}
		return t.insert(list, e)
	}
	last := path[len(path)-1]
	holder, err := t.find(path[:len(path)-1])
	if err != nil {
		return nil, err
	}
	if last.index < 0 {
		return t.editKey(holder, last.key, e)
	}
	switch e.Do {
	case Set:
		return t.replace(holder.Content[last.index], e.To)
	case Remove:
		return t.removeItem(holder, path, last.index)
	case Copy:
		return t.copyItem(holder, last.index)
	}
	return t.moveItem(holder, last.index, e.At)
}

func (t *text) editKey(holder *yaml.Node, key string, e Edit) ([]byte, error) {
	i := keyAt(holder, key)
	switch {
	case e.Do == Remove:
		return t.removeKey(holder, i)
	case e.Do == Lines:
		from, to, err := t.ownLines(holder.Content[i], holder.Content[i+1], "")
		if err != nil {
			return nil, err
		}
		margin := strings.Repeat(" ", holder.Column-1)
		lines := margin + strings.ReplaceAll(strings.TrimRight(e.To, "\n"), "\n", t.eol+margin) + t.eol
		return t.splice(from, to, lines)
	case i < 0:
		return t.put(holder, key, e)
	}
	k, v := holder.Content[i], holder.Content[i+1]
	if silent(v) || v.Kind != yaml.ScalarNode && v.Style&yaml.FlowStyle == 0 {
		return t.inPlaceOfLines(k, v, e.To)
	}
	return t.replace(v, e.To)
}

// splice puts a text in place of some bytes.
func (t *text) splice(from, to int, with string) ([]byte, error) {
	return bytes.Join([][]byte{t.data[:from], []byte(with), t.data[to:]}, nil), nil
}

// replace puts a value in place of one that stands on its line.
func (t *text) replace(v *yaml.Node, with string) ([]byte, error) {
	if v.Kind != yaml.ScalarNode && v.Style&yaml.FlowStyle == 0 {
		return nil, t.refuse(v, "this stands on lines of its own"+byHand)
	}
	end, err := t.end(v)
	if err != nil {
		return nil, err
	}
	return t.splice(t.begin(v), end, with)
}

// inPlaceOfLines writes a value behind the colon of a key and takes out the lines that the
// value stood on. A comment on the line of the key stays.
func (t *text) inPlaceOfLines(k, v *yaml.Node, with string) ([]byte, error) {
	at, err := t.colon(k)
	if err != nil {
		return nil, err
	}
	if silent(v) {
		return t.splice(at, at, " "+with)
	}
	from, to := t.lineEnd(at), 0
	if to, err = t.end(v); err != nil {
		return nil, err
	}
	if to < from {
		return nil, t.refuse(v, "this is written in a way that cannot be changed here"+byHand)
	}
	out := slices.Concat(t.data[:at], []byte(" "+with), t.data[at:from], t.data[t.lineEnd(to):])
	return out, nil
}

// ownLines are the lines of a piece that begins its line, but for a dash; from and to are bytes.
func (t *text) ownLines(first, last *yaml.Node, lead string) (from, to int, err error) {
	at := t.begin(first)
	if strings.TrimSpace(t.before(at)) != lead {
		return 0, 0, t.refuse(first, "this shares its line with something else"+byHand)
	}
	if silent(last) {
		to, err = t.colon(first)
	} else {
		to, err = t.end(last)
	}
	if err != nil {
		return 0, 0, err
	}
	if rest := strings.TrimSpace(string(t.data[to:t.lineEnd(to)])); rest != "" && rest[0] != '#' {
		return 0, 0, t.refuse(last, "something else stands on this line"+byHand)
	}
	return t.lineStart(at), t.lineEnd(to), nil
}

func (t *text) removeKey(holder *yaml.Node, i int) ([]byte, error) {
	k, v := holder.Content[i], holder.Content[i+1]
	if holder.Style&yaml.FlowStyle != 0 {
		return t.removePart(holder, i, 2)
	}
	if len(holder.Content) == 2 {
		return nil, t.refuse(k, "nothing would be left here"+byHand)
	}
	from, to, err := t.ownLines(k, v, "")
	if err != nil {
		return nil, err
	}
	return t.splice(from, to, "")
}

// removePart takes so many pieces of a list or mapping on one line out of it, with a comma.
func (t *text) removePart(holder *yaml.Node, i, n int) ([]byte, error) {
	from, all := t.begin(holder.Content[i]), len(holder.Content)
	if i+n < all {
		return t.splice(from, t.begin(holder.Content[i+n]), "")
	}
	to, err := t.end(holder.Content[i+n-1])
	if err != nil {
		return nil, err
	}
	if i > 0 {
		if from, err = t.end(holder.Content[i-1]); err != nil {
			return nil, err
		}
	}
	return t.splice(from, to, "")
}

// put writes a key that is not there.
func (t *text) put(holder *yaml.Node, key string, e Edit) ([]byte, error) {
	line := Written(key) + ": " + e.To
	at := t.follows(holder, key, e.Order)
	if holder.Kind != yaml.MappingNode {
		return nil, t.refuse(holder, "here stands no mapping")
	}
	if holder.Style&yaml.FlowStyle != 0 {
		if at < 0 {
			begin := t.begin(holder) + 1
			if len(holder.Content) > 0 {
				line += ", "
			}
			return t.splice(begin, begin, line)
		}
		end, err := t.end(holder.Content[at+1])
		if err != nil {
			return nil, err
		}
		return t.splice(end, end, ", "+line)
	}
	if at < 0 {
		at = 0
	}
	k, v := holder.Content[at], holder.Content[at+1]
	end, err := t.colon(k)
	if !silent(v) {
		end, err = t.end(v)
	}
	if err != nil {
		return nil, err
	}
	return t.addLines(t.lineEnd(end), strings.Repeat(" ", holder.Column-1)+line)
}

// follows is the place of the key behind which another is usually written; −1: it comes first.
func (t *text) follows(holder *yaml.Node, key string, order []string) int {
	at := slices.Index(order, key)
	if at < 0 {
		return len(holder.Content) - 2
	}
	best := -1
	for i := 0; i+1 < len(holder.Content); i += 2 {
		if slices.Contains(order[:at], holder.Content[i].Value) {
			best = i
		}
	}
	return best
}

// addLines puts lines in at the beginning of a line, or at the end of a text that lacks the
// last line break.
func (t *text) addLines(at int, lines string) ([]byte, error) {
	lines = strings.ReplaceAll(strings.ReplaceAll(lines, "\r\n", "\n"), "\n", t.eol)
	if at > 0 && t.data[at-1] != '\n' {
		return t.splice(at, at, t.eol+lines)
	}
	return t.splice(at, at, lines+t.eol)
}

// Written writes text so that YAML reads it back as it is, on any line.
func Written(s string) string {
	plain := s != "" && s == strings.TrimSpace(s) && !strings.ContainsAny(s, "\n\r\t,[]{}#:&*!|>'\"%@`\\") && !strings.ContainsFunc(s, unseen)
	if plain && s[0] != '-' && s[0] != '?' && s[0] != '=' {
		if doc, _, err := decode([]byte(s)); err == nil && doc != nil && len(doc.Content) == 1 && doc.Content[0].Value == s && doc.Content[0].Tag == "!!str" {
			return s
		}
	}
	return inQuotes(s)
}

// Flow writes a piece on one line.
func Flow(n *Node) string {
	var parts []string
	switch n.Shape {
	case Sequence:
		for _, x := range n.Items {
			parts = append(parts, Flow(x))
		}
		return "[" + strings.Join(parts, ", ") + "]"
	case Map:
		for i, k := range n.Keys {
			parts = append(parts, Flow(k)+": "+Flow(n.Values[i]))
		}
		return "{" + strings.Join(parts, ", ") + "}"
	}
	switch {
	case n.Null:
		return "null"
	case n.Quoted || strings.ContainsAny(n.Text, "\n,[]{}#:"):
		return inQuotes(n.Text)
	}
	return n.Text
}
