package parts

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// Set are the parts of one round, all there, each checked.
type Set struct {
	Header *Header  // of the first part
	Paths  []string // by part
}

// Wrong are all the reasons why what lies in a folder cannot be joined.
type Wrong []string

func (w Wrong) Error() string { return strings.Join(w, "\n") }

// found is a part that could be read.
type found struct {
	path string
	part int
	kind int // index of the header that it agrees with
}

// Ending is that of the name of every part.
const Ending = ".rundown"

// Gather reads every part of a round that lies in a folder, one at a time, and finds
// whether all are there and belong together. The error is of type Wrong where
// they are not.
func Gather(ctx context.Context, dir string, round int) (*Set, error) {
	names, err := namesIn(dir, round)
	if err != nil {
		return nil, err
	}
	var wrong Wrong
	var all []found
	var kinds []*Header // one for each kind of parts
	spoilt := map[string]bool{}
	keys := map[string]int{}
	for _, name := range names {
		if err := context.Cause(ctx); err != nil {
			return nil, err
		}
		path := filepath.Join(dir, name)
		h, err := ReadFile(path, nil)
		if err == nil && h.Round != round {
			err = fmt.Errorf("its name does not say that it is of round %d", h.Round)
		}
		if err != nil {
			wrong, spoilt[name] = append(wrong, fmt.Sprintf("%s cannot be joined: %v", path, err)), true
			continue
		}
		kind, known := keys[h.key()]
		if !known {
			kind = len(kinds)
			keys[h.key()], kinds = kind, append(kinds, h)
		}
		all = append(all, found{path, h.Part, kind})
	}
	if len(all) == 0 {
		return nil, append(wrong, fmt.Sprintf("in %s there is no part of round %d that can be joined", dir, round))
	}
	usual := usualKind(all)
	set := &Set{Header: kinds[usual], Paths: make([]string, kinds[usual].Of)}
	for _, f := range all {
		switch at := f.part - 1; {
		case f.kind != usual:
			wrong = append(wrong, fmt.Sprintf("%s does not belong to the other parts: %s", f.path, kinds[f.kind].Differs(set.Header)))
		case set.Paths[at] != "":
			wrong = append(wrong, fmt.Sprintf("part %d is there twice: %s and %s", f.part, set.Paths[at], f.path))
		default:
			set.Paths[at] = f.path
		}
	}
	if text := set.missing(spoilt); text != "" {
		wrong = append(wrong, fmt.Sprintf("missing in %s: %s of %d", dir, text, set.Header.Of))
	}
	if len(wrong) > 0 {
		return nil, wrong
	}
	return set, nil
}

// ReadFile reads a part that is a file; see Read.
func ReadFile(path string, into func(*Header) ([]Numbers, error)) (*Header, error) {
	return withFile(path, func(f io.Reader, size int64) (*Header, error) { return Read(f, size, into) })
}

// ReadEachOf reads a part that is a file; see ReadEach.
func ReadEachOf(path string, to Blocks) (*Header, error) {
	return withFile(path, func(f io.Reader, size int64) (*Header, error) { return ReadEach(f, size, to) })
}

func withFile(path string, read func(io.Reader, int64) (*Header, error)) (*Header, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, fmt.Errorf("it is no ordinary file")
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return read(f, info.Size())
}

// namesIn are the names of the parts of a round in a folder, in order of their number.
func namesIn(dir string, round int) ([]string, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, err
	}
	var names []string
	for _, e := range entries {
		name := e.Name()
		if filepath.Ext(name) == Ending && !strings.HasPrefix(name, ".") && strings.HasPrefix(name, "round-2-") == (round == 2) {
			names = append(names, name)
		}
	}
	if len(names) > 2*Most {
		return nil, fmt.Errorf("%s holds %d parts; at most %d are joined", dir, len(names), Most)
	}
	slices.SortStableFunc(names, func(a, b string) int { return numberIn(a) - numberIn(b) })
	return names, nil
}

// numberIn is the part that a name says; large where it says none.
func numberIn(name string) int {
	_, rest, _ := strings.Cut(name, "part-")
	number, _, _ := strings.Cut(rest, "-")
	if n, err := strconv.Atoi(number); err == nil {
		return n
	}
	return Most + 1
}

// usualKind is the kind that most parts are of, of several that of the first part.
func usualKind(all []found) int {
	count := map[int]int{}
	usual := all[0].kind
	for _, f := range all {
		count[f.kind]++
	}
	for _, f := range all {
		if count[f.kind] > count[usual] {
			usual = f.kind
		}
	}
	return usual
}

// missing names the parts that are not there, but for those whose file is and cannot
// be read.
func (s *Set) missing(spoilt map[string]bool) string {
	var spans []string
	count := 0
	absent := func(part int) bool {
		return part <= len(s.Paths) && s.Paths[part-1] == "" && !spoilt[FileName(part, s.Header.Of, s.Header.Round)]
	}
	for part := 1; part <= len(s.Paths); part++ {
		if !absent(part) {
			continue
		}
		from := part
		for absent(part + 1) {
			part++
		}
		count += part - from + 1
		if from == part {
			spans = append(spans, strconv.Itoa(from))
			continue
		}
		spans = append(spans, fmt.Sprintf("%d to %d", from, part))
	}
	switch count {
	case 0:
		return ""
	case 1:
		return "part " + spans[0]
	}
	return "parts " + strings.Join(spans, ", ")
}
