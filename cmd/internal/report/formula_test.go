package report

import (
	"strings"
	"testing"
)

// No cell of a CSV file is a formula to a spreadsheet; numbers stay numbers.
func TestNoFormulaInCSV(t *testing.T) {
	var b strings.Builder
	out := NewCSV(&b)
	row := []string{"=1+1", "+x", "-cmd", "@a", "-5", "+5.5", "-1e-9", "a=b", ""}
	if err := out.Write(row); err != nil {
		t.Fatal(err)
	}
	out.Flush()
	if got, want := b.String(), "'=1+1,'+x,'-cmd,'@a,-5,+5.5,-1e-9,a=b,\n"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if row[0] != "=1+1" {
		t.Error("the caller's row was changed")
	}
}
