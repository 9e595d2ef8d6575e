package output

import (
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"time"
)

// waiting is a hidden folder in which files wait for their names. Its owner holds a
// lock in it as long as it lives, so that another run can tell what was left by one
// that was killed.
type waiting struct {
	dir  string
	held func()
}

// lockName is the file that the owner of a hidden folder holds.
const lockName = ".alive"

var (
	waitingForm = regexp.MustCompile(`^\.rundown-[0-9a-f]{8}\.part$`)
	earlierForm = regexp.MustCompile(`^\..+\.[0-9a-f]{8}\.part$`) // files that versions before left
)

// graceTime is how old a hidden folder without a lock is before it is taken for
// one that was left: its owner may just be making it, or the file system has none.
const graceTime = 24 * time.Hour

func openWaiting(in string) (*waiting, error) {
	for try := 0; ; try++ {
		dir := filepath.Join(in, fmt.Sprintf(".rundown-%08x.part", rand.Uint32()))
		err := os.Mkdir(dir, 0o777)
		if errors.Is(err, fs.ErrExist) {
			continue
		}
		if err != nil {
			return nil, err
		}
		held, err := holdFile(filepath.Join(dir, lockName))
		switch {
		case err == nil:
			return &waiting{dir, held}, nil
		case errors.Is(err, errNoLocks):
			return &waiting{dir, func() {}}, nil
		case !errors.Is(err, errHeld) || try == 20: // by a run that sweeps and has taken it for one that was left
			_ = os.RemoveAll(dir)
			return nil, err
		}
	}
}

func (w *waiting) path(name string) string { return filepath.Join(w.dir, name) }

func (w *waiting) remove() {
	_ = os.RemoveAll(w.dir)
	w.held()
	_ = os.RemoveAll(w.dir) // some systems keep what is held; and what cannot be removed, the next run sweeps
}

// sweep removes what runs that were killed left in a folder, and nothing of runs
// that are alive.
func sweep(dir string) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return
	}
	for _, e := range entries {
		path := filepath.Join(dir, e.Name())
		switch info, err := e.Info(); {
		case err != nil:
		case e.IsDir() && waitingForm.MatchString(e.Name()):
			sweepWaiting(path, time.Since(info.ModTime()) > graceTime)
		case info.Mode().IsRegular() && earlierForm.MatchString(e.Name()) && time.Since(info.ModTime()) > graceTime:
			_ = os.Remove(path)
		}
	}
}

// sweepWaiting removes a hidden folder that nobody holds; where that cannot be told,
// an aged one.
func sweepWaiting(dir string, aged bool) {
	lock := filepath.Join(dir, lockName)
	if _, err := os.Stat(lock); err != nil {
		if aged {
			_ = os.RemoveAll(dir)
		}
		return
	}
	release, err := holdFile(lock)
	if err == nil {
		defer release()
	}
	if err == nil || errors.Is(err, errNoLocks) && aged {
		_ = os.RemoveAll(dir)
	}
}

// What keeps a lock from being had.
var (
	errHeld    = errors.New("another run holds it")
	errNoLocks = errors.New("the file system knows no locks")
)
