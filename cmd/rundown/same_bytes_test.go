package main

import (
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rundown/sim/simtest"
)

// The same command writes the same files to the byte, pictures and page too,
// with any number of jobs, into any folder and from any other.
func TestSameCommandSameBytes(t *testing.T) {
	lines := allWriting[:2]
	if simtest.InStage("bytes") {
		lines = allWriting
	}
	writingFolder(t)
	for i, line := range lines {
		for folder, n := range map[string]string{"first": "1", "second": "2"} {
			args := strings.Fields(line)
			if args[0] != "counts" {
				args = append(args, "--jobs", n)
			}
			args = append(args, "--out", fmt.Sprint(folder, i))
			if got := run(t, args...); got.code != exitDone {
				t.Fatalf("%v: exit %d, %s", args, got.code, got.stderr)
			}
		}
		a, b := hashes(t, fmt.Sprint("first", i)), hashes(t, fmt.Sprint("second", i))
		if len(a) < 5 || !maps.Equal(a, b) {
			t.Errorf("%s: of %d files some differ between two runs", line, len(a))
		}
	}
	folder, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	here := filepath.Base(folder)
	away := strings.NewReplacer("plan.yaml", "./plan.yaml", "later.yaml", "../"+here+"/later.yaml", "counts.csv", "../"+here+"/counts.csv", "past.json",
		"./past.json")
	for i, line := range lines {
		args := append(strings.Fields(away.Replace(line)), "--out", fmt.Sprint("away", i))
		if got := run(t, args...); got.code != exitDone {
			t.Fatalf("%v: exit %d, %s", args, got.code, got.stderr)
		}
		if !maps.Equal(hashes(t, fmt.Sprint("first", i)), hashes(t, fmt.Sprint("away", i))) {
			t.Errorf("%v: files differ by the way that the inputs are named", args)
		}
	}
}
