package main

import (
	"crypto/sha256"
	"encoding/hex"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"rundown/params/sheet"
	"rundown/rotations"
)

// The region of the examples: its script makes the table that the page names, without a
// mistake in it, its summary is of all its fields, and a field of it runs.
func TestRegion(t *testing.T) {
	const fields = 1000
	folder, err := filepath.Abs("../../examples/region")
	if err != nil {
		t.Fatal(err)
	}
	rows := readCSV(t, filepath.Join(folder, "summary.csv"))
	var counted, earning, all float64
	for _, r := range rows[1:] {
		n := asNumber(t, r[2])
		if of := asNumber(t, r[4]) + asNumber(t, r[5]); of != n {
			t.Errorf("%s, %s: plans earn most on %v of %v fields", r[0], r[1], of, n)
		}
		if r[0] == "all" {
			all = n
			continue
		}
		counted, earning = counted+n, earning+1
	}
	if counted != fields || all != fields || earning < 10 {
		t.Errorf("the summary is of %v fields in %v rows, %v in all", counted, earning, all)
	}
	python, err := exec.LookPath("python3")
	if err != nil {
		t.Skip("no python3 to make the table")
	}
	table, err := exec.Command(python, filepath.Join(folder, "fields.py")).Output()
	if err != nil {
		t.Fatal(err)
	}
	page, err := os.ReadFile(filepath.Join(folder, "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	if sum := sha256.Sum256(table); !strings.Contains(string(page), hex.EncodeToString(sum[:])) {
		t.Errorf("the table has the sum %x, which the page does not name", sum)
	}
	var m sheet.Mistakes
	if read := rotations.ReadFields("fields.csv", table, &m); m.Len() > 0 || len(read) != fields {
		t.Fatalf("%d fields, %v", len(read), &m)
	}
	files := examplesFor(t, "late-wheat.yaml", "two-springs.yaml")
	files["fields.csv"] = string(table)
	inFolder(t, files)
	got := run(t, "farm", "fields.csv", "late-wheat.yaml", "two-springs.yaml", "--replicates", "4", "--field", "invented 0124", "--out", "out", "--quiet")
	if got.code != exitDone || len(readCSV(t, "out/farm.csv")) != 3 {
		t.Errorf("exit %d, %s", got.code, got.stderr)
	}
}
