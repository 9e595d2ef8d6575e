package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// spent is the processor time in seconds and the most memory in MB that a call takes.
func spent(b *testing.B, binary, dir, args string) (seconds, mb float64) {
	b.Helper()
	c := exec.Command(binary, strings.Fields(args)...)
	c.Dir = dir
	if out, err := c.CombinedOutput(); err != nil {
		b.Fatalf("%s: %v\n%s", args, err, out)
	}
	s := c.ProcessState
	return (s.UserTime() + s.SystemTime()).Seconds(), float64(s.SysUsage().(*syscall.Rusage).Maxrss) / 1024
}

// BenchmarkParts is a forecast of 6,000 runs in parts: their processor time, less what each
// takes to begin, over that of the same runs on one machine, less the time of joining, which
// makes the same report (at most 1.1 is wanted); and the time of joining and its memory
// over that of one machine.
func BenchmarkParts(b *testing.B) {
	binary, dir := buildProgram(b), b.TempDir()
	for name, text := range examplesFor(b, "early-wheat.yaml") {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			b.Fatal(err)
		}
	}
	const call = "forecast early-wheat.yaml --jobs 1 --quiet"
	runs := " --replicates 6000"
	if testing.Short() { // that it runs
		runs = " --replicates 200"
	}
	for _, n := range []int{2, 7, 64} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			var one, all, begin, join, oneMB, joinMB float64
			for b.Loop() {
				seconds, mb := spent(b, binary, dir, call+runs+" --out one")
				one, oneMB = one+seconds, max(oneMB, mb)
				least, _ := spent(b, binary, dir, call+" --replicates 1 --part 1/1 --out begin")
				begin += least
				for k := 1; k <= n; k++ {
					seconds, _ := spent(b, binary, dir, fmt.Sprintf("%s --part %d/%d --out parts-%d", call+runs, k, n, n))
					all += seconds
				}
				seconds, mb = spent(b, binary, dir, fmt.Sprintf("join parts-%d --quiet --out joined", n))
				join, joinMB = join+seconds, max(joinMB, mb)
			}
			b.ReportMetric((all-float64(n)*begin)/(one-join), "parts/one")
			b.ReportMetric(begin/float64(b.N), "s-to-begin")
			b.ReportMetric(join/float64(b.N), "s-to-join")
			b.ReportMetric(joinMB/oneMB, "MB-join/one")
		})
	}
}

// menuOf729 are three choices in each of six years.
const menuOf729 = `field: {name: Far Piece, area_ha: 9, soil: silty-clay-loam, climate: east-lowland}
weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 60}
years: 6
menu:
  early wheat: {crop: winter-wheat, drill: {date: 25 Sep}}
  late wheat: {crop: winter-wheat, spray_off: [{days_before_drilling: 2}], drill: {date: 14 Oct}, otherwise: spring-barley}
  cover and barley: {crop: spring-barley, cover: {mix: mustard, days_after_harvest: 14, destroy: 25 Jan}}
`

// BenchmarkSearch is a search of 729 rotations of six years, with the runs on fresh luck, against
// one forecast of six years at as many replicates as it tells them of: processor time over that of the forecast
// (at most 60 is wanted; each rotation alone would take 729).
func BenchmarkSearch(b *testing.B) {
	binary, dir := buildProgram(b), b.TempDir()
	menu, few := menuOf729, ""
	if testing.Short() { // that it runs
		menu, few = strings.Replace(menu, "years: 6", "years: 2", 1), " --replicates 50"
	}
	if err := os.WriteFile(filepath.Join(dir, "menu.yaml"), []byte(menu), 0o644); err != nil {
		b.Fatal(err)
	}
	var search, forecast, most float64
	for b.Loop() {
		seconds, mb := spent(b, binary, dir, "search menu.yaml --jobs 1 --quiet --brief --out out"+few)
		search, most = search+seconds, max(most, mb)
		seconds, _ = spent(b, binary, dir, "forecast out/front-1.yaml --jobs 1 --quiet --brief"+few)
		forecast += seconds
	}
	b.ReportMetric(search/forecast, "search/forecast")
	b.ReportMetric(most, "MB")
}
