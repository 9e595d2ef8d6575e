package main

import (
	"regexp"
	"strings"
	"testing"

	"rundown/params/sheet"
)

// A plan with mistakes: one line for each as FILE:LINE:COLUMN: TEXT, exit code
// 3, nothing on standard output, nothing written.
func TestMistakesInAPlan(t *testing.T) {
	bad := strings.NewReplacer("area_ha", "area_acres", "winter-wheat", "winter-weat").Replace(smallPlan)
	for _, args := range [][]string{{"check", "bad.yaml"}, {"check", "bad.yaml", "--full"},
		{"forecast", "bad.yaml", "--out", "out"}, {"forecast", "bad.yaml", "--json"}} {
		inFolder(t, map[string]string{"bad.yaml": bad})
		got := run(t, args...)
		if got.code != exitInput || got.stdout != "" {
			t.Errorf("%v: exit %d, stdout %q; want exit 3 and nothing", args, got.code, got.stdout)
		}
		lines := strings.Split(strings.TrimSuffix(got.stderr, "\n"), "\n")
		if len(lines) != 2 || !strings.HasPrefix(lines[0], "bad.yaml:1:26: ") || !strings.HasPrefix(lines[1], "bad.yaml:4:11: ") {
			t.Errorf("%v: stderr %q; want area_acres at 1:26 and winter-weat at 4:11", args, got.stderr)
		}
		if names := listing(t, "."); len(names) != 1 {
			t.Errorf("%v: left %v", args, names)
		}
	}
}

func TestPlanThatCannotBeRead(t *testing.T) {
	inFolder(t, map[string]string{"empty.yaml": "", "broken.yaml": "field: [\n", "big.yaml": strings.Repeat("# x\n", 300_000)})
	line := regexp.MustCompile(`^[a-z-]+\.yaml(:\d+)*: \S`)
	for _, c := range []struct{ name, want string }{
		{"absent.yaml", "there is no such file"},
		{".", "cannot be read"},
		{"empty.yaml", "empty.yaml"},
		{"broken.yaml", "broken.yaml:"},
		{"big.yaml", "big.yaml: "},
	} {
		got := run(t, "check", c.name)
		if got.code != exitInput || got.stdout != "" || !strings.Contains(got.stderr, c.want) {
			t.Errorf("%s: exit %d, stdout %q, stderr %q; want exit 3 and %q", c.name, got.code, got.stdout, got.stderr, c.want)
		}
		if c.name != "." && c.name != "absent.yaml" && !line.MatchString(got.stderr) {
			t.Errorf("%s: %q does not begin with its place", c.name, got.stderr)
		}
	}
}

func TestPlanFromStandardInput(t *testing.T) {
	inFolder(t, nil)
	got := runWith(t, t.Context(), smallPlan, "check", "-")
	if got.code != exitDone || !strings.Contains(got.stdout, "Far Piece") {
		t.Errorf("exit %d, stdout %q, stderr %q", got.code, got.stdout, got.stderr)
	}
	got = runWith(t, t.Context(), "field: 3\n", "check", "-")
	if got.code != exitInput || !strings.HasPrefix(got.stderr, "standard-input:1:") {
		t.Errorf("exit %d, stderr %q; want exit 3 and standard-input:1:…", got.code, got.stderr)
	}
}

func TestSnippet(t *testing.T) {
	source := []byte("field:\n  name: Größe m²\n\tx: {date: 31 Feb, y: 1}\n\nend\x1b[31m: 2\n")
	for _, c := range []struct {
		why          string
		line, column int
		want         string
	}{
		{"a key", 1, 1, "    1 | field:\n      | ^~~~~\n"},
		{"a value with letters of two bytes", 2, 9, "    2 |   name: Größe m²\n      |         ^~~~~~~~\n"},
		{"a date, after a tab", 3, 12, "    3 |  x: {date: 31 Feb, y: 1}\n      |            ^~~~~~\n"},
		{"line only", 1, 0, "    1 | field:\n"},
		{"an empty line shows nothing", 4, 1, ""},
		{"control characters do not reach the terminal", 5, 1, "    5 | end [31m: 2\n      | ^~~~~~~~\n"},
		{"column past the end", 1, 99, "    1 | field:\n      |       ^\n"},
		{"line past the end", 99, 1, ""},
		{"no place", 0, 0, ""},
	} {
		if got := snippet(source, sheet.Place{File: "f", Line: c.line, Column: c.column}); got != c.want {
			t.Errorf("%s: got\n%swant\n%s", c.why, got, c.want)
		}
	}
}
