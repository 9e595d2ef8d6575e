package main

import (
	"context"
	"encoding/json"
	"os"
	"strings"
	"testing"
	"time"

	"rundown/cmd/internal/output"
)

// A search that is interrupted tells of what it has, on 200 fresh runs, and says that it was
// stopped; before it has anything it says that.
func TestSearchStopped(t *testing.T) {
	if testing.Short() {
		t.Skip("a minute on a loaded machine")
	}
	inFolder(t, map[string]string{"menu.yaml": strings.NewReplacer("years: 2", "years: 5", "at_most_in_a_row: 1", "at_most: 5", "at_most: 2",
		"at_most: 5").Replace(smallMenu)})
	stopped := func(after time.Duration) (code int, stdout, stderr string) {
		ctx, cancel := context.WithTimeout(context.Background(), after)
		defer cancel()
		var out, err strings.Builder
		env := &environment{stdin: strings.NewReader(""), stdout: heeding{ctx, &out}, stderr: &err, out: output.Look(&out, os.Getenv),
			err: output.Look(&err, os.Getenv)}
		code = env.explain(ctx, runSearch(ctx, env, strings.Fields("menu.yaml --json --quiet --season-runs 900000000")))
		return code, out.String(), err.String()
	}
	for after := time.Second; ; after *= 2 { // a loaded machine needs longer for a first run of all
		code, stdout, stderr := stopped(after)
		if code == exitUnfinished && after < time.Minute {
			continue
		}
		var d map[string]any
		if err := json.Unmarshal([]byte(stdout), &d); code != exitDone || err != nil {
			t.Fatalf("exit %d, %s: %v", code, stderr, err)
		}
		if d["cut_short"] != true || d["replicates"] != 200.0 || !strings.Contains(stdout, "cut-short") || len(d["front"].([]any)) == 0 {
			t.Errorf("stopped after %v: cut short %v, %v runs", after, d["cut_short"], d["replicates"])
		}
		break
	}
	code, stdout, stderr := stopped(time.Microsecond)
	if code != exitUnfinished || stdout != "" || !strings.Contains(stderr, "interrupted") {
		t.Errorf("stopped at once: exit %d, stdout %q, stderr %q", code, stdout, stderr)
	}
}
