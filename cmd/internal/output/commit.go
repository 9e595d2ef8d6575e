package output

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"
)

// ErrSameFile is one file that two sets want to write.
var ErrSameFile = errors.New("would be written twice")

// Commit gives every staged file its name.
func (s *Set) Commit(ctx context.Context) error { return CommitAll(ctx, s) }

// CommitAll gives the files of several sets their names, all of them or, when one
// cannot get it, none; then the old files stand as they were. The context can stop
// it until the first name is given.
func CommitAll(ctx context.Context, sets ...*Set) error {
	sets = slices.DeleteFunc(slices.Clone(sets), func(s *Set) bool { return len(s.staged) == 0 })
	discard := func(err error) error {
		for _, s := range sets {
			s.Discard()
		}
		return err
	}
	unlock, err := lockAll(ctx, sets)
	if err != nil {
		return discard(err)
	}
	defer unlock()
	if err := context.Cause(ctx); err != nil {
		return discard(err)
	}
	for i, s := range sets {
		if err := s.give(); err != nil {
			for _, before := range sets[:i+1] {
				before.takeBack()
			}
			return discard(err)
		}
	}
	for _, s := range sets {
		s.wait.remove()
		s.wait, s.staged, s.made = nil, nil, nil
		syncFolder(s.dir)
		sweep(s.dir)
	}
	return nil
}

// old is where a file that is replaced waits until all of its set are.
const old = ".old-"

// give renames the files, the last, which is the sign of the set, after the others.
// Of those that they replace it keeps the old ones in the hidden folder.
func (s *Set) give() error {
	for i := range s.staged {
		name := s.staged[len(s.staged)-1-i] // the sign first
		final := filepath.Join(s.dir, name)
		if err := s.replaceable(name); err != nil {
			return err
		}
		move := os.Link // the old file stays in its place until the new one takes it
		if i == 0 && len(s.staged) > 1 {
			move = os.Rename
		}
		err := move(final, s.wait.path(old+name))
		if err != nil && !errors.Is(err, fs.ErrNotExist) { // a file system without links
			err = os.Rename(final, s.wait.path(old+name))
		}
		if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("%s cannot be replaced: %w", final, reason(err))
		}
	}
	for _, name := range s.staged {
		final := filepath.Join(s.dir, name)
		if err := os.Rename(s.wait.path(name), final); err != nil {
			return fmt.Errorf("%s cannot be written: %w", final, reason(err))
		}
	}
	return nil
}

// takeBack undoes give, as far as it came. What cannot be undone stays as it is:
// the error that is told is the one that led here.
func (s *Set) takeBack() {
	for _, name := range s.staged {
		final := filepath.Join(s.dir, name)
		if _, err := os.Lstat(s.wait.path(name)); errors.Is(err, fs.ErrNotExist) {
			_ = os.Remove(final)
		}
		_ = os.Rename(s.wait.path(old+name), final)
	}
}

// lockAll locks the folders of sets in one order, each once, and finds files that
// two of them would write.
func lockAll(ctx context.Context, sets []*Set) (unlock func(), err error) {
	type folder struct {
		path string
		info fs.FileInfo
		sets []*Set
	}
	var folders []*folder
	for _, s := range sets {
		info, err := os.Stat(s.dir)
		if err != nil {
			return nil, fmt.Errorf("the folder %s cannot be used: %w", s.dir, reason(err))
		}
		i := slices.IndexFunc(folders, func(f *folder) bool { return os.SameFile(f.info, info) })
		if i < 0 {
			i = len(folders)
			folders = append(folders, &folder{path: resolved(s.dir), info: info})
		}
		for _, other := range folders[i].sets {
			for _, name := range s.staged {
				if slices.Contains(other.staged, name) {
					return nil, fmt.Errorf("%s %w", filepath.Join(s.dir, name), ErrSameFile)
				}
			}
		}
		folders[i].sets = append(folders[i].sets, s)
	}
	slices.SortFunc(folders, func(a, b *folder) int { return cmp.Compare(a.path, b.path) })
	var held []func()
	unlock = func() {
		for _, release := range held {
			release()
		}
	}
	for _, f := range folders {
		release, err := lockFolder(ctx, f.path)
		if err != nil {
			unlock()
			return nil, err
		}
		held = append(held, release)
	}
	return unlock, nil
}

// SameFolder tells whether two paths, which need not be there yet, lead to one
// folder: it makes what is missing, looks, and takes it away again.
func SameFolder(a, b string) (bool, error) {
	x, err := OpenSet(a)
	if err != nil {
		return false, err
	}
	defer x.Discard()
	y, err := OpenSet(b)
	if err != nil {
		return false, err
	}
	defer y.Discard()
	return resolved(a) == resolved(b), nil
}

// resolved is the one path of a folder that is there, without links.
func resolved(dir string) string {
	whole, err := filepath.Abs(dir)
	if err != nil {
		return dir
	}
	if real, err := filepath.EvalSymlinks(whole); err == nil {
		return real
	}
	return whole
}

// How long a run waits for another one that gives its files their names, which
// takes milliseconds, and how often it looks.
const (
	lockPatience = 30 * time.Second
	lockEvery    = 5 * time.Millisecond
)

// lockFolder waits until no other run gives names in a folder. On a file system that
// knows no locks it does not wait.
func lockFolder(ctx context.Context, dir string) (release func(), err error) {
	for end := time.Now().Add(lockPatience); ; {
		release, err := holdFolder(dir)
		switch {
		case err == nil:
			return release, nil
		case !errors.Is(err, errHeld):
			return func() {}, nil
		case time.Now().After(end):
			return nil, fmt.Errorf("another run has been writing to the folder %s for %v; nothing was written", dir, lockPatience)
		}
		select {
		case <-ctx.Done():
			return nil, context.Cause(ctx)
		case <-time.After(lockEvery):
		}
	}
}
