package sheet

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestParseRefuses(t *testing.T) {
	for _, c := range []struct{ why, text, want string }{
		{"empty", "", "f:1: the file is empty: it holds nothing but comments or blank lines"},
		{"only a comment", "# later\n", "f:1: the file is empty: it holds nothing but comments or blank lines"},
		{"a second document", "a: 1\n---\nb: 2\n", "f:2:1: a second document begins here; keep one per file and take out the line ---"},
		{"an anchor", "a: &x 1\n", "f:1:4: found the anchor &x; anchors are not read here: write each value out"},
		{"an alias", "a: &x 1\nb: *x\n", "f:1:4: found the anchor &x; anchors are not read here: write each value out\nf:2:4: found the alias *x; " +
			"aliases are not read here: write the value out"},
		{"a merge key", "a: {<<: {b: 1}}\n", "f:1:5: found the merge key <<; merge keys are not read here: write the keys out"},
		{"a tag", "a: !!str 1\n", "f:1:4: found the tag !!str; tags are not read here: write the value alone"},
		{"a list never closed: the line where it opens", "a: 1\nb: [1, 2\nc: 3\n",
			"f:2: cannot be read as YAML from here on: a list opened with [ is not closed, or a comma is missing in it"},
		{"a line too far in", "a: 1\nb: 2\n  c: 3\n", "f:3: cannot be read as YAML from here on: a second colon on one line; put the next key on its own " +
			"line, or text that holds a colon in quotation marks"},
		{"a line between two steps", "a:\n    b: 2\n  c: 3\nd: 4\n",
			"f:3: cannot be read as YAML from here on: a line stands further in or out than the lines it belongs to, or a colon is missing"},
		{"a quotation mark never closed", "a: 1\nb: \"x\nc: 3\n", "f:2: cannot be read as YAML from here on: a quotation mark is not closed"},
		{"tabs", "a:\n\tb: 1\n", "f:2:1: found a tab before the text; YAML wants spaces: use two for each step"},
		{"not UTF-8", "a: caf\xe9\n", "f:1:7: found a byte that is not UTF-8; save the file as UTF-8 text"},
		{"a control character", "a: \x00\n", "f:1:4: found the control character U+0000; a plan is plain text"},
		{"a key that is a list", "[1, 2]: 3\n", "f:1:1: found a list as a key; expected a word"},
		{"an empty key", "~: 3\n", "f:1:1: found an empty key; expected a word before the colon"},
		{"nested beyond what YAML is read to", strings.Repeat("[", 20_000),
			"f:1: cannot be read as YAML from here on: lists or mappings opened one in another without end; is it the right file?"},
		{"nested without end", strings.Repeat("[", 40) + strings.Repeat("]", 40), "f:1:22: nested more than 20 deep; a plan needs no more than six"},
	} {
		var m Mistakes
		n := Parse("f", []byte(c.text), &m)
		if n != nil || m.Error() != c.want {
			t.Errorf("%s: node %v\n got %s\nwant %s", c.why, n != nil, m.Error(), c.want)
		}
	}
}

func TestParseSize(t *testing.T) {
	var m Mistakes
	if Parse("f", append([]byte("a: 1\n#"), bytes.Repeat([]byte("x"), MaxBytes)...), &m) != nil || m.Len() != 1 {
		t.Errorf("a file over 1 MiB was read: %v", m.Error())
	}
	m = Mistakes{}
	if Parse("f", append([]byte("a: 1\n#"), bytes.Repeat([]byte("x"), MaxBytes-6)...), &m) == nil {
		t.Errorf("a file of 1 MiB was refused: %v", m.Error())
	}
}

// A mapping of very many keys is read in a time that grows with their number, not
// its square: squared, this takes half a minute.
func TestVeryManyKeys(t *testing.T) {
	const n = 70_000
	var text strings.Builder
	for i := range n {
		fmt.Fprintf(&text, "k%d: 1\n", i)
	}
	var m Mistakes
	Read(Parse("f", []byte(text.String()), &m), farm(), &m)
	if m.Len() < n {
		t.Errorf("of %d unknown keys %d are told", n, m.Len())
	}
}

func TestNearest(t *testing.T) {
	names := []string{"black-grass", "wild-oat", "plough", "rolls"}
	for _, c := range []struct{ word, want, why string }{
		{"blackgrass", "black-grass", "a letter left out"},
		{"plougj", "plough", "a letter wrong"},
		{"polugh", "plough", "neighbours exchanged count one"},
		{"Wild-Oat", "wild-oat", "capitals do not count"},
		{"wheat", "", "unlike any"},
		{"r", "", "too short to guess from"},
	} {
		if got := Nearest(c.word, names); got != c.want {
			t.Errorf("%s: %q gives %q, want %q", c.why, c.word, got, c.want)
		}
	}
}

// FuzzParse: no input may stop the reader, and whatever it refuses has a place
// and a reason.
func FuzzParse(f *testing.F) {
	f.Add("field: {name: no, area_ha: 12.5, soil: clay}\nstart: 2026-08-01\nsprays: [10 Oct, {date: 2 Jan}]\n")
	f.Add("a: &x [1]\nb: *x\n<<: {c: 1}\n--- \n...\n")
	f.Add("heads: {low: 1, high: 2}\nprices: {2: 3, \"2\": 4}\n? [a]\n: b\n")
	f.Add("a: |\n  text\nb: >-\n  more\nc: 'x''y'\nd: \"\\u00e9\"\n")
	var files []string
	for _, pattern := range []string{"../../testdata/plans/err/*.yaml", "../../testdata/plans/ok/*.yaml", "../../examples/*.yaml"} {
		some, err := filepath.Glob(pattern)
		if err != nil || len(some) == 0 {
			f.Fatalf("no plans like %s: %v", pattern, err)
		}
		files = append(files, some...)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(string(data))
	}
	f.Fuzz(func(t *testing.T, text string) {
		var m Mistakes
		n := Parse("f", []byte(text), &m)
		if n == nil && m.Len() == 0 {
			t.Fatal("nothing was read and nothing said")
		}
		Read(n, farm(), &m)
		for _, x := range m.Sorted() {
			if x.Place.File != "f" || x.Text == "" || strings.Contains(x.Text, "\n") {
				t.Fatalf("a mistake without place, without reason or of several lines: %q", x)
			}
		}
	})
}
