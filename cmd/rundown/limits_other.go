//go:build !linux && !darwin

package main

// limited tells which limit of the shell the program cannot run under; "" none.
func limited() string { return "" }

// addresses is how many bytes results may take beside the program itself under the
// limit of the shell.
func addresses() int64 { return 1 << 60 }
