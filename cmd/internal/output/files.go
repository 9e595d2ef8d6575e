package output

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
)

// Set is a group of files in one folder that appear together. Each is first
// written in full beside its place under a temporary name and flushed to the
// disk; Commit then gives them their names in the order in which they were
// staged, so that a reader who finds the last one finds all of them.
type Set struct {
	dir    string
	made   []string // folders made for this set, outermost first
	staged []stagedFile
}

type stagedFile struct{ temporary, final string }

// OpenSet prepares a folder, making it when it is not there.
func OpenSet(dir string) (*Set, error) {
	s := &Set{dir: dir}
	missing := []string{}
	for d := filepath.Clean(dir); ; d = filepath.Dir(d) {
		info, err := os.Stat(d)
		if err == nil && !info.IsDir() {
			return nil, fmt.Errorf("%s is a file; a folder was expected", d)
		}
		if err == nil || d == filepath.Dir(d) {
			break
		}
		if !errors.Is(err, fs.ErrNotExist) {
			return nil, fmt.Errorf("the folder %s cannot be used: %w", d, reason(err))
		}
		missing = append(missing, d)
	}
	for i := len(missing) - 1; i >= 0; i-- {
		if err := os.Mkdir(missing[i], 0o777); err != nil && !errors.Is(err, fs.ErrExist) {
			s.Discard()
			return nil, fmt.Errorf("the folder %s cannot be made: %w", missing[i], reason(err))
		}
		s.made = append(s.made, missing[i])
	}
	return s, nil
}

// Stage writes one file under a temporary name. On any error, also when the
// context ends, the temporary file is removed and the error names the file.
func (s *Set) Stage(ctx context.Context, name string, write func(io.Writer) error) error {
	final := filepath.Join(s.dir, name)
	switch info, err := os.Lstat(final); {
	case err != nil: // nothing to replace, or the writing will tell
	case info.IsDir():
		return fmt.Errorf("%s is a folder; a file of that name was to be written", final)
	case !info.Mode().IsRegular(): // a device, a pipe, or a link to who knows what
		return fmt.Errorf("%s is no ordinary file; it is left alone", final)
	}
	temporary, err := writeTemporary(ctx, final, write)
	if err != nil {
		return err
	}
	s.staged = append(s.staged, stagedFile{temporary, final})
	return nil
}

// Commit gives every staged file its name and lists them. When one cannot be
// renamed it stops; the rest is removed and the error says what was written.
func (s *Set) Commit(ctx context.Context) ([]string, error) {
	if err := context.Cause(ctx); err != nil {
		s.Discard()
		return nil, err
	}
	var done []string
	for len(s.staged) > 0 {
		f := s.staged[0]
		if err := os.Rename(f.temporary, f.final); err != nil {
			s.Discard()
			return done, fmt.Errorf("%s cannot be written: %w (written before it: %d files)", f.final, reason(err), len(done))
		}
		s.staged = s.staged[1:]
		done = append(done, f.final)
	}
	s.made = nil
	syncFolder(s.dir)
	return done, nil
}

// Discard removes what was staged and not committed, and the folders made for
// it if they are empty. It may be called at any time, also after Commit.
func (s *Set) Discard() {
	for _, f := range s.staged {
		_ = os.Remove(f.temporary)
	}
	s.staged = nil
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
	temporary, err := writeTemporary(ctx, path, write)
	if err != nil {
		return err
	}
	defer os.Remove(temporary)
	// A hard link fails when the name is taken, which a rename does not.
	err = os.Link(temporary, path)
	if errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("%s: %w", path, fs.ErrExist)
	}
	if err != nil { // a file system without links
		err = os.Rename(temporary, path)
	}
	if err != nil {
		return fmt.Errorf("%s cannot be written: %w", path, reason(err))
	}
	syncFolder(filepath.Dir(path))
	return nil
}

func writeTemporary(ctx context.Context, final string, write func(io.Writer) error) (name string, err error) {
	if err := context.Cause(ctx); err != nil {
		return "", err
	}
	f, err := createTemporary(final)
	if err != nil {
		return "", fmt.Errorf("%s cannot be written: %w", final, reason(err))
	}
	defer func() {
		if err != nil {
			_ = f.Close()
			_ = os.Remove(f.Name())
			if stopped := context.Cause(ctx); stopped != nil {
				err = stopped
				return
			}
			err = fmt.Errorf("%s cannot be written: %w", final, reason(err))
		}
	}()
	buffered := bufio.NewWriterSize(stoppable{ctx, f}, 1<<16)
	if err = write(buffered); err != nil {
		return "", err
	}
	if err = buffered.Flush(); err != nil {
		return "", err
	}
	if err = f.Sync(); err != nil {
		return "", err
	}
	return f.Name(), f.Close()
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

// createTemporary opens a new hidden file beside its final place, with the
// permissions that the user's mask gives to any new file.
func createTemporary(final string) (*os.File, error) {
	for {
		name := fmt.Sprintf(".%s.%08x.part", filepath.Base(final), rand.Uint32())
		f, err := os.OpenFile(filepath.Join(filepath.Dir(final), name), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
		if !errors.Is(err, fs.ErrExist) {
			return f, err
		}
	}
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
