//go:build !(linux || darwin || freebsd || netbsd || openbsd)

package output

// terminalColumns treats every stream as a pipe where the system gives no
// plain way to ask.
func terminalColumns(uintptr) (columns int, ok bool) { return 0, false }
