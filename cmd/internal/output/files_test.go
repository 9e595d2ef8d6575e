package output

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func text(s string) func(io.Writer) error {
	return func(w io.Writer) error { _, err := io.WriteString(w, s); return err }
}

// listing is every name below a folder.
func listing(t *testing.T, dir string) string {
	t.Helper()
	var names []string
	err := filepath.WalkDir(dir, func(path string, _ fs.DirEntry, err error) error {
		if path != dir {
			name, _ := filepath.Rel(dir, path)
			names = append(names, name)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return strings.Join(names, " ")
}

func TestSetAppearsTogether(t *testing.T) {
	dir := t.TempDir()
	s, err := OpenSet(filepath.Join(dir, "a", "b"))
	if err != nil {
		t.Fatal(err)
	}
	ctx := context.Background()
	if err := s.Stage(ctx, "one.csv", text("1\n")); err != nil {
		t.Fatal(err)
	}
	if err := s.Stage(ctx, "last.json", text("{}\n")); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(filepath.Join(dir, "a", "b", "one.csv")); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("one.csv has its name before Commit: %v", err)
	}
	if err := s.Commit(ctx); err != nil {
		t.Fatal(err)
	}
	s.Discard()
	if got := listing(t, dir); got != "a a/b a/b/last.json a/b/one.csv" {
		t.Errorf("the folder holds %q", got)
	}
}

func TestFailedWriteLeavesNothing(t *testing.T) {
	full := errors.New("no space left on device")
	stopped, stop := context.WithCancel(context.Background())
	stop()
	cases := []struct {
		name  string // why it fails
		ctx   context.Context
		write func(io.Writer) error
		want  error
		names bool // the message names the file
	}{
		{"disk full half-way", context.Background(), func(w io.Writer) error {
			_, _ = io.WriteString(w, strings.Repeat("x", 1<<17))
			return full
		}, full, true},
		{"interrupted before", stopped, text("x"), context.Canceled, false},
	}
	for _, c := range cases {
		dir := t.TempDir()
		s, err := OpenSet(filepath.Join(dir, "new"))
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Stage(context.Background(), "first", text("whole")); err != nil {
			t.Fatal(err)
		}
		err = s.Stage(c.ctx, "second", c.write)
		if !errors.Is(err, c.want) {
			t.Errorf("%s: error %v, want %v", c.name, err, c.want)
		}
		if c.names && !strings.Contains(err.Error(), filepath.Join("new", "second")) {
			t.Errorf("%s: %q does not name the file", c.name, err)
		}
		s.Discard()
		if got := listing(t, dir); got != "" {
			t.Errorf("%s: left behind: %s", c.name, got)
		}
	}
}

func TestInterruptDuringLongWrite(t *testing.T) {
	dir := t.TempDir()
	ctx, stop := context.WithCancel(context.Background())
	s, err := OpenSet(dir)
	if err != nil {
		t.Fatal(err)
	}
	block := make([]byte, 1<<16)
	err = s.Stage(ctx, "big", func(w io.Writer) error {
		for i := 0; i < 1000; i++ {
			if i == 3 {
				stop()
			}
			if _, err := w.Write(block); err != nil {
				if i > 5 {
					t.Errorf("went on for %d blocks after the interrupt", i-3)
				}
				return err
			}
		}
		return nil
	})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("error %v, want %v", err, context.Canceled)
	}
	if got := listing(t, dir); got != "" {
		t.Errorf("left behind: %s", got)
	}
}

func TestInterruptBeforeCommitKeepsTheOldFile(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "f"), []byte("old"), 0o600); err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	s, _ := OpenSet(dir)
	if err := s.Stage(ctx, "f", text("new")); err != nil {
		t.Fatal(err)
	}
	stop()
	if err := s.Commit(ctx); !errors.Is(err, context.Canceled) {
		t.Errorf("error %v, want %v", err, context.Canceled)
	}
	b, _ := os.ReadFile(filepath.Join(dir, "f"))
	if string(b) != "old" || listing(t, dir) != "f" {
		t.Errorf("f holds %q and the folder %q; want the old file alone", b, listing(t, dir))
	}
}

func TestFolderAndFileMixedUp(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "file"), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := OpenSet(filepath.Join(dir, "file")); err == nil || !strings.Contains(err.Error(), "is a file; a folder was expected") {
		t.Errorf("a file as the folder: %v", err)
	}
	if err := os.Mkdir(filepath.Join(dir, "x.csv"), 0o777); err != nil {
		t.Fatal(err)
	}
	s, err := OpenSet(dir)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Stage(context.Background(), "x.csv", text("")); err == nil || !strings.Contains(err.Error(), "is a folder") {
		t.Errorf("a folder in the file's place: %v", err)
	}
}

func TestDiscardLeavesWhatItDidNotWrite(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "new")
	s, err := OpenSet(dir)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, "theirs"), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	s.Discard()
	if got := listing(t, dir); got != "theirs" {
		t.Errorf("the folder holds %q; want theirs", got)
	}
}

func TestCreateNewRefusesToReplace(t *testing.T) {
	path := filepath.Join(t.TempDir(), "plan.yaml")
	ctx := context.Background()
	if err := CreateNew(ctx, path, text("a")); err != nil {
		t.Fatal(err)
	}
	if err := CreateNew(ctx, path, text("b")); !errors.Is(err, fs.ErrExist) {
		t.Errorf("a second file of the name: %v, want %v", err, fs.ErrExist)
	}
	b, _ := os.ReadFile(path)
	if string(b) != "a" || listing(t, filepath.Dir(path)) != "plan.yaml" {
		t.Errorf("the folder holds %q with %q", listing(t, filepath.Dir(path)), b)
	}
}
