package parts

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// lay writes a part into a folder, changed.
func lay(t *testing.T, dir string, part, of int, change func(*Header)) {
	t.Helper()
	h, columns := example(part, of)
	if change != nil {
		change(h)
	}
	if err := os.WriteFile(filepath.Join(dir, FileName(part, of, h.Round)), written(t, h, columns), 0o644); err != nil {
		t.Fatal(err)
	}
}

// Parts of a round that are all there are found, in order, whatever else lies beside them.
func TestGather(t *testing.T) {
	dir := t.TempDir()
	for part := 1; part <= 12; part++ {
		lay(t, dir, part, 12, nil)
	}
	for part := 1; part <= 2; part++ {
		lay(t, dir, part, 2, func(h *Header) { h.Round = 2 })
	}
	if err := os.WriteFile(filepath.Join(dir, "log.txt"), []byte("begun\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	for round, want := range map[int]int{1: 12, 2: 2} {
		set, err := Gather(context.Background(), dir, round)
		if err != nil {
			t.Fatal(err)
		}
		for i, path := range set.Paths {
			if want := filepath.Join(dir, FileName(i+1, len(set.Paths), round)); path != want {
				t.Errorf("part %d is %s", i+1, path)
			}
		}
		if len(set.Paths) != want || set.Header.Round != round {
			t.Errorf("%d parts of round %d", len(set.Paths), set.Header.Round)
		}
	}
	stopped, stop := context.WithCancel(context.Background())
	stop()
	if _, err := Gather(stopped, dir, 1); !errors.Is(err, context.Canceled) {
		t.Errorf("an interruption gives %v", err)
	}
}

// What most parts are of is what the others are held against: here two of three results
// lie in one folder, and of the first a part is missing.
func TestGatherOfSeveral(t *testing.T) {
	dir := t.TempDir()
	for part := 1; part <= 5; part++ {
		if part != 4 {
			lay(t, dir, part, 5, nil)
		}
	}
	lay(t, dir, 1, 2, nil)
	lay(t, dir, 3, 9, nil)
	_, err := Gather(context.Background(), dir, 1)
	var wrong Wrong
	if !errors.As(err, &wrong) || len(wrong) != 3 {
		t.Fatal(err)
	}
	for i, want := range []string{"part-1-of-2.rundown does not belong to the other parts: it is one of 2 parts, not of 5",
		"part-3-of-9.rundown does not belong", "missing in " + dir + ": part 4 of 5"} {
		if !strings.Contains(wrong[i], want) {
			t.Errorf("%q, expected %q", wrong[i], want)
		}
	}
}

// Every way in which parts can differ is said in its own words.
func TestDiffers(t *testing.T) {
	for want, change := range map[string]func(*Header){
		"of round 2":                func(h *Header) { h.Round = 2 },
		"another program":           func(h *Header) { h.Program.Commit = "f00" },
		"--seed=2, not nothing":     func(h *Header) { h.Arguments = append(h.Arguments, "--seed=2") },
		"not from the plan":         func(h *Header) { h.From[0].SHA256 = "99" },
		"from the file w.csv":       func(h *Header) { h.From = append(h.From, Source{"file", "w.csv", "1"}) },
		"without the plan":          func(h *Header) { h.From = nil },
		"on plan9/":                 func(h *Header) { h.Machine.OS = "plan9" },
		"the same run gave other":   func(h *Header) { h.Blocks[1].Run0 = "44" },
		"it holds other runs":       func(h *Header) { h.Blocks[1].Columns = []string{"heads", "seed"} },
		"it holds other runs at al": func(h *Header) { h.Blocks = h.Blocks[:1] },
	} {
		h, _ := example(1, 3)
		other, _ := example(2, 3)
		if h.Differs(other) != "" || h.key() != other.key() {
			t.Fatalf("parts of one result differ: %s", h.Differs(other))
		}
		change(h)
		if got := h.Differs(other); !strings.Contains(got, strings.TrimSuffix(want, " at al")) || h.key() == other.key() {
			t.Errorf("%q, expected %q", got, want)
		}
	}
}

// Missing parts are named in spans.
func TestMissing(t *testing.T) {
	for have, want := range map[string]string{"xxxx": "", ".xx.": "parts 1, 4", "....": "parts 1 to 4", "x.x": "part 2"} {
		s := &Set{Header: &Header{Shared: Shared{Of: len(have), Round: 1}}, Paths: make([]string, len(have))}
		for i, c := range have {
			if c == 'x' {
				s.Paths[i] = fmt.Sprint(i)
			}
		}
		if got := s.missing(nil); got != want {
			t.Errorf("%s: %q, expected %q", have, got, want)
		}
	}
}
