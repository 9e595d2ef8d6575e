package main

import (
	"maps"
	"strings"
	"testing"
)

// The same command writes the same files to the byte, pictures and page too,
// with any number of jobs and into any folder.
func TestSameCommandSameBytes(t *testing.T) {
	updateFolder(t)
	for _, line := range []string{"forecast plan.yaml --replicates 30", "compare plan.yaml later.yaml --replicates 30", "update plan.yaml counts.csv --replicates 20", "counts counts.csv"} {
		args := strings.Fields(line)
		jobs := func(n string) []string {
			if args[0] == "counts" {
				return nil
			}
			return []string{"--jobs", n}
		}
		for folder, n := range map[string]string{"first": "1", "second": "2"} {
			all := append(append(args[:len(args):len(args)], jobs(n)...), "--out", args[0]+"-"+folder)
			if got := run(t, all...); got.code != exitDone {
				t.Fatalf("%v: exit %d, %s", all, got.code, got.stderr)
			}
		}
		a, b := hashes(t, args[0]+"-first"), hashes(t, args[0]+"-second")
		if len(a) < 5 || !maps.Equal(a, b) {
			t.Errorf("%s: of %d files some differ between two runs", line, len(a))
		}
	}
}
