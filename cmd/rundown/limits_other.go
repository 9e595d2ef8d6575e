//go:build !linux && !darwin

package main

import (
	"errors"
	"os"
)

// limited tells which limit of the shell the program cannot run under; "" none.
func limited() string { return "" }

// addresses is how many bytes results may take beside the program itself under the
// limit of the shell.
func addresses() int64 { return 1 << 60 }

// inMemory would map a file, which is not done here.
func inMemory(*os.File) ([]byte, error) { return nil, errors.ErrUnsupported }

func free([]byte) {}
