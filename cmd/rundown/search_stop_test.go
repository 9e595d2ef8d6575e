package main

import (
	"context"
	"encoding/json"
	"os"
	"strings"
	"testing"

	"rundown/cmd/internal/output"
)

// A search that is interrupted tells of what it has, on 200 fresh runs, and says that it was
// stopped; before it has anything it says that.
func TestSearchStopped(t *testing.T) {
	if testing.Short() {
		t.Skip("some seconds")
	}
	inFolder(t, map[string]string{"menu.yaml": strings.NewReplacer("years: 2", "years: 4", "at_most_in_a_row: 1", "at_most: 5", "at_most: 2",
		"at_most: 5").Replace(smallMenu)})
	stopped := func(at string) (code int, stdout, stderr string) {
		ctx, cancel := context.WithCancel(context.Background())
		defer cancel()
		if at == "" {
			cancel()
		}
		var out strings.Builder
		err := &stopping{at: at, stop: cancel}
		env := &environment{stdin: strings.NewReader(""), stdout: heeding{ctx, &out}, stderr: err, out: output.Look(&out, os.Getenv),
			err: output.Terminal{Columns: 80, Interactive: true}}
		code = env.explain(ctx, runSearch(ctx, env, strings.Fields("menu.yaml --json --season-runs 900000000")))
		return code, out.String(), err.String()
	}
	code, stdout, stderr := stopped(" of 64 runs of the search") // the second doubling, under way
	var d map[string]any
	if err := json.Unmarshal([]byte(stdout), &d); code != exitDone || err != nil {
		t.Fatalf("exit %d, %s: %v", code, stderr, err)
	}
	if d["cut_short"] != true || d["replicates"] != 200.0 || !strings.Contains(stdout, "cut-short") || len(d["front"].([]any)) == 0 {
		t.Errorf("cut short %v, %v runs", d["cut_short"], d["replicates"])
	}
	if code, stdout, stderr = stopped(""); code != exitUnfinished || stdout != "" || !strings.Contains(stderr, "interrupted") {
		t.Errorf("stopped at once: exit %d, stdout %q, stderr %q", code, stdout, stderr)
	}
}
