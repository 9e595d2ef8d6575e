package output

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// Set is a group of files in one folder that belong together. Each is first
// written in full and flushed to the disk in a hidden folder beside its place;
// Commit then gives them their names. Of two sets for one folder the second waits for
// the first, so that their files never mix. The last file to be staged is the
// sign that all are there: an old one is taken away first and the new one comes last.
type Set struct {
	dir    string
	made   []string // folders made for this set, outermost first
	wait   *waiting // nil before the first file
	staged []string // names
}

// OpenSet prepares a folder, making it when it is not there.
func OpenSet(dir string) (*Set, error) {
	s := &Set{dir: dir}
	if err := s.make(); err != nil {
		s.Discard()
		return nil, err
	}
	return s, nil
}

// make makes the folder, and those above it, as far as they are not there.
func (s *Set) make() error {
	missing := []string{}
	for d := filepath.Clean(s.dir); ; d = filepath.Dir(d) {
		info, err := os.Stat(d)
		if err == nil && !info.IsDir() {
			return fmt.Errorf("%s is a file; a folder was expected", d)
		}
		if err == nil || d == filepath.Dir(d) {
			break
		}
		if !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("the folder %s cannot be used: %w", d, reason(err))
		}
		missing = append(missing, d)
	}
	for i := len(missing) - 1; i >= 0; i-- {
		err := os.Mkdir(missing[i], 0o777)
		if errors.Is(err, fs.ErrExist) { // by another run, or a link that leads nowhere
			if _, err = os.Stat(missing[i]); err == nil {
				continue
			}
		}
		if err != nil {
			return fmt.Errorf("the folder %s cannot be made: %w", missing[i], reason(err))
		}
		s.made = append(s.made, missing[i])
	}
	return nil
}

// Rehearse finds out whether a set could be written to a folder, and leaves
// nothing there.
func Rehearse(dir string, names ...string) error {
	s, err := OpenSet(dir)
	if err != nil {
		return err
	}
	defer s.Discard()
	for _, name := range names {
		if err := s.replaceable(name); err != nil {
			return err
		}
	}
	if err := s.waiting(); err != nil {
		if len(names) == 1 {
			return fmt.Errorf("%s cannot be written: %w", filepath.Join(dir, names[0]), reason(err))
		}
		return fmt.Errorf("the folder %s cannot be written: %w", dir, reason(err))
	}
	return nil
}

// replaceable is what forbids a file of that name; nil for none.
func (s *Set) replaceable(name string) error {
	final := filepath.Join(s.dir, name)
	switch info, err := os.Lstat(final); {
	case err != nil: // nothing to replace, or the writing will tell
	case info.IsDir():
		return fmt.Errorf("%s is a folder; a file of that name was to be written", final)
	case !info.Mode().IsRegular(): // a device, a pipe, or a link to who knows what
		return fmt.Errorf("%s is no ordinary file; it is left alone", final)
	}
	return nil
}

// waiting makes the hidden folder, once.
func (s *Set) waiting() (err error) {
	for try := 0; s.wait == nil && try < 10; try++ {
		s.wait, err = openWaiting(s.dir)
		if errors.Is(err, fs.ErrNotExist) { // another run, which was stopped, has taken the folder away
			err = s.make()
		}
		if err != nil {
			return err
		}
	}
	return err
}

// Stage writes one file into the hidden folder. On any error, also when the
// context ends, it is removed and the error names the file.
func (s *Set) Stage(ctx context.Context, name string, write func(io.Writer) error) (err error) {
	if err := context.Cause(ctx); err != nil {
		return err
	}
	defer func() {
		if err != nil && len(s.staged) == 0 && s.wait != nil {
			s.wait.remove()
			s.wait = nil
		}
	}()
	final := filepath.Join(s.dir, name)
	if err := s.replaceable(name); err != nil {
		return err
	}
	if err := s.waiting(); err != nil {
		return fmt.Errorf("%s cannot be written: %w", final, reason(err))
	}
	if err := writeWhole(ctx, s.wait.path(name), final, write); err != nil {
		return err
	}
	s.staged = append(s.staged, name)
	return nil
}

// Discard removes what was staged and not committed, and the folders made for
// it if they are empty. It may be called at any time, also after Commit.
func (s *Set) Discard() {
	if s.wait != nil {
		s.wait.remove()
	}
	s.wait, s.staged = nil, nil
	for i := len(s.made) - 1; i >= 0; i-- {
		_ = os.Remove(s.made[i]) // fails, rightly, when something is in it
	}
	s.made = nil
}

// CreateNew writes one file whole; it refuses to replace one that is there
// (the error is fs.ErrExist).
func CreateNew(ctx context.Context, path string, write func(io.Writer) error) error {
	if _, err := os.Lstat(path); err == nil {
		return fmt.Errorf("%s: %w", path, fs.ErrExist)
	}
	s := &Set{dir: filepath.Dir(path)}
	defer s.Discard()
	if err := s.Stage(ctx, filepath.Base(path), write); err != nil {
		return err
	}
	// A hard link fails when the name is taken, which a rename does not.
	temporary := s.wait.path(filepath.Base(path))
	err := os.Link(temporary, path)
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("%s: %w", path, fs.ErrExist)
	}
	if err != nil { // a file system without links
		err = os.Rename(temporary, path)
	}
	if err != nil {
		return fmt.Errorf("%s cannot be written: %w", path, reason(err))
	}
	s.made = nil
	syncFolder(s.dir)
	return nil
}

// writeWhole writes a new file with the permissions that the user's mask gives to
// any, and flushes it to the disk.
func writeWhole(ctx context.Context, path, final string, write func(io.Writer) error) (err error) {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return fmt.Errorf("%s cannot be written: %w", final, reason(err))
	}
	defer func() {
		if err != nil {
			_ = f.Close()
			_ = os.Remove(path)
			if stopped := context.Cause(ctx); stopped != nil {
				err = stopped
				return
			}
			err = fmt.Errorf("%s cannot be written: %w", final, reason(err))
		}
	}()
	buffered := bufio.NewWriterSize(stoppable{ctx, f}, 1<<16)
	if err = write(buffered); err != nil {
		return err
	}
	if err = buffered.Flush(); err != nil {
		return err
	}
	if err = f.Sync(); err != nil {
		return err
	}
	return f.Close()
}

// stoppable ends a long write when the context ends.
type stoppable struct {
	ctx context.Context
	w   io.Writer
}

func (s stoppable) Write(b []byte) (int, error) {
	if err := context.Cause(s.ctx); err != nil {
		return 0, err
	}
	return s.w.Write(b)
}

// syncFolder flushes the names. Some file systems cannot; the files are whole
// all the same.
func syncFolder(dir string) {
	if f, err := os.Open(dir); err == nil {
		_ = f.Sync()
		_ = f.Close()
	}
}

// reason is what the system said, without the temporary name that it said it of.
func reason(err error) error {
	var path *fs.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &path):
		return path.Err
	case errors.As(err, &link):
		return link.Err
	}
	return err
}
