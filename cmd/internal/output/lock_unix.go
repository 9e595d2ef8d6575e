//go:build unix && !solaris && !illumos && !aix

package output

import (
	"errors"
	"os"
	"syscall"
)

// holdFolder locks a folder itself.
func holdFolder(dir string) (release func(), err error) {
	f, err := os.Open(dir)
	if err != nil {
		return nil, errNoLocks
	}
	return flock(f)
}

// holdFile makes a file, if it is not there, and locks it.
func holdFile(path string) (release func(), err error) {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o666)
	if err != nil {
		return nil, err
	}
	if release, err = flock(f); err != nil {
		return nil, err
	}
	mine, err := f.Stat()
	there, err2 := os.Stat(path)
	if err != nil || err2 != nil || !os.SameFile(mine, there) { // it was swept before it was locked
		release()
		return nil, errHeld
	}
	return release, nil
}

func flock(f *os.File) (release func(), err error) {
	for {
		err = syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
		if !errors.Is(err, syscall.EINTR) {
			break
		}
	}
	switch {
	case err == nil:
		return func() { _ = f.Close() }, nil // closing lets the lock go
	case errors.Is(err, syscall.EWOULDBLOCK):
		err = errHeld
	default:
		err = errNoLocks
	}
	_ = f.Close()
	return nil, err
}
