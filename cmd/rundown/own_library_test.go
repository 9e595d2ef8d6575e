package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// ownLibrary is a user's library of one value, and one with a misspelt key.
var ownLibrary = map[string]string{
	"plan.yaml":                   smallPlan,
	"own.yaml":                    "library: own\n" + smallPlan,
	"own/weeds/black-grass.yaml":  "name: black-grass\nvalues:\n  seeds_per_head: {value: 80, spread: fixed, grade: assumed, source: my own count}\n",
	"poor/weeds/black-grass.yaml": "name: black-grass\nvalues:\n  seeds_per_hed: {value: 80, spread: fixed, grade: assumed, source: my own count}\n",
	"bare/weeds/black-grass.yaml": "name: black-grass\nvalues:\n  seeds_per_head: {value: 80, grade: assumed, source: my own count}\n",
}

func inOwnFolder(t *testing.T) {
	t.Helper()
	inFolder(t, nil)
	for name, text := range ownLibrary {
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// --library lays a user's library over the program's in every command that
// takes it; its mistakes have places, and one library at a time is enough.
func TestOwnLibrary(t *testing.T) {
	inOwnFolder(t)
	for _, c := range []struct {
		args string
		code int
		want string // on standard output, or on standard error when the code is not 0
	}{
		{"library weeds black-grass --library own --json", 0, `"from": "own/weeds/black-grass.yaml:3"`},
		{"check plan.yaml --full --library own", 0, "my own count; from own/weeds/black-grass.yaml:3"},
		{"check own.yaml --full", 0, "my own count; from own/weeds/black-grass.yaml:3"},
		{"library --library poor", exitInput, `poor/weeds/black-grass.yaml:3:3: values has no key "seeds_per_hed"; did you mean "seeds_per_head"?`},
		{"check plan.yaml --library bare", exitInput, "bare/weeds/black-grass.yaml:3:19: seeds_per_head has a spread in the library and none here; write " +
			"spread: fixed"},
		{"drivers plan.yaml --library own --sweep weeds/black-grass/seeds_per_head=60:90:10", exitUsage,
			"once for each run: the library holds it fixed; a library of your own can give it a spread"},
		{"drivers plan.yaml --sweep weeds/sterile-brome/viability=0.5:0.9:0.1", exitUsage, "once for each run: nothing in this plan uses it"},
		{"check plan.yaml --library poor", exitInput, "poor/weeds/black-grass.yaml:3:3"},
		{"forecast plan.yaml --library poor", exitInput, "poor/weeds/black-grass.yaml:3:3"},
		{"compare plan.yaml plan.yaml --library poor", exitInput, "poor/weeds/black-grass.yaml:3:3"},
		{"drilling plan.yaml --library poor", exitInput, "poor/weeds/black-grass.yaml:3:3"},
		{"drivers plan.yaml --library poor", exitInput, "poor/weeds/black-grass.yaml:3:3"},
		{"compare plan.yaml plan.yaml --library own --json --replicates 4", 0, `"library_sha256"`},
		{"forecast own.yaml --library own", exitInput, "own.yaml:1:10: the plan has a library of its own"},
		{"forecast own.yaml --replicates 4 --json", 0, "what is known of it moves along: 20 for the program's 25"},
		{"drivers plan.yaml --library own --json --replicates 8", 0, "seeds_per_head 80 (for 100)"},
		{"check --schema --library own", exitUsage, "--schema stands alone"},
	} {
		got := run(t, strings.Fields(c.args)...)
		text := got.stdout
		if c.code != 0 {
			text = got.stderr
		}
		if got.code != c.code || !strings.Contains(text, c.want) {
			t.Errorf("rundown %s: exit %d, %q; want exit %d and %q", c.args, got.code, text, c.code, c.want)
		}
	}
}

// A forecast with another library gives another result, and says which library it was.
func TestForecastWithOwnLibrary(t *testing.T) {
	inOwnFolder(t)
	const args = "forecast plan.yaml --json --quiet --replicates 5"
	plain, own := run(t, strings.Fields(args)...), run(t, strings.Fields(args+" --library own")...)
	if plain.code != 0 || own.code != 0 || plain.stdout == own.stdout {
		t.Fatalf("exits %d and %d; the results are the same: %v", plain.code, own.code, plain.stdout == own.stdout)
	}
	sum := func(s string) string {
		_, after, _ := strings.Cut(s, `"library_sha256": "`)
		before, _, _ := strings.Cut(after, `"`)
		return before
	}
	if a, b := sum(plain.stdout), sum(own.stdout); len(a) != 64 || len(b) != 64 || a == b {
		t.Errorf("library sums %q and %q; expected two different ones", a, b)
	}
}

// A weed whose own values cannot return what its target says is told of; the
// program's own weeds need no such note.
func TestReturnNotMet(t *testing.T) {
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	shareRuns(t)
	lush := "name: black-grass\nvalues:\n  heads_per_plant: {value: 40, spread: fixed, grade: assumed, source: my own count}\n"
	held := lush + "  return_target: {value: 25, spread: fixed, grade: assumed, source: my own guess}\n"
	for dir, text := range map[string]string{"lush": lush, "held": held} {
		if err := os.MkdirAll(dir+"/weeds", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(dir+"/weeds/black-grass.yaml", []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	// Without a target of its own the target moves with the heads, and is met.
	for args, told := range map[string]bool{"": false, " --library lush": false, " --library held": true} {
		got := run(t, strings.Fields("forecast plan.yaml --replicates 100 --json"+args)...)
		if got.code != 0 || strings.Contains(got.stdout, "return-not-met") != told {
			t.Errorf("forecast%s: exit %d, %s; the note is due: %v", args, got.code, got.stderr, told)
		}
	}
}
