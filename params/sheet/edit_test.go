package sheet

import (
	"bytes"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const edited = `# a plan
field:
  name: Kiln Close    # any name
  soil: clay

seasons:              # each ends at harvest
  - crop: spring-oats
    cultivate: [{date: 25 Aug, with: disc}, {date: 1 Sep, with: plough}]  # two passes
    drill: {date: 20 Mar, latest: 25 Apr}
  # the bean year
  - crop: beans
    herbicides:       # by the label
      - {programme: residual, days_after_drilling: 2}
      - {programme: contact, date: 15 Mar}
    drill:
      date: "8 Mar"
repeat: 2
`

// What an edit gives, line by line: only the lines shown may differ.
func TestEditsChangeTheLinesTheyName(t *testing.T) {
	for _, c := range []struct {
		name     string
		e        Edit
		was, now string // the piece of the text that changes
	}{
		{"a date in a mapping on one line", Edit{Path: "seasons[0].drill.date", To: "18 Oct"}, "{date: 20 Mar, latest", "{date: 18 Oct, latest"},
		{"a word with a comment behind it", Edit{Path: "field.name", To: "Far Piece"}, "Kiln Close    # any", "Far Piece    # any"},
		{"text in quotation marks", Edit{Path: "seasons[1].drill.date", To: "9 Mar"}, `"8 Mar"`, "9 Mar"},
		{"a new key of a mapping on one line", Edit{Path: "seasons[0].drill.with", To: "disc-drill"}, "25 Apr}", "25 Apr, with: disc-drill}"},
		{"a new key in its order", Edit{Path: "seasons[1].cover", To: "{mix: mustard}", Order: []string{"crop", "cover", "herbicides"}}, "crop: beans\n",
			"crop: beans\n    cover: {mix: mustard}\n"},
		{"a new key of the plan", Edit{Path: "about", To: "a try"}, "repeat: 2\n", "repeat: 2\nabout: a try\n"},
		{"a key on a line goes", Edit{Do: Remove, Path: "seasons[0].drill"}, "    drill: {date: 20 Mar, latest: 25 Apr}\n", ""},
		{"a key within a line goes", Edit{Do: Remove, Path: "seasons[0].drill.latest"}, ", latest: 25 Apr", ""},
		{"a list of lines becomes none", Edit{Path: "seasons[1].herbicides", To: "[]"},
			"herbicides:       # by the label\n      - {programme: residual, days_after_drilling: 2}\n      - {programme: contact, date: 15 Mar}\n",
			"herbicides: []       # by the label\n"},
		{"an item of a line goes", Edit{Do: Remove, Path: "seasons[0].cultivate[0]"}, "{date: 25 Aug, with: disc}, ", ""},
		{"the last item of a line goes", Edit{Do: Remove, Path: "seasons[0].cultivate[1]"}, ", {date: 1 Sep, with: plough}", ""},
		{"an item on a line goes", Edit{Do: Remove, Path: "seasons[1].herbicides[0]"}, "      - {programme: residual, days_after_drilling: 2}\n", ""},
		{"an item is added to a line", Edit{Do: Insert, Path: "seasons[0].cultivate", At: 2, To: "{date: 9 Sep, with: rolls}"}, "plough}]",
			"plough}, {date: 9 Sep, with: rolls}]"},
		{"an item is added on a line", Edit{Do: Insert, Path: "seasons[1].herbicides", At: 1, To: "{programme: x, date: 1 Mar}"},
			"      - {programme: contact", "      - {programme: x, date: 1 Mar}\n      - {programme: contact"},
		{"a season is added", Edit{Do: Insert, Path: "seasons", At: 2, To: "crop: wheat\ndrill: {date: 1 Oct}"}, "repeat",
			"  - crop: wheat\n    drill: {date: 1 Oct}\nrepeat"},
		{"a season is added before one with a comment", Edit{Do: Insert, Path: "seasons", At: 1, To: "crop: wheat"}, "  # the bean", "  - crop: wheat\n  # the bean"},
		{"a season is copied", Edit{Do: Copy, Path: "seasons[0]"}, "  # the bean",
			"  - crop: spring-oats\n    cultivate: [{date: 25 Aug, with: disc}, {date: 1 Sep, with: plough}]  # two passes\n    drill: {date: 20 Mar, " +
				"latest: 25 Apr}\n  # the bean"},
		{"lines for a line", Edit{Do: Lines, Path: "repeat", To: "about: x # y\nrepeat: 3\n"}, "repeat: 2\n", "about: x # y\nrepeat: 3\n"},
		{"items of a line change places", Edit{Do: Move, Path: "seasons[0].cultivate[1]", At: 0},
			"[{date: 25 Aug, with: disc}, {date: 1 Sep, with: plough}]", "[{date: 1 Sep, with: plough}, {date: 25 Aug, with: disc}]"},
	} {
		if strings.Count(edited, c.was) != 1 {
			t.Fatalf("%s: the piece is not in the text once", c.name)
		}
		want := strings.Replace(edited, c.was, c.now, 1)
		out, s, err := Change("plan.yaml", []byte(edited), c.e)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if string(out) != want {
			t.Errorf("%s: got\n%s\nwant\n%s", c.name, out, want)
		}
		undone(t, c.name, []byte(edited), out, s)
	}
}

func undone(t *testing.T, name string, was, is []byte, s Splice) {
	t.Helper()
	again, err := s.Apply(was)
	if err != nil || !bytes.Equal(again, is) {
		t.Errorf("%s: the splice does not make the edit: %v", name, err)
	}
	back, err := s.Undone().Apply(is)
	if err != nil || !bytes.Equal(back, was) {
		t.Errorf("%s: undone, the text is not the old one: %v", name, err)
	}
}

func TestSeasonsChangePlacesWithTheirComments(t *testing.T) {
	out, s, err := Change("plan.yaml", []byte(edited), Edit{Do: Move, Path: "seasons[1]", At: 0})
	if err != nil {
		t.Fatal(err)
	}
	bean, oats := strings.Index(string(out), "  # the bean year\n  - crop: beans"), strings.Index(string(out), "  - crop: spring-oats")
	if bean < 0 || oats < bean || !strings.HasSuffix(string(out), "repeat: 2\n") || len(out) != len(edited) {
		t.Errorf("got\n%s", out)
	}
	undone(t, "move", []byte(edited), out, s)
}

func TestAListIsWrittenOut(t *testing.T) {
	out, s, err := Change("plan.yaml", []byte(edited), Edit{Do: Repeat, Path: "seasons", At: 2})
	if err != nil {
		t.Fatal(err)
	}
	if strings.Count(string(out), "# the bean year") != 2 || strings.Count(string(out), "- crop: spring-oats") != 2 ||
		!strings.HasSuffix(string(out), "repeat: 2\n") {
		t.Errorf("got\n%s", out)
	}
	undone(t, "repeat", []byte(edited), out, s)
}

// What cannot be spliced is refused with its place, and what would be read otherwise too.
func TestEditsThatAreRefused(t *testing.T) {
	for _, c := range []struct {
		name, text string
		e          Edit
		want       string
	}{
		{"several lines", "a:\n  b: |\n    one\n    two\n", Edit{Path: "a.b", To: "x"}, "several lines"},
		{"a broken text", "a: [", Edit{Path: "a", To: "x"}, "cannot be read"},
		{"nothing there", "a: {b: 1}\n", Edit{Path: "c.d", To: "x"}, `no "c"`},
		{"nothing left", "a:\n  b: 1\n", Edit{Do: Remove, Path: "a.b"}, "nothing would be left"},
		{"the first key of an entry", "a:\n  - b: 1\n    c: 2\n", Edit{Do: Remove, Path: "a[0].b"}, "shares its line"},
		{"a value that says more", "a: {b: 1}\n", Edit{Path: "a.b", To: "2, c: 3"}, "rewriting"},
		{"a value of several lines", "a: 1\n", Edit{Path: "a", To: "2\nb: 3"}, "several lines"},
		{"no such entry", "a: [1]\n", Edit{Do: Remove, Path: "a[3]"}, "no entry 4"},
	} {
		out, _, err := Change("plan.yaml", []byte(c.text), c.e)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got %q, %v; want a refusal with %q", c.name, out, err, c.want)
		}
	}
}

