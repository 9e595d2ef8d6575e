//go:build linux || darwin

package main

import (
	"fmt"
	"syscall"
)

// What the program needs of the shell's limits: below these the Go runtime, which
// reserves addresses ahead and keeps files of its own, ends the process where
// nothing can be caught (measured on linux/amd64: 7 files; 1,530 MiB without C threads, 1,950 with).
const (
	fewestFiles   = 12
	fewestAddress = 2 << 30 // bytes
)

// limited tells which limit of the shell the program cannot run under; "" none.
func limited() string {
	var r syscall.Rlimit
	if err := syscall.Getrlimit(syscall.RLIMIT_NOFILE, &r); err == nil && r.Cur < fewestFiles {
		return fmt.Sprintf("this shell allows %d open files, and at least %d are needed; allow more with 'ulimit -n'", r.Cur, fewestFiles)
	}
	if err := syscall.Getrlimit(syscall.RLIMIT_AS, &r); err == nil && r.Cur < fewestAddress {
		return fmt.Sprintf("this shell allows %d MiB of addresses, and at least %d are needed; allow more with 'ulimit -v'", r.Cur>>20, fewestAddress>>20)
	}
	return ""
}

// addresses is how many bytes results may take beside the program itself under the
// limit of the shell.
func addresses() int64 {
	var r syscall.Rlimit
	if err := syscall.Getrlimit(syscall.RLIMIT_AS, &r); err != nil || r.Cur > 1<<60 {
		return 1 << 60
	}
	return int64(r.Cur) - fewestAddress
}
