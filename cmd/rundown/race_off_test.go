//go:build !race

package main

// instrumented is false in the build that people use.
const instrumented = false
