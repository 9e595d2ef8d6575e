package simtest

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
)

// told is a test that only notes what is said of it.
type told struct {
	testing.TB
	errors []string
}

func (t *told) Helper()                      {}
func (t *told) Logf(string, ...any)          {}
func (t *told) Errorf(f string, args ...any) { t.errors = append(t.errors, fmt.Sprintf(f, args...)) }

// A file that differs fails and is kept beside as .got; it is rewritten only where its
// role is; a file that is the same is not touched.
func TestGolden(t *testing.T) {
	was := updating
	t.Cleanup(func() { updating = was })
	file := filepath.Join(t.TempDir(), "kept.txt")
	if err := os.WriteFile(file, []byte("a\nb\n"), 0o444); err != nil {
		t.Fatal(err)
	}
	updating = nil
	same, other := &told{TB: t}, &told{TB: t}
	Golden(same, Documents, file, []byte("a\nb\n"))
	Golden(other, Documents, file, []byte("a\nc\n"))
	got, err := os.ReadFile(file + ".got")
	if len(same.errors) != 0 || len(other.errors) != 1 || err != nil || string(got) != "a\nc\n" {
		t.Errorf("said %q and %q, .got holds %q (%v)", same.errors, other.errors, got, err)
	}
	if err := os.Chmod(file, 0o644); err != nil {
		t.Fatal(err)
	}
	if err := updating.Set("true"); err != nil || !Updating(Documents) || !Updating(Messages) || Updating(Fixtures) {
		t.Errorf("-update rewrites %v (%v)", updating, err)
	}
	Golden(other, Fixtures, file, []byte("a\nd\n"))
	if kept, _ := os.ReadFile(file); string(kept) != "a\nb\n" || len(other.errors) != 2 {
		t.Errorf("a fixture was rewritten with the documents: %q", kept)
	}
	Golden(other, Documents, file, []byte("a\nd\n"))
	if kept, _ := os.ReadFile(file); string(kept) != "a\nd\n" || len(other.errors) != 2 {
		t.Errorf("a document is %q after -update", kept)
	}
	if err := new(roles).Set("documents,nothing"); err == nil {
		t.Error("-update=nothing is taken")
	}
}
