package planner

import (
	"errors"
	"io"
	"io/fs"
	"net/http"
	"path"
	"strings"

	"rundown/cmd/internal/output"
	"rundown/params/sheet"
	"rundown/rotations"
)

// start gives the plan to begin with.
func (s *Server) start(w http.ResponseWriter, _ *http.Request) {
	s.touch()
	out := map[string]any{"folder": s.Folder, "name": s.Plan, "text": string(rotations.Starter()), "hash": ""}
	if s.Plan != "" {
		data, err := s.readIn(s.Plan, sheet.MaxBytes)
		if err != nil {
			answer(w, http.StatusConflict, map[string]any{"text": s.Plan + " cannot be read: " + plainCause(err)})
			return
		}
		out["text"], out["hash"] = string(data), sumOf(data)
	}
	answer(w, http.StatusOK, out)
}

// readIn reads a file of the start folder.
func (s *Server) readIn(name string, most int64) ([]byte, error) {
	f, err := s.Root.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	if info, err := f.Stat(); err != nil || !info.Mode().IsRegular() {
		return nil, errors.New("it is no ordinary file")
	}
	data, err := io.ReadAll(io.LimitReader(f, most+1))
	if err == nil && int64(len(data)) > most {
		return nil, errors.New("it is too large to be a plan")
	}
	return data, err
}

// Bounds of what is listed.
const (
	mostListed = 500
	deepest    = 3 // folders
)

// list names the plans and the tables of the start folder.
func (s *Server) list(w http.ResponseWriter, _ *http.Request) {
	names := []string{}
	_ = fs.WalkDir(s.Root.FS(), ".", func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil || len(names) == mostListed:
			return fs.SkipDir // what cannot be read is not listed
		case d.IsDir() && name != "." && (hidden(name) || strings.Count(name, "/") >= deepest):
			return fs.SkipDir
		case d.Type().IsRegular() && allowed(name, ".yaml", ".yml", ".csv"):
			names = append(names, name)
		}
		return nil
	})
	answer(w, http.StatusOK, map[string]any{"folder": s.Folder, "names": names})
}

// open reads a plan, or a table of counts.
func (s *Server) open(w http.ResponseWriter, r *http.Request) {
	var in struct{ Name string }
	if !taken(w, r, &in) {
		return
	}
	if !allowed(in.Name, ".yaml", ".yml", ".csv") {
		answer(w, http.StatusConflict, map[string]any{"text": "Only files of " + s.Folder +
			" are opened, whose names end in .yaml, .yml or .csv and do not begin with a dot."})
		return
	}
	data, err := s.readIn(in.Name, sheet.MaxBytes)
	if err != nil {
		answer(w, http.StatusConflict, map[string]any{"text": in.Name + " cannot be read: " + plainCause(err)})
		return
	}
	answer(w, http.StatusOK, map[string]any{"name": in.Name, "text": string(data), "hash": sumOf(data)})
}

// clash is a file that is not what the page takes it for.
type clash struct {
	text  string
	there []byte
}

func (c *clash) Error() string { return c.text }

// save writes a plan, whole or not at all, and never over what the page does not know of.
func (s *Server) save(w http.ResponseWriter, r *http.Request) {
	var in struct {
		Name, Text, Hash string // Hash is of the file as it was read; "" where it is new
		Replace          bool   // the person was asked
	}
	if !taken(w, r, &in) {
		return
	}
	if !allowed(in.Name, ".yaml", ".yml") {
		answer(w, http.StatusConflict, map[string]any{"text": "A plan is saved in " + s.Folder +
			" alone, under a name that ends in .yaml or .yml and does not begin with a dot."})
		return
	}
	if len(in.Text) > sheet.MaxBytes {
		answer(w, http.StatusConflict, map[string]any{"text": "The plan is larger than 1 MiB."})
		return
	}
	name, data := path.Clean(in.Name), []byte(in.Text)
	err := output.ReplaceIn(s.Root, name, data, func(old []byte, there bool) error {
		switch {
		case in.Replace || !there && in.Hash == "" || there && sumOf(old) == in.Hash:
			return nil
		case !there:
			return &clash{name + " is not there any more. Save it anyway?", nil}
		case in.Hash == "":
			return &clash{name + " is there already. Replace it?", old}
		}
		return &clash{name + " was changed on the disk by something else. Write over that?", old}
	})
	var c *clash
	switch {
	case err == nil:
		answer(w, http.StatusOK, map[string]any{"name": name, "hash": sumOf(data)})
	case errors.As(err, &c):
		answer(w, http.StatusConflict, map[string]any{"text": c.text, "ask": true, "there": string(c.there)})
	case errors.Is(err, fs.ErrExist):
		answer(w, http.StatusConflict, map[string]any{"text": name + " is there already. Replace it?", "ask": true})
	default:
		answer(w, http.StatusConflict, map[string]any{"text": err.Error()})
	}
}
