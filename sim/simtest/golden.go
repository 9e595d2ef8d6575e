package simtest

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
)

// Role is what a file is that a test keeps: -update rewrites documents and messages,
// -update=ROLE those of a role alone.
type Role string

// Roles.
const (
	Documents Role = "documents" // what people read: texts, pages, blocks of a README
	Messages  Role = "messages"  // what is said of mistakes
	Fixtures  Role = "fixtures"  // what other tests start from, or hold results against: never rewritten with the rest
)

// roles is the value of -update.
type roles []Role

func (r *roles) String() string   { return fmt.Sprint(*r) }
func (r *roles) IsBoolFlag() bool { return true } // so that -update may stand alone
func (r *roles) Set(s string) error {
	if s == "true" {
		*r = roles{Documents, Messages}
		return nil
	}
	for _, name := range strings.Split(s, ",") {
		role := Role(name)
		if !slices.Contains([]Role{Documents, Messages, Fixtures}, role) {
			return fmt.Errorf("expected documents, messages or fixtures, not %q", name)
		}
		*r = append(*r, role)
	}
	return nil
}

var updating roles

func init() {
	flag.Var(&updating, "update", "rewrite what tests keep: documents and messages, or with =ROLE those of a role: documents, messages, fixtures")
}

// Updating tells whether files of a role are to be rewritten.
func Updating(r Role) bool { return slices.Contains(updating, r) }

// Golden compares what a test got with the file that is kept. Where they differ the test
// fails, and FILE.got has what it got; where files of its role are rewritten, the file is.
func Golden(t testing.TB, role Role, file string, got []byte) {
	t.Helper()
	want, err := os.ReadFile(file)
	if err == nil && bytes.Equal(want, got) {
		return
	}
	if Updating(role) {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
		t.Logf("%s is rewritten", file)
		return
	}
	Got(t, file, got)
	t.Errorf("%s is not what this version gives (-update=%s rewrites it; %s.got has it):\n%s", file, role, file, FirstDifference(string(want), string(got)))
}

// Got keeps what a test got beside the file that it should have been, as FILE.got.
func Got(t testing.TB, file string, got []byte) {
	t.Helper()
	if err := os.WriteFile(file+".got", got, 0o644); err != nil {
		t.Fatal(err)
	}
}

// FirstDifference is the first line in which two texts differ, of both.
func FirstDifference(want, got string) string {
	a, b := strings.Split(want, "\n"), strings.Split(got, "\n")
	for i := range max(len(a), len(b)) {
		switch {
		case i >= len(a):
			return fmt.Sprintf("line %d: got %q, kept nothing", i+1, b[i])
		case i >= len(b):
			return fmt.Sprintf("line %d: got nothing, kept %q", i+1, a[i])
		case a[i] != b[i]:
			return fmt.Sprintf("line %d:\ngot  %s\nkept %s", i+1, b[i], a[i])
		}
	}
	return "they are the same"
}