func TestWrittenTextIsReadBack(t *testing.T) {
	for _, s := range []string{"Far Piece", "no", "12", "a: b", "# x", `say "so"`, "2026-08-01", "- x", "tab\there", "ä–ö", "", " x", "~", "null",
		"{{.}}", "[1]", "it's"} {
		n := Parse("x", []byte("a: "+Written(s)+"\n"), new(Mistakes))
		if n == nil || n.Values[0].Text != s || n.Values[0].Null {
			t.Errorf("%q written as %s is read back otherwise", s, Written(s))
		}
	}
}

// shippedPlans are every plan and rotation that is shipped.
func shippedPlans(t testing.TB) map[string][]byte {
	t.Helper()
	out := map[string][]byte{}
	for _, pattern := range []string{"../../rotations/*.yaml", "../../examples/*.yaml", "../../testdata/plans/*.yaml"} {
		files, err := filepath.Glob(pattern)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			data, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			out[f] = data
		}
	}
	if len(out) < 15 {
		t.Fatalf("only %d plans were found", len(out))
	}
	return out
}

// paths are all pieces of a file.
func paths(n *Node, at string, visit func(path string, n *Node)) {
	for i, k := range n.Keys {
		name := k.Text
		if strings.ContainsAny(name, ".[") {
			name = `"` + name + `"`
		}
		p := join(at, name)
		visit(p, n.Values[i])
		paths(n.Values[i], p, visit)
	}
	for i, x := range n.Items {
		p := at + "[" + string(rune('0'+i)) + "]"
		if i > 9 {
			return
		}
		visit(p, x)
		paths(x, p, visit)
	}
}

