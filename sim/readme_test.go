package sim_test

import (
	"os"
	"strings"
	"testing"

	"rundown/sim/simtest"
)

// readmeBlock compares a table with the one that README.md shows between the
// comments <!-- name --> and <!-- /name -->; -update rewrites it there.
func readmeBlock(t *testing.T, name, want string) {
	t.Helper()
	data, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	text := string(data)
	open, end := "<!-- "+name+" -->\n", "<!-- /"+name+" -->"
	before, rest, ok := strings.Cut(text, open)
	was, after, ok2 := strings.Cut(rest, end)
	if !ok || !ok2 {
		t.Fatalf("README.md has no block between %q and %q", strings.TrimSpace(open), end)
	}
	if was == want {
		return
	}
	if !simtest.Updating(simtest.Documents) {
		simtest.Got(t, "README.md", []byte(before+open+want+end+after))
		a, b := strings.Split(was, "\n"), strings.Split(want, "\n")
		for i := range max(len(a), len(b)) {
			switch {
			case i >= len(a) || i >= len(b):
				t.Errorf("README.md, block %s: %d lines, this version gives %d", name, len(a), len(b))
			case a[i] != b[i]:
				t.Errorf("README.md, block %s, no longer shows what this version gives (rewrite it with -update):\nREADME: %s\nnow:    %s", name, a[i], b[i])
			}
		}
		return
	}
	if err := os.WriteFile("README.md", []byte(before+open+want+end+after), 0o644); err != nil {
		t.Fatal(err)
	}
}
