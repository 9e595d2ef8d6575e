//go:build linux || darwin || freebsd || netbsd || openbsd

package output

import (
	"syscall"
	"unsafe"
)

// terminalColumns asks the kernel for the width of a terminal; ok is false
// when the descriptor is none.
func terminalColumns(fd uintptr) (columns int, ok bool) {
	var size struct{ rows, columns, x, y uint16 }
	_, _, errno := syscall.Syscall(syscall.SYS_IOCTL, fd, syscall.TIOCGWINSZ, uintptr(unsafe.Pointer(&size)))
	return int(size.columns), errno == 0
}
