package output

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path"
	"regexp"
	"time"
)

// saveForm is the name under which a file waits for its own; what a save that was killed
// left of it is taken away a day later.
var saveForm = regexp.MustCompile(`^\.rundown-[0-9a-f]{8}\.save$`)

// ReplaceIn writes one file below a root, whole or not at all: it is written in full under a
// hidden name and flushed, and then takes the place of the old one. Just before, fits is
// shown what lies there; an error of it leaves everything as it was. Between that look and
// the renaming lies a moment in which another program could write the file too: no system
// that is served here can compare and rename in one step. A file that is not there yet is
// made by a link, which fails when the name is taken meanwhile.
func ReplaceIn(root *os.Root, name string, data []byte, fits func(old []byte, there bool) error) (err error) {
	info, err := root.Lstat(name)
	there := err == nil
	switch {
	case err != nil && !errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("%s cannot be written: %w", name, reason(err))
	case there && !info.Mode().IsRegular():
		return fmt.Errorf("%s is no ordinary file; it is left alone", name)
	}
	mode := fs.FileMode(0o666)
	if there {
		mode = info.Mode().Perm()
	}
	waits := path.Join(path.Dir(name), fmt.Sprintf(".rundown-%08x.save", rand.Uint32()))
	if err := writeIn(root, waits, mode, data); err != nil {
		return fmt.Errorf("%s cannot be written: %w", name, reason(err))
	}
	defer func() { _ = root.Remove(waits) }() // gone already where it was renamed
	old, there, err := readIn(root, name, int64(len(data))+(4<<20))
	if err != nil {
		return fmt.Errorf("%s cannot be read before it is replaced: %w", name, reason(err))
	}
	if err := fits(old, there); err != nil {
		return err
	}
	if !there {
		if err = root.Link(waits, name); errors.Is(err, fs.ErrExist) {
			return fmt.Errorf("%s: %w", name, fs.ErrExist)
		}
	}
	if there || err != nil { // also where the file system has no links
		err = root.Rename(waits, name)
	}
	if err != nil {
		return fmt.Errorf("%s cannot be written: %w", name, reason(err))
	}
	syncIn(root, path.Dir(name))
	return nil
}

func writeIn(root *os.Root, name string, mode fs.FileMode, data []byte) error {
	f, err := root.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	err = errors.Join(err, f.Sync(), f.Close())
	if err != nil {
		_ = root.Remove(name)
	}
	return err
}

// readIn reads a file, if it is there, but no more than so many bytes.
func readIn(root *os.Root, name string, most int64) (data []byte, there bool, err error) {
	f, err := root.Open(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, false, nil
	}
	if err != nil {
		return nil, false, err
	}
	defer f.Close()
	data, err = io.ReadAll(io.LimitReader(f, most))
	return data, true, err
}

// syncIn flushes the names of a folder, where that can be, and takes old remains away.
func syncIn(root *os.Root, dir string) {
	f, err := root.Open(dir)
	if err != nil {
		return
	}
	defer f.Close()
	_ = f.Sync()
	entries, _ := f.ReadDir(-1)
	for _, e := range entries {
		if !saveForm.MatchString(e.Name()) {
			continue
		}
		if info, err := e.Info(); err == nil && time.Since(info.ModTime()) > graceTime {
			_ = root.Remove(path.Join(dir, e.Name()))
		}
	}
}
