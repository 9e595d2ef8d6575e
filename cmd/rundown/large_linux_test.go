package main

import (
	"bytes"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"

	"rundown/sim"
	"rundown/sim/simtest"
)

// 100,000 replicates, and with RUNDOWN_SLOW=1 a million replicate-seasons:
// RUNDOWN_STAGE=large RUNDOWN_SLOW=1 go test ./cmd/rundown -run TestVeryManyReplicates -v -timeout 30m
//
// The run ends well, in memory of at most 10 bytes for each replicate, season and metric
// and 50 MB besides; the time is printed.
func TestVeryManyReplicates(t *testing.T) {
	simtest.Stage(t, "large")
	inFolder(t, map[string]string{"plan.yaml": smallPlan, "six.yaml": smallPlan + "repeat: 3\n"})
	binary := buildProgram(t)
	for _, x := range []struct {
		plan       string
		replicates string
		n          int64 // replicate-seasons
	}{
		{"plan.yaml", "100000", 200_000},
		{"six.yaml", "170000", 1_020_000},
	} {
		if x.n > 200_000 && os.Getenv("RUNDOWN_SLOW") == "" {
			t.Logf("left out, RUNDOWN_SLOW=1 runs it: %s replicates of %s", x.replicates, x.plan)
			continue
		}
		began := time.Now()
		c := exec.Command(binary, "forecast", x.plan, "--replicates", x.replicates, "--out", "out", "--quiet")
		var said bytes.Buffer
		c.Stderr = &said
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		peak := peakMemory(c.Process.Pid)
		if err := c.Wait(); err != nil {
			t.Fatalf("%s replicates of %s: %v\n%s", x.replicates, x.plan, err, said.String())
		}
		taken := <-peak
		const pieces = 12 // of work in a season, at most
		most := x.n*(10*int64(sim.MetricCount)+5*pieces)/1024 + 50*1024
		t.Logf("%s replicates of %s, %d replicate-seasons: %v, processor %v, %d MB (at most %d)", x.replicates, x.plan, x.n, time.Since(began).Round(time.Second),
			(c.ProcessState.UserTime() + c.ProcessState.SystemTime()).Round(time.Second), taken/1024, most/1024)
		if taken > most || taken == 0 {
			t.Errorf("%s replicates: %d kB of memory, at most %d", x.replicates, taken, most)
		}
		if names := strings.Join(listing(t, "out"), " "); !strings.Contains(names, "forecast.json") || strings.Contains(names, ".part") {
			t.Errorf("written: %s", names)
		}
	}
}

// A million rotations, with RUNDOWN_SLOW=1:
// RUNDOWN_STAGE=large RUNDOWN_SLOW=1 go test ./cmd/rundown -run TestAMillionRotations -v -timeout 30m
//
// The search says that it was not exhaustive, and takes at most 50 MB more than that of 729: its memory is
// flat in the number of rotations. The time is printed; on two cores under ten minutes is wanted.
func TestAMillionRotations(t *testing.T) {
	simtest.Stage(t, "large")
	if os.Getenv("RUNDOWN_SLOW") == "" {
		t.Skip("RUNDOWN_SLOW=1 runs it")
	}
	million, err := os.ReadFile("../../testdata/menus/large/million.yaml")
	if err != nil {
		t.Fatal(err)
	}
	inFolder(t, map[string]string{"few.yaml": menuOf729, "million.yaml": string(million)})
	binary := buildProgram(t)
	taken := map[string]int64{}
	for _, menu := range []string{"few.yaml", "million.yaml"} {
		began := time.Now()
		c := exec.Command(binary, "search", menu, "--jobs", "2", "--json", "--quiet")
		var found, said bytes.Buffer
		c.Stdout, c.Stderr = &found, &said
		if err := c.Start(); err != nil {
			t.Fatal(err)
		}
		peak := peakMemory(c.Process.Pid)
		if err := c.Wait(); err != nil {
			t.Fatalf("%s: %v\n%s", menu, err, said.String())
		}
		taken[menu] = <-peak
		t.Logf("%s: %v, processor %v, %d MB", menu, time.Since(began).Round(time.Second),
			(c.ProcessState.UserTime() + c.ProcessState.SystemTime()).Round(time.Second), taken[menu]/1024)
		if exhaustive := strings.Contains(found.String(), `"exhaustive": true`); exhaustive != (menu == "few.yaml") {
			t.Errorf("%s: exhaustive %v", menu, exhaustive)
		}
		if warned := strings.Contains(found.String(), "not-exhaustive"); warned != (menu == "million.yaml") {
			t.Errorf("%s: warned %v", menu, warned)
		}
	}
	if taken["million.yaml"] > taken["few.yaml"]+50*1024 || taken["few.yaml"] == 0 {
		t.Errorf("%d MB for a million rotations, %d for 729", taken["million.yaml"]/1024, taken["few.yaml"]/1024)
	}
}

// peakMemory follows a process to its end and gives the most memory that it had, in
// kB. What the system tells of one that has ended counts the memory of the process
// that started it too.
func peakMemory(pid int) <-chan int64 {
	peak := make(chan int64, 1)
	go func() {
		most := int64(0)
		for {
			status, err := os.ReadFile("/proc/" + strconv.Itoa(pid) + "/status")
			_, rest, ok := strings.Cut(string(status), "VmHWM:")
			if err != nil || !ok { // it has ended
				peak <- most
				return
			}
			if n, err := strconv.ParseInt(strings.Fields(rest)[0], 10, 64); err == nil {
				most = max(most, n)
			}
			time.Sleep(5 * time.Millisecond)
		}
	}()
	return peak
}
