package sheet

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"
)

// MaxBytes is the largest YAML file that is read.
const MaxBytes = 1 << 20

// Parse reads one YAML document. It returns nil, with a mistake noted, when
// there is nothing to go on: a syntax error (reported alone, with its line), an
// empty file, a second document, a file over 1 MiB, anchors, aliases, merge
// keys or tags. A key given twice is noted and the first kept.
func Parse(file string, data []byte, m *Mistakes) *Node {
	if len(data) > MaxBytes {
		m.Add(Place{File: file}, "the file is larger than 1 MiB; is it the right file?")
		return nil
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if p, what := unreadable(file, data); what != "" {
		m.Add(p, "%s", what)
		return nil
	}
	doc, second, err := decode(data)
	if err != nil {
		line, text := syntax(data, err)
		m.Add(Place{File: file, Line: line}, "%s", text)
		return nil
	}
	if doc == nil || len(doc.Content) == 0 || empty(doc.Content[0]) {
		m.Add(Place{File: file, Line: 1}, "the file is empty: it holds nothing but comments or blank lines")
		return nil
	}
	if second != nil {
		m.Add(Place{file, second.Line, second.Column}, "a second document begins here; keep one per file and take out the line ---")
		return nil
	}
	b := &builder{file: file, m: m}
	n := b.node(doc.Content[0], 0)
	if b.bad {
		return nil
	}
	return n
}

func empty(y *yaml.Node) bool {
	return y.Kind == yaml.ScalarNode && y.Value == "" && y.Style == 0
}

// decode reads a document and looks for a second one. The YAML reader can
// panic on broken input; that becomes an error.
func decode(data []byte) (doc, second *yaml.Node, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("cannot be read (%v)", r)
		}
	}()
	d := yaml.NewDecoder(bytes.NewReader(data))
	doc = new(yaml.Node)
	if err := d.Decode(doc); err != nil {
		if errors.Is(err, io.EOF) {
			return nil, nil, nil
		}
		return nil, nil, err
	}
	second = new(yaml.Node)
	switch err := d.Decode(second); {
	case errors.Is(err, io.EOF):
		return doc, nil, nil
	case err != nil:
		return nil, nil, err
	}
	return doc, second, nil
}

// unreadable finds what no plan may hold: bytes that are not UTF-8, control
// characters, and tabs where YAML counts spaces.
func unreadable(file string, data []byte) (Place, string) {
	for i, line := range bytes.Split(data, []byte("\n")) {
		column, indent := 0, true
		for at := 0; at < len(line); {
			r, size := utf8.DecodeRune(line[at:])
			at += size
			column++
			p := Place{file, i + 1, column}
			switch {
			case r == utf8.RuneError && size == 1:
				return p, "found a byte that is not UTF-8; save the file as UTF-8 text"
			case r == '\t' && indent && len(bytes.TrimSpace(line)) > 0:
				return p, "found a tab before the text; YAML wants spaces: use two for each step"
			case r < ' ' && r != '\t' && r != '\r', r >= 0x7f && r < 0xa0 && r != 0x85:
				return p, fmt.Sprintf("found the control character %U; a plan is plain text", r)
			}
			indent = indent && (r == ' ' || r == '\t')
		}
	}
	return Place{}, ""
}

var yamlLine = regexp.MustCompile(`^yaml: (?:line (\d+): )?(.*)$`)

// loneQuestion is text with a question mark before the end of a mapping or list in brackets, for which
// YAML takes it as a sign of its own.
var loneQuestion = regexp.MustCompile(`^[^"'#]*[{\[][^"'#]*\w\?\s*[,}\]]`)

// mostLines bounds the search for the line of a syntax error.
const mostLines = 400

// syntax says where a document stops being YAML, and why. The reader's own line
// is often that of the list or mapping that was open, or one too small, so the
// line is found as the first after the longest beginning that can be read.
func syntax(data []byte, err error) (line int, text string) {
	found := yamlLine.FindStringSubmatch(err.Error())
	what := err.Error()
	if found != nil {
		line, _ = strconv.Atoi(found[1])
		what = found[2]
	}
	lines := bytes.SplitAfter(data, []byte("\n"))
	if len(lines) <= mostLines {
		line = 1
		for n := len(lines) - 1; n > 0; n-- {
			if _, _, err := decode(bytes.Join(lines[:n], nil)); err == nil {
				line = n + 1
				break
			}
		}
	}
	line = max(line, 1)
	if line <= len(lines) && loneQuestion.Match(lines[line-1]) {
		return line, "cannot be read as YAML from here on: text that ends in a question mark must stand in quotation marks " +
			"inside { } or [ ]; R? of a seed test is written R-maybe"
	}
	return line, "cannot be read as YAML from here on: " + plainly(what)
}

// plainly puts the reader's commonest complaints into a user's words.
func plainly(what string) string {
	for _, s := range []struct{ has, say string }{
		{"mapping values are not allowed", `a second colon on one line; put the next key on its own line, or text that holds a colon in quotation marks`},
		{"did not find expected ',' or ']'", `a list opened with [ is not closed, or a comma is missing in it`},
		{"did not find expected ',' or '}'", `a mapping opened with { is not closed, or a comma is missing in it`},
		{"did not find expected key", `a line stands further in or out than the lines it belongs to, or a colon is missing`},
		{"did not find expected '-' indicator", `a line of a list does not begin with "- " where the others do`},
		{"could not find expected ':'", `a key without a colon after it`},
		{"unexpected end of stream", `a quotation mark is not closed`},
		{"cannot start any token", `text that begins with a sign YAML keeps for itself; put it in quotation marks`},
		{"exceeded max depth", `lists or mappings opened one in another without end; is it the right file?`},
		{"did not find expected node content", `a value is missing, or a list or mapping is not closed`},
		{"block sequence entries are not allowed", `a list begins on the same line as its key; begin it on the next line`},
	} {
		if strings.Contains(what, s.has) {
			return s.say
		}
	}
	return what
}
