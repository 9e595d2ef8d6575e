package planner

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"rundown/params"
	"rundown/params/sheet"
	"rundown/rotations"
)

// Plan is a plan as the page sent it, read.
type Plan struct {
	Name     string // of its file in the folder; a plan without one has that of the starter plan
	Text     []byte
	Starter  bool
	Calendar *rotations.Calendar // nil: it has mistakes
	Mistakes []Mistake
	plan     *rotations.Plan // nil: nothing to go on
	library  *params.Library
}

// Mistake is one mistake, in the words of check, with the value that it is about.
type Mistake struct {
	Line   int    `json:"line"`
	Column int    `json:"column"`
	Path   string `json:"path"` // seasons[1].drill.date; "" where it is about none
	File   string `json:"file"` // another file than the plan; "" for the plan
	Text   string `json:"text"`
}

// SHA256 is the sum of the plan's text.
func (p *Plan) SHA256() string { return sumOf(p.Text) }

func sumOf(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// mostRead is the largest file that a plan may name.
const mostRead = 64 << 20

// read reads a plan. Files that it names are opened in the start folder alone. A value of the
// library may be another in it, as if the plan had a library of its own that says so.
func (s *Server) read(name string, text []byte, other *whatIf) (*Plan, error) {
	lib := s.library // shared by all plans: a library of one's own, or another value, takes a fresh one
	if other != nil {
		var err error
		if lib, err = params.Load(); err != nil {
			return nil, err
		}
	}
	p := &Plan{Name: name, Text: text, Starter: string(text) == string(rotations.Starter()), library: lib}
	if name == "" {
		p.Name = "plan.yaml"
	}
	var m sheet.Mistakes
	if p.plan = rotations.Read(p.Name, text, &m); p.plan != nil {
		p.plan.Open = s.opened
		p.plan.Folder = s.libraryFolder
		if other != nil {
			other.lay(p, &m)
		}
		p.Calendar = p.plan.Resolve(lib, &m)
	}
	if m.Len() > 0 {
		p.Calendar = nil
		p.Mistakes = p.found(&m)
	}
	return p, nil
}

// found are the mistakes with the values that they are about.
func (p *Plan) found(m *sheet.Mistakes) []Mistake {
	at := map[sheet.Place]string{}
	if p.plan != nil {
		p.plan.Visit(func(v *sheet.Value) {
			at[v.Place] = v.Path
		})
	}
	var out []Mistake
	for _, x := range m.Sorted() {
		w := Mistake{Line: x.Place.Line, Column: x.Place.Column, Path: at[x.Place], Text: x.Text}
		if x.Place.File != p.Name {
			w.File = x.Place.File
		}
		if out = append(out, w); len(out) == 100 {
			break
		}
	}
	return out
}

var errOutside = errors.New("it lies outside the folder that rundown open was started in; start it higher up, so that the file is inside")

// opened opens a file that a plan names.
func (s *Server) opened(name string) (io.ReadCloser, error) {
	if !allowed(name, ".csv") {
		if outside(name) {
			return nil, errOutside
		}
		return nil, errors.New("only files whose names end in .csv are read from a plan here, and none that begins with a dot")
	}
	f, err := s.Root.Open(filepath.Clean(name))
	if err != nil {
		if escapes(err) {
			return nil, errOutside
		}
		return nil, err
	}
	if info, err := f.Stat(); err != nil || !info.Mode().IsRegular() || info.Size() > mostRead {
		_ = f.Close()
		return nil, errors.New("it is no ordinary file, or too large")
	}
	return f, nil
}

// libraryFolder opens the folder of a plan's own library.
func (s *Server) libraryFolder(name string) (fs.FS, error) {
	if outside(name) {
		return nil, fmt.Errorf("%s: %w", name, errOutside)
	}
	if hidden(name) {
		return nil, errors.New("no folder whose name begins with a dot is read here")
	}
	sub, err := s.Root.OpenRoot(filepath.Clean(name))
	if err != nil {
		if escapes(err) {
			return nil, fmt.Errorf("%s: %w", name, errOutside)
		}
		return nil, fmt.Errorf("the library folder %s cannot be read: %s", name, plainCause(err))
	}
	return sub.FS(), nil
}

// outside tells whether a name leads out of the folder by itself.
func outside(name string) bool { return !filepath.IsLocal(name) }

// escapes tells whether a root refused a name since it leads out of it.
func escapes(err error) bool { return strings.Contains(err.Error(), "escapes from parent") }

func hidden(name string) bool {
	return slices.ContainsFunc(strings.Split(filepath.ToSlash(name), "/"), func(part string) bool {
		return strings.HasPrefix(part, ".") && part != "." && part != ".."
	})
}

// allowed tells whether a name is one that is read or written here.
func allowed(name string, endings ...string) bool {
	return name != "" && len(name) < 300 && filepath.IsLocal(name) && !hidden(name) && !strings.ContainsAny(name, "\x00\\:") &&
		slices.Contains(endings, strings.ToLower(path.Ext(filepath.ToSlash(name))))
}

// plainCause leaves out the name that the system puts before its reason.
func plainCause(err error) string {
	var p *fs.PathError
	var l *os.LinkError
	switch {
	case errors.As(err, &p):
		return p.Err.Error()
	case errors.As(err, &l):
		return l.Err.Error()
	}
	return err.Error()
}
