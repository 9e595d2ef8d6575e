package main

import (
	"context"
	"fmt"
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
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

// BenchmarkFarm is a farm of forty fields under four plans of six seasons, against forecasts
// of the same plans with as many replicate-seasons in all: how much processor time it takes
// over theirs (at most 1.2 is wanted).
func BenchmarkFarm(b *testing.B) {
	fields, replicates := 40, 50
	if testing.Short() { // that it runs
		fields, replicates = 8, 10
	}
	binary, dir := buildProgram(b), b.TempDir()
	table := "name,area_ha,soil,heads_per_m2\n"
	for i := range fields {
		table += fmt.Sprintf("Piece %d,%d,%s,%d\n", i+1, 3+i%9, []string{"clay", "clay-loam", "silty-clay-loam"}[i%3], 25)
	}
	files := examplesFor(b, "early-wheat.yaml", "late-wheat.yaml", "wheat-and-oats.yaml", "two-springs.yaml")
	plans := slices.Sorted(maps.Keys(files))
	files["fields.csv"] = table
	for name, text := range files {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			b.Fatal(err)
		}
	}
	spent := func(args string) time.Duration {
		c := exec.Command(binary, strings.Fields(args)...)
		c.Dir = dir
		if out, err := c.CombinedOutput(); err != nil {
			b.Fatalf("%v\n%s", err, out)
		}
		return c.ProcessState.UserTime()
	}
	var farm, forecasts time.Duration
	for b.Loop() {
		farm += spent(fmt.Sprintf("farm fields.csv %s --replicates %d --jobs 1 --quiet --brief", strings.Join(plans, " "), replicates))
		for _, plan := range plans {
			forecasts += spent(fmt.Sprintf("forecast %s --replicates %d --jobs 1 --quiet --brief", plan, fields*replicates))
		}
	}
	b.ReportMetric(farm.Seconds()/forecasts.Seconds(), "farm/forecasts")
}
