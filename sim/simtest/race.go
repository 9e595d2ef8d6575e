//go:build race

package simtest

// Racing tells that the race detector looks on, under which all takes some eight times as long.
const Racing = true
