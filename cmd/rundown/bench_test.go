package main

import (
	"context"
	"io"
	"os/exec"
	"strings"
	"testing"
)

// BenchmarkProcess is the whole program, start to exit: start-up by library and
// check, and the default forecast of the starter plan, whose time is also given
// per replicate-season.
func BenchmarkProcess(b *testing.B) {
	binary, dir := buildProgram(b), b.TempDir()
	if code := Main(context.Background(), []string{"new", dir + "/plan.yaml", "--plain"}, strings.NewReader(""), io.Discard, io.Discard); code != exitDone {
		b.Fatalf("exit %d", code)
	}
	for _, x := range []struct {
		name, args string
		runs       int // replicate-seasons
	}{
		{"version", "version", 0},
		{"library", "library", 0},
		{"check", "check plan.yaml", 0},
		{"forecast", "forecast plan.yaml --json", 2000 * 6},
		{"forecast-out", "forecast plan.yaml --out out --quiet", 2000 * 6},
	} {
		b.Run(x.name, func(b *testing.B) {
			for b.Loop() {
				c := exec.Command(binary, strings.Fields(x.args)...)
				c.Dir = dir
				if out, err := c.CombinedOutput(); err != nil {
					b.Fatalf("%v\n%s", err, out)
				}
			}
			if x.runs > 0 {
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(x.runs), "ns/season")
			}
		})
	}
}
