package sheet

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
)

// Do is what an Edit does.
type Do uint8

// Edits.
const (
	Set    Do = iota // the value at Path becomes To; a key that is not there is put in
	Remove           // the key or the item at Path is taken out; a list without items becomes []
	Insert           // To becomes an item of the list at Path, before the item At
	Copy             // the item at Path stands a second time, behind itself
	Move             // the item at Path goes to the place At
	Lines            // the line of the key at Path gives way to the lines To, a mapping
	Repeat           // the items of the list at Path stand At times in all, one course after the other
)

// Edit is one change of a file. It is made as a splice: the bytes of one value
// change, or whole lines come or go, and nothing else.
type Edit struct {
	Do    Do
	Path  string   // of the value: seasons[1].drill.date
	To    string   // YAML of the new value; of several lines only where a block list takes an item
	At    int      // a place in a list, or a number of times
	Order []string // keys in the order in which they are usually written, for a key that is put in
}

// Splice is what an edit did to the bytes of a file.
type Splice struct {
	From     int // byte at which Old stood
	Old, New string
}

// Undone is the splice that takes one back.
func (s Splice) Undone() Splice { return Splice{s.From, s.New, s.Old} }

// Apply makes the splice in a text in which Old stands at From.
func (s Splice) Apply(data []byte) ([]byte, error) {
	end := s.From + len(s.Old)
	if s.From < 0 || end > len(data) || string(data[s.From:end]) != s.Old {
		return nil, fmt.Errorf("the text has changed meanwhile")
	}
	return bytes.Join([][]byte{data[:s.From], []byte(s.New), data[end:]}, nil), nil
}

// Refused is an edit that cannot be made as a splice; the text has to be changed by hand.
type Refused struct {
	Place Place
	Text  string
}

// Error says where and why.
func (r *Refused) Error() string { return r.Place.String() + ": " + r.Text }

// Change makes an edit. The new text is read again and must hold what was meant, and
// nothing else that is new: otherwise the edit is refused and the text stays.
func Change(file string, data []byte, e Edit) (out []byte, s Splice, err error) {
	var m Mistakes
	was := Parse(file, data, &m)
	if was == nil {
		first := m.Sorted()[0]
		return nil, s, &Refused{first.Place, first.Text}
	}
	path, err := steps(e.Path)
	if err != nil {
		return nil, s, err
	}
	t, err := newText(file, data)
	if err != nil {
		return nil, s, err
	}
	to, err := e.value()
	if err != nil {
		return nil, s, err
	}
	meant, err := expected(was, path, e, to)
	if err != nil {
		return nil, s, &Refused{t.near(path), err.Error()}
	}
	if out, err = t.edit(path, e); err != nil {
		return nil, s, err
	}
	is := Parse(file, out, new(Mistakes))
	if is == nil || !same(is, meant) {
		return nil, s, &Refused{t.near(path), "this cannot be changed here without rewriting what stands around it; change it in the text"}
	}
	return out, between(data, out), nil
}

// value reads what an edit writes.
func (e *Edit) value() (*Node, error) {
	if e.Do != Set && e.Do != Insert && e.Do != Lines {
		return nil, nil
	}
	if e.Do == Set && strings.ContainsAny(e.To, "\r\n") {
		return nil, fmt.Errorf("a value of several lines cannot be set")
	}
	n := Parse("the value", []byte(e.To), new(Mistakes))
	if n == nil {
		return nil, fmt.Errorf("%s is no value that can be written", quote(e.To))
	}
	return n, nil
}

// between is the smallest splice that leads from one text to another.
func between(was, is []byte) Splice {
	from := 0
	for from < len(was) && from < len(is) && was[from] == is[from] {
		from++
	}
	a, b := len(was), len(is)
	for a > from && b > from && was[a-1] == is[b-1] {
		a, b = a-1, b-1
	}
	return Splice{from, string(was[from:a]), string(is[from:b])}
}

// step is one part of a path: a key, or a place in a list.
type step struct {
	key   string
	index int // −1: a key
}

// steps takes a path apart: seasons[1].drill.date. A key with a point or a bracket in it
// stands in quotation marks.
func steps(path string) ([]step, error) {
	var out []step
	wrong := fmt.Errorf("%s is no path", quote(path))
	for rest := path; rest != ""; {
		switch {
		case rest[0] == '[':
			digits, after, ok := strings.Cut(rest[1:], "]")
			n, err := strconv.Atoi(digits)
			if !ok || err != nil || n < 0 || len(digits) > 6 {
				return nil, wrong
			}
			out, rest = append(out, step{index: n}), after
		case rest[0] == '.' && len(out) > 0 && len(rest) > 1 && rest[1] != '.' && rest[1] != '[':
			rest = rest[1:]
		case rest[0] == '"':
			end := strings.IndexByte(rest[1:], '"')
			if end < 1 {
				return nil, wrong
			}
			out, rest = append(out, step{rest[1 : 1+end], -1}), rest[end+2:]
		default:
			end := strings.IndexAny(rest, ".[")
			if end < 0 {
				end = len(rest)
			}
			if end == 0 {
				return nil, wrong
			}
			out, rest = append(out, step{rest[:end], -1}), rest[end:]
		}
	}
	if len(out) == 0 {
		return nil, wrong
	}
	return out, nil
}
