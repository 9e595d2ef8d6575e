package sheet

import (
	"bytes"
	"unicode/utf8"

	"gopkg.in/yaml.v3"
)

// text is a file with the places of its YAML in bytes.
type text struct {
	file  string
	data  []byte
	root  *yaml.Node
	lines []int // at which byte each line begins; one more at the end
	eol   string
}

var byteOrderMark = []byte("\ufeff")

func newText(file string, data []byte) (*text, error) {
	t := &text{file: file, data: data, eol: "\n", lines: []int{0}}
	if bytes.HasPrefix(data, byteOrderMark) {
		t.lines[0] = len(byteOrderMark)
	}
	doc, _, err := decode(data[t.lines[0]:])
	if err != nil || doc == nil || len(doc.Content) == 0 {
		return nil, &Refused{Place{File: file}, "the text cannot be read as YAML; mend it first"}
	}
	t.root = doc.Content[0]
	for i, b := range data {
		if b == '\n' {
			t.lines = append(t.lines, i+1)
		}
	}
	if i := bytes.IndexByte(data, '\n'); i > 0 && data[i-1] == '\r' {
		t.eol = "\r\n"
	}
	if t.lines[len(t.lines)-1] != len(data) {
		t.lines = append(t.lines, len(data))
	}
	return t, nil
}

// refuse says that an edit cannot be made at a piece.
func (t *text) refuse(n *yaml.Node, why string) error {
	return &Refused{Place{t.file, n.Line, n.Column}, why}
}

const byHand = "; change it in the text"

// begin is the byte at which a piece begins; columns count letters.
func (t *text) begin(n *yaml.Node) int {
	if n.Line < 1 || n.Line >= len(t.lines) {
		return len(t.data)
	}
	at := t.lines[n.Line-1]
	for range n.Column - 1 {
		_, size := utf8.DecodeRune(t.data[at:])
		at += size
	}
	return at
}

// end is the byte behind a piece.
func (t *text) end(n *yaml.Node) (int, error) {
	at := t.begin(n)
	switch {
	case n.Kind == yaml.ScalarNode:
		return t.scalarEnd(n, at)
	case n.Style&yaml.FlowStyle != 0:
		if len(n.Content) > 0 {
			var err error
			if at, err = t.end(n.Content[len(n.Content)-1]); err != nil {
				return 0, err
			}
		} else {
			at++
		}
		return t.closing(n, at)
	case len(n.Content) == 0:
		return 0, t.refuse(n, "nothing stands here that could be changed"+byHand)
	}
	last := n.Content[len(n.Content)-1]
	if silent(last) && n.Kind == yaml.MappingNode {
		return t.colon(n.Content[len(n.Content)-2])
	}
	return t.end(last)
}

// silent tells of a value that was left out.
func silent(n *yaml.Node) bool {
	return n.Kind == yaml.ScalarNode && n.Value == "" && n.Style == 0
}

func (t *text) scalarEnd(n *yaml.Node, at int) (int, error) {
	several := t.refuse(n, "the text runs over several lines"+byHand)
	switch {
	case n.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		return 0, several
	case n.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle) != 0:
		sign := byte('"')
		if n.Style&yaml.SingleQuotedStyle != 0 {
			sign = '\''
		}
		for i := at + 1; i < len(t.data); i++ {
			switch {
			case t.data[i] == '\n':
				return 0, several
			case t.data[i] == '\\' && sign == '"':
				i++
			case t.data[i] == sign && sign == '\'' && i+1 < len(t.data) && t.data[i+1] == sign:
				i++
			case t.data[i] == sign:
				return i + 1, nil
			}
		}
		return 0, several
	case !bytes.HasPrefix(t.data[min(at, len(t.data)):], []byte(n.Value)):
		return 0, several
	}
	return at + len(n.Value), nil
}

// closing is the byte behind the bracket that closes a list or mapping.
func (t *text) closing(n *yaml.Node, at int) (int, error) {
	sign := byte(']')
	if n.Kind == yaml.MappingNode {
		sign = '}'
	}
	for ; at < len(t.data); at++ {
		switch t.data[at] {
		case sign:
			return at + 1, nil
		case '#':
			at = t.lineEnd(at) - 1
		case ' ', '\t', '\r', '\n', ',', ':':
		default:
			return 0, t.refuse(n, "this list or mapping is written in a way that cannot be changed here"+byHand)
		}
	}
	return 0, t.refuse(n, "this list or mapping is not closed")
}

// colon is the byte behind the colon of a key.
func (t *text) colon(key *yaml.Node) (int, error) {
	at, err := t.end(key)
	if err != nil {
		return 0, err
	}
	for at < len(t.data) && t.data[at] == ' ' {
		at++
	}
	if at == len(t.data) || t.data[at] != ':' {
		return 0, t.refuse(key, "the colon of this key stands elsewhere"+byHand)
	}
	return at + 1, nil
}

// lineStart is the first byte of the line that holds a byte, lineEnd the byte behind it.
func (t *text) lineStart(at int) int {
	start := bytes.LastIndexByte(t.data[:at], '\n') + 1
	return max(start, t.lines[0])
}

func (t *text) lineEnd(at int) int {
	if i := bytes.IndexByte(t.data[at:], '\n'); i >= 0 {
		return at + i + 1
	}
	return len(t.data)
}

// before is what stands on a line before a byte.
func (t *text) before(at int) string { return string(t.data[t.lineStart(at):at]) }

// find follows a path as far as it leads: the holder of its last step, and of a mapping the
// place of the key in Content, −1 where there is none.
func (t *text) find(path []step) (*yaml.Node, error) {
	n := t.root
	for _, s := range path {
		next := (*yaml.Node)(nil)
		switch {
		case s.index >= 0 && n.Kind == yaml.SequenceNode && s.index < len(n.Content):
			next = n.Content[s.index]
		case s.index < 0 && n.Kind == yaml.MappingNode:
			if i := keyAt(n, s.key); i >= 0 {
				next = n.Content[i+1]
			}
		}
		if next == nil {
			return nil, t.refuse(n, "what was to be changed is not here")
		}
		n = next
	}
	return n, nil
}

// near is the place of a path, as far as it leads.
func (t *text) near(path []step) Place {
	for n := len(path); n >= 0; n-- {
		if x, err := t.find(path[:n]); err == nil {
			return Place{t.file, x.Line, x.Column}
		}
	}
	return Place{File: t.file}
}

// keyAt is the place of a key in the content of a mapping; −1 for none.
func keyAt(n *yaml.Node, key string) int {
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == key {
			return i
		}
	}
	return -1
}
