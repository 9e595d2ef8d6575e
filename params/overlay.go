package params

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"rundown/params/sheet"
)

// Overlay lays a user's own library over this one: DIR/weeds/NAME.yaml and so
// on. A new name adds an entry, which must be whole; a known name changes the
// keys and values that its file gives. The checks are those of the library
// itself.
func (l *Library) Overlay(dir string, m *sheet.Mistakes) { l.OverlayFrom(os.DirFS(dir), dir, m) }

// OverlayFrom is Overlay for files that are opened elsewhere; dir is what the folder is called.
func (l *Library) OverlayFrom(files fs.FS, dir string, m *sheet.Mistakes) {
	folders, err := fs.ReadDir(files, ".")
	if err != nil {
		m.Add(sheet.Place{File: dir}, "the library folder cannot be read: %s", reason(err))
		return
	}
	for _, f := range folders {
		name := f.Name()
		switch {
		case strings.HasPrefix(name, "."):
		case slices.Contains(Kinds, name):
			l.overlayKind(files, dir, name, m)
		case f.IsDir():
			m.Add(sheet.Place{File: filepath.Join(dir, name)}, "a library has no folder %q; %s", name, sheet.DidYouMean(name, Kinds))
		case isYAML(name):
			m.Add(sheet.Place{File: filepath.Join(dir, name)}, "an entry belongs in a folder of its kind: %s", strings.Join(Kinds, ", "))
		}
	}
	l.check(m)
}

// OverlayEntry lays one entry over this library, as a file of a user's own library would.
func (l *Library) OverlayEntry(kind, name string, data []byte, m *sheet.Mistakes) {
	if !slices.Contains(Kinds, kind) || l.Find(kind, name) == nil {
		m.Add(sheet.Place{File: path.Join(kind, name)}, "the library has no such entry")
		return
	}
	l.add(kind, path.Join(kind, name+".yaml"), path.Join("user", kind, name+".yaml"), data, m)
	l.check(m)
}

func (l *Library) overlayKind(from fs.FS, dir, kind string, m *sheet.Mistakes) {
	folder := filepath.Join(dir, kind)
	files, err := fs.ReadDir(from, kind)
	if err != nil {
		m.Add(sheet.Place{File: folder}, "the library folder cannot be read: %s", reason(err))
		return
	}
	for _, f := range files {
		name, file := f.Name(), filepath.Join(folder, f.Name())
		switch {
		case strings.HasPrefix(name, ".") || !isYAML(name):
			continue
		case filepath.Ext(name) != ".yaml":
			m.Add(sheet.Place{File: file}, "entries are read from files ending in .yaml; rename this one")
			continue
		}
		data, err := readFile(from, path.Join(kind, name))
		if err != nil {
			m.Add(sheet.Place{File: file}, "the file cannot be read: %s", reason(err))
			continue
		}
		l.add(kind, file, path.Join("user", kind, name), data, m)
	}
}

// readFile reads a file, a little further than sheet.Parse accepts and no more.
func readFile(from fs.FS, file string) ([]byte, error) {
	f, err := from.Open(file)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return io.ReadAll(io.LimitReader(f, sheet.MaxBytes+1))
}

func isYAML(name string) bool {
	ext := strings.ToLower(filepath.Ext(name))
	return ext == ".yaml" || ext == ".yml"
}

// reason is an error without the path, which the place already gives.
func reason(err error) string {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err.Error()
	}
	return err.Error()
}
