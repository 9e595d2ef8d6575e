//go:build race

package main

// instrumented: the race detector slows the program about tenfold, so its clock says nothing of the program.
const instrumented = true
