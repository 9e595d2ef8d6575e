package output

import (
	"errors"
	"path/filepath"
	"syscall"
)

// deleteOnClose and sharingViolation are FILE_FLAG_DELETE_ON_CLOSE and
// ERROR_SHARING_VIOLATION of the Windows API.
const (
	deleteOnClose    = 0x04000000
	sharingViolation = syscall.Errno(32)
)

// holdFolder holds a file in a folder, which goes with the one that holds it.
func holdFolder(dir string) (release func(), err error) {
	return holdFile(filepath.Join(dir, ".rundown.lock"))
}

// holdFile makes a file that nobody else can open; it goes when it is let go, also
// when its process is killed.
func holdFile(path string) (release func(), err error) {
	name, err := syscall.UTF16PtrFromString(path)
	if err != nil {
		return nil, err
	}
	h, err := syscall.CreateFile(name, syscall.GENERIC_READ|syscall.GENERIC_WRITE, 0, nil, syscall.OPEN_ALWAYS, syscall.FILE_ATTRIBUTE_NORMAL|deleteOnClose, 0)
	switch {
	case err == nil:
		return func() { _ = syscall.CloseHandle(h) }, nil
	case errors.Is(err, sharingViolation), errors.Is(err, syscall.ERROR_ACCESS_DENIED):
		return nil, errHeld
	}
	return nil, err
}
