//go:build linux

package main

import (
	"os/signal"
	"strconv"
	"syscall"
)

// limitFileSize makes every file of this process fail beyond so many bytes, as
// on a full disk; "0" sets no limit.
func limitFileSize(bytes string) {
	n, err := strconv.ParseUint(bytes, 10, 64)
	if err != nil || n == 0 {
		return
	}
	signal.Ignore(syscall.SIGXFSZ) // writes then fail with EFBIG
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: n, Max: n}); err != nil {
		panic(err)
	}
}
