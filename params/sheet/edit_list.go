package sheet

import (
	"slices"
	"strings"

	"gopkg.in/yaml.v3"
)

const dash = "-"

// chunk are the lines of an item of a list: those that it stands on, and from lead on the
// comments right above it, which are taken to be about it.
type chunk struct{ lead, from, to int }

func (t *text) chunk(list *yaml.Node, i int) (c chunk, err error) {
	item := list.Content[i]
	if silent(item) {
		return c, t.refuse(item, "nothing stands here"+byHand)
	}
	if c.from, c.to, err = t.ownLines(item, item, dash); err != nil {
		return c, err
	}
	c.lead = c.from
	for c.lead > t.lines[0] {
		above := t.lineStart(c.lead - 1)
		line := strings.TrimRight(string(t.data[above:c.lead]), "\r\n")
		if strings.TrimLeft(line, " ") == "" || strings.TrimLeft(line, " ")[0] != '#' || len(line)-len(strings.TrimLeft(line, " ")) != list.Column-1 {
			break
		}
		c.lead = above
	}
	return c, nil
}

// written is the bytes of a piece on one line.
func (t *text) written(n *yaml.Node) (string, error) {
	end, err := t.end(n)
	if err != nil {
		return "", err
	}
	return string(t.data[t.begin(n):end]), nil
}

func (t *text) removeItem(list *yaml.Node, path []step, i int) ([]byte, error) {
	if list.Style&yaml.FlowStyle != 0 {
		return t.removePart(list, i, 1)
	}
	if len(list.Content) == 1 {
		if len(path) < 2 || path[len(path)-2].index >= 0 {
			return nil, t.refuse(list, "nothing would be left here"+byHand)
		}
		holder, err := t.find(path[:len(path)-2])
		if err != nil {
			return nil, err
		}
		return t.inPlaceOfLines(holder.Content[keyAt(holder, path[len(path)-2].key)], list, "[]")
	}
	c, err := t.chunk(list, i)
	if err != nil {
		return nil, err
	}
	return t.splice(c.from, c.to, "")
}

// insert writes an item into a list.
func (t *text) insert(list *yaml.Node, e Edit) ([]byte, error) {
	n := len(list.Content)
	if list.Style&yaml.FlowStyle != 0 || n == 0 {
		if strings.Contains(e.To, "\n") {
			return nil, t.refuse(list, "this list is written on one line"+byHand)
		}
		switch {
		case n == 0:
			return t.splice(t.begin(list)+1, t.begin(list)+1, e.To)
		case e.At < n:
			at := t.begin(list.Content[e.At])
			return t.splice(at, at, e.To+", ")
		}
		end, err := t.end(list.Content[n-1])
		if err != nil {
			return nil, err
		}
		return t.splice(end, end, ", "+e.To)
	}
	c, err := t.chunk(list, min(e.At, n-1))
	if err != nil {
		return nil, err
	}
	margin := strings.Repeat(" ", list.Column-1)
	lines := margin + "- " + strings.ReplaceAll(strings.TrimRight(e.To, "\n"), "\n", "\n"+margin+"  ")
	if e.At < n {
		return t.addLines(c.lead, lines)
	}
	return t.addLines(c.to, lines)
}

func (t *text) copyItem(list *yaml.Node, i int) ([]byte, error) {
	if list.Style&yaml.FlowStyle != 0 {
		said, err := t.written(list.Content[i])
		if err != nil {
			return nil, err
		}
		end := t.begin(list.Content[i]) + len(said)
		return t.splice(end, end, ", "+said)
	}
	c, err := t.chunk(list, i)
	if err != nil {
		return nil, err
	}
	return t.addLines(c.to, strings.TrimRight(string(t.data[c.from:c.to]), "\r\n"))
}

// moveItem takes an item to another place among the others.
func (t *text) moveItem(list *yaml.Node, from, to int) ([]byte, error) {
	order := make([]int, len(list.Content))
	for i := range order {
		order[i] = i
	}
	order = slices.Insert(slices.Delete(order, from, from+1), to, from)
	if list.Style&yaml.FlowStyle == 0 {
		return t.reorderLines(list, order)
	}
	out, at := []byte(nil), 0
	for i, item := range list.Content {
		said, err := t.written(list.Content[order[i]])
		if err != nil {
			return nil, err
		}
		end, err := t.end(item)
		if err != nil {
			return nil, err
		}
		out = append(append(out, t.data[at:t.begin(item)]...), said...)
		at = end
	}
	return append(out, t.data[at:]...), nil
}

// reorderLines puts the lines of the items in another order; what stands between two goes
// with the upper one.
func (t *text) reorderLines(list *yaml.Node, order []int) ([]byte, error) {
	n := len(order)
	chunks := make([]chunk, n)
	for i := range chunks {
		c, err := t.chunk(list, i)
		if err != nil {
			return nil, err
		}
		chunks[i] = c
	}
	lines := func(i int) string {
		end := chunks[i].to
		if i+1 < n {
			end = chunks[i+1].lead
		}
		said := string(t.data[chunks[i].lead:end])
		if !strings.HasSuffix(said, "\n") {
			said += t.eol
		}
		return said
	}
	all := ""
	for _, i := range order {
		all += lines(i)
	}
	return t.splice(chunks[0].lead, chunks[n-1].to, all)
}

// repeat writes the items of a list out so many times.
func (t *text) repeat(list *yaml.Node, times int) ([]byte, error) {
	n := len(list.Content)
	if n == 0 || times == 1 {
		return slices.Clone(t.data), nil
	}
	if list.Style&yaml.FlowStyle != 0 {
		end, err := t.end(list.Content[n-1])
		if err != nil {
			return nil, err
		}
		return t.splice(end, end, strings.Repeat(", "+string(t.data[t.begin(list.Content[0]):end]), times-1))
	}
	first, err := t.chunk(list, 0)
	if err != nil {
		return nil, err
	}
	last, err := t.chunk(list, n-1)
	if err != nil {
		return nil, err
	}
	said := strings.TrimRight(string(t.data[first.lead:last.to]), "\r\n")
	return t.addLines(last.to, strings.TrimSuffix(strings.Repeat(said+t.eol, times-1), t.eol))
}
