// Package testfile reads the files that tests hold results against. Nothing but tests
// imports it.
package testfile

import (
	"encoding/csv"
	"os"
	"testing"
)

// Rows are all rows of a CSV file, its heading first. A file that cannot be read, or has
// rows of other lengths, ends the test.
func Rows(t testing.TB, file string) [][]string {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", file, err)
	}
	if len(rows) == 0 {
		t.Fatalf("%s is empty", file)
	}
	return rows
}