// Every value of every shipped plan can be changed in place: no other line changes, and
// undone the bytes are the old ones. Windows line ends and a missing last one too.
func TestEveryValueOfEveryShippedPlan(t *testing.T) {
	scalars, refused := 0, 0
	for file, data := range shippedPlans(t) {
		for _, form := range [][]byte{data, bytes.ReplaceAll(data, []byte("\n"), []byte("\r\n")), bytes.TrimRight(data, "\n")} {
			root := Parse(file, form, new(Mistakes))
			if root == nil {
				continue // a plan with mistakes on purpose
			}
			paths(root, "", func(path string, n *Node) {
				if n.Shape != Scalar || n.Null {
					return
				}
				scalars++
				out, s, err := Change(file, form, Edit{Path: path, To: "7654"})
				if err != nil {
					refused++
					t.Logf("%v", err)
					return
				}
				undone(t, file+" "+path, form, out, s)
				oneLine(t, file+" "+path, form, out, n.Place.Line)
			})
		}
	}
	if scalars < 1200 || refused > scalars/100 {
		t.Errorf("%d of %d values cannot be changed in place", refused, scalars)
	}
}

func oneLine(t *testing.T, name string, was, is []byte, line int) {
	t.Helper()
	a, b := bytes.Split(was, []byte("\n")), bytes.Split(is, []byte("\n"))
	if len(a) != len(b) {
		t.Errorf("%s: %d lines became %d", name, len(a), len(b))
		return
	}
	for i := range a {
		if i != line-1 && !bytes.Equal(a[i], b[i]) {
			t.Errorf("%s: line %d changed, which was not named", name, i+1)
		}
	}
}

// Random edits, one after the other, each either refused or undone to the old bytes.
func TestRandomEdits(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 22))
	made := 0
	for file, data := range shippedPlans(t) {
		for range 60 {
			data, made = randomEdit(t, r, file, data, made)
		}
	}
	if made < 300 {
		t.Errorf("only %d edits could be made", made)
	}
}

func randomEdit(t *testing.T, r *rand.Rand, file string, data []byte, made int) ([]byte, int) {
	t.Helper()
	root := Parse(file, data, new(Mistakes))
	if root == nil || len(data) > 1<<15 {
		return data, made
	}
	type piece struct {
		path string
		n    *Node
	}
	var all []piece
	paths(root, "", func(path string, n *Node) { all = append(all, piece{path, n}) })
	if len(all) == 0 {
		return data, made
	}
	p := all[r.IntN(len(all))]
	e := Edit{Do: Do(r.IntN(7)), Path: p.path, At: r.IntN(3), To: []string{"12 Oct", "{a: 1, b: [2]}", "x", "[]", `"2"`}[r.IntN(5)]}
	out, s, err := Change(file, data, e)
	if err != nil {
		return data, made
	}
	undone(t, file, data, out, s)
	return out, made + 1
}

func FuzzChange(f *testing.F) {
	f.Add([]byte(edited), uint8(0), "seasons[0].drill.date", "18 Oct", 0)
	f.Add([]byte("a: [1, 2]\r\nb: {c: 'x'}"), uint8(1), "a[0]", "", 0)
	f.Add([]byte("\ufeffa:\n- b\n- c\n"), uint8(4), "a[1]", "", 0)
	f.Fuzz(func(t *testing.T, data []byte, do uint8, path, to string, at int) {
		out, s, err := Change("plan.yaml", data, Edit{Do: Do(do % 7), Path: path, To: to, At: at})
		if err == nil {
			undone(t, path, data, out, s)
		}
	})
}
