package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"testing"
	"time"

	"rundown/params/date"
	"rundown/sim/simtest"
)

// What a run was made for is there, whole, before anything is printed: output that
// cannot be written costs neither the posterior nor the folder.
func TestOutputFailsAfterTheFiles(t *testing.T) {
	updateFolder(t)
	shareRuns(t)
	for i, args := range []string{"--posterior past.json", "--posterior past.json --out out", "--out out"} {
		var stderr bytes.Buffer
		line := strings.Fields("update plan.yaml counts.csv --replicates 20 " + args)
		code := Main(t.Context(), line, strings.NewReader(""), &brokenWriter{10}, &stderr)
		if code != exitUnfinished || !strings.Contains(stderr.String(), "standard output cannot be written") {
			t.Errorf("%s: exit %d, %q", args, code, stderr.String())
		}
		got := strings.Join(listing(t, "."), " ")
		if strings.Contains(got, ".part") || strings.Contains(got, "past.json") != (i < 2) || strings.Contains(got, "update.json") != (i > 0) {
			t.Errorf("%s: left %s", args, got)
		}
		_ = os.RemoveAll("out")
		_ = os.Remove("past.json")
	}
}

// A pipe that is closed is an error like any other, in a real process.
func TestClosedPipe(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("pipes differ there")
	}
	updateFolder(t)
	c := child(t, "0", "update", "plan.yaml", "counts.csv", "--replicates", "20", "--posterior", "past.json")
	read, write, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	var stderr bytes.Buffer
	c.Stdout, c.Stderr = write, &stderr
	_ = read.Close()
	_ = c.Run() // the exit code is looked at below
	_ = write.Close()
	if c.ProcessState.ExitCode() != exitUnfinished || !strings.Contains(stderr.String(), "standard output cannot be written: broken pipe") {
		t.Errorf("exit %v, %q", c.ProcessState, stderr.String())
	}
	if got := strings.Join(listing(t, "."), " "); !strings.Contains(got, "past.json") || strings.Contains(got, ".part") {
		t.Errorf("left %s", got)
	}
}

// A link in the path does not let one output be written over another, whether the
// folder is there or made in the run, and is refused before any run.
func TestPosteriorThroughALink(t *testing.T) {
	updateFolder(t)
	if err := os.Mkdir("real", 0o777); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("real", "link"); err != nil {
		t.Skipf("no links here: %v", err)
	}
	before := strings.Join(listing(t, "."), " ")
	for _, args := range []string{"--out real/new --posterior link/new/report.html", "--out link/a/b --posterior real/a/b/report.html",
		"--out real --posterior link/update.csv"} {
		got := run(t, strings.Fields("update plan.yaml counts.csv --replicates 50000 "+args)...)
		if got.code != exitUsage || !strings.Contains(got.stderr, "is a file that --out writes too") {
			t.Errorf("%s: exit %d, %q", args, got.code, got.stderr)
		}
		if after := strings.Join(listing(t, "."), " "); after != before {
			t.Errorf("%s: left %s", args, after)
		}
	}
}

// A folder that cannot be written is told before the runs, not after them.
func TestBadOutComesFirst(t *testing.T) {
	inFolder(t, map[string]string{"plan.yaml": smallPlan, "file": "theirs"})
	if err := os.Mkdir("forecast.json", 0o777); err != nil {
		t.Fatal(err)
	}
	for out, want := range map[string]string{"file": "file is a file; a folder was expected", "file/deep": "not a directory", ".": "forecast.json is a folder"} {
		began := time.Now()
		got := run(t, "forecast", "plan.yaml", "--replicates", "300000", "--out", out)
		if got.code != exitUnfinished || !strings.Contains(got.stderr, want) || time.Since(began) > 5*time.Second {
			t.Errorf("--out %s: exit %d after %v, %q", out, got.code, time.Since(began), got.stderr)
		}
	}
}

func TestEmptyName(t *testing.T) {
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	for _, args := range [][]string{{"forecast", ""}, {"drilling", ""}, {"drivers", "", "--replicates", "8"}, {"compare", "plan.yaml", ""}, {"new", ""},
		{"library", ""}, {"check", ""}} {
		if got := run(t, args...); got.code != exitUsage || !strings.Contains(got.stderr, "an empty name was given") {
			t.Errorf("%q: exit %d, %q", args, got.code, got.stderr)
		}
	}
}

// panics is a stream that panics, as a fault of the program would.
type panics struct{}

func (panics) Read([]byte) (int, error)  { var x []int; return x[len(os.Args)+3], nil }
func (panics) Write([]byte) (int, error) { panic("a fault\non two lines") }

// A fault anywhere, beside the main work too, is one line that names the command and
// its plan, and exit code 4.
func TestFaultIsOneLine(t *testing.T) {
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	for _, c := range []struct {
		args   string
		in     io.Reader
		out    io.Writer
		inside string
	}{
		{"forecast - --replicates 20", panics{}, io.Discard, "index out of range"},
		{"check plan.yaml", strings.NewReader(""), panics{}, "a fault"},
	} {
		var stderr bytes.Buffer
		code := Main(t.Context(), strings.Fields(c.args), c.in, c.out, &stderr)
		got := stderr.String()
		if code != exitUnfinished || strings.Count(got, "\n") != 1 || !strings.HasPrefix(got, "rundown: "+c.args+" could not be finished: ") ||
			!strings.Contains(got, c.inside) || !strings.Contains(got, "please report it with the plan") || !strings.Contains(got, "harden_test.go:") {
			t.Errorf("%s: exit %d, %q", c.args, code, got)
		}
	}
}

// Limits of the shell that the Go runtime cannot live with are told in one line.
func TestLimitsOfTheShell(t *testing.T) {
	simtest.Stage(t, "processes")
	if runtime.GOOS != "linux" {
		t.Skip("uses limits of Linux")
	}
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	without := buildProgram(t, "CGO_ENABLED=0") // with C threads a small -v ends the runtime before the program begins
	for limit, want := range map[string]string{"-n 4": "allows 4 open files", "-n 6": "allows 6 open files",
		"-v 1300000": "allows 1269 MiB of addresses", "-v 2300000 -n 20": ""} {
		c := exec.Command("sh", "-c", fmt.Sprintf("ulimit %s; exec %s forecast plan.yaml --replicates 20 --out out",
			strings.Replace(limit, " -n", "; ulimit -n", 1), without))
		said, _ := c.CombinedOutput() // the exit code is looked at below
		if want == "" {
			if c.ProcessState.ExitCode() != exitDone {
				t.Errorf("ulimit %s: %v, %s", limit, c.ProcessState, said)
			}
			continue
		}
		if c.ProcessState.ExitCode() != exitUnfinished || bytes.Count(said, []byte("\n")) != 1 || !strings.Contains(string(said), want) ||
			!strings.Contains(string(said), "plan.yaml") {
			t.Errorf("ulimit %s: %v, %s", limit, c.ProcessState, said)
		}
	}
}

// A day of the weather file that was filled in is said, by check and in the forecast.
func TestFilledDaysAreSaid(t *testing.T) {
	var record strings.Builder
	record.WriteString("date,tmin_c,tmax_c,rain_mm\n")
	for d := date.Of(2024, 1, 1); d < date.Of(2026, 1, 1); d++ {
		if d != date.Of(2024, 5, 7) {
			fmt.Fprintf(&record, "%v,6,13,2\n", d)
		}
	}
	inFolder(t, map[string]string{"w.csv": record.String(), "plan.yaml": strings.Replace(smallPlan, "climate: east-lowland", "weather: w.csv", 1)})
	for _, args := range []string{"check plan.yaml", "forecast plan.yaml --replicates 20"} {
		got := run(t, strings.Fields(args)...)
		if said := strings.Join(strings.Fields(got.stdout), " "); got.code != exitDone ||
			!strings.Contains(said, "In the weather file w.csv, values of one day were missing and were filled in with the mean of the days before and "+
				"after: 7 May 2024.") {
			t.Errorf("%s: exit %d, %s%s", args, got.code, got.stdout, got.stderr)
		}
	}
}

// What a terminal, an editor or a spreadsheet would obey comes through nowhere: not in
// a plan's text or a zone, where it is refused with its place, and not in a file's name.
func TestNothingIsObeyed(t *testing.T) {
	for name, text := range map[string]string{"escape": `Far\e[2J Piece`, "line": `Far\u2028Piece`, "turned": `Far\u202ePiece`, "return": `Far\rPiece`} {
		inFolder(t, map[string]string{"plan.yaml": strings.Replace(smallPlan, "Far Piece", `"`+text+`"`, 1)})
		shareRuns(t)
		for _, args := range []string{"check plan.yaml --full", "forecast plan.yaml --replicates 5"} {
			got := run(t, strings.Fields(args)...)
			if got.code != exitInput || !strings.HasPrefix(got.stderr, `plan.yaml:1:15: the text of "name" `) {
				t.Errorf("%s, %s: exit %d, %q", name, args, got.code, got.stderr)
			}
		}
	}
	inFolder(t, map[string]string{"counts.csv": "date,zone,kind,quadrat_m2,count\n2027-04-12,no\x1b[31mrth,plants,0.25,3\n",
		"latin.csv": "date,zone,kind,quadrat_m2,count\n2027-04-12,n\xf6rdlich,plants,0.25,3\n"})
	for file, want := range map[string]string{"counts.csv": `counts.csv:2:12: the text of "zone" holds U+001B`,
		"latin.csv": `latin.csv:2:12: found a letter that is not UTF-8 in the column "zone"`} {
		if got := run(t, "counts", file); got.code != exitInput || !strings.HasPrefix(got.stderr, want) {
			t.Errorf("%s: exit %d, %q", file, got.code, got.stderr)
		}
	}
	const odd = "=1+1'x\x1b[2J.yaml"
	inFolder(t, map[string]string{odd: smallPlan, "plan.yaml": smallPlan})
	got := run(t, "compare", odd, "plan.yaml", "--replicates", "20", "--out", "out")
	if got.code != exitDone {
		t.Fatalf("exit %d, %s", got.code, got.stderr)
	}
	if strings.ContainsAny(got.stdout, "\x1b\r") {
		t.Errorf("the terminal would obey %q", got.stdout)
	}
	entries, err := os.ReadDir("out")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		b, err := os.ReadFile("out/" + e.Name())
		if err != nil {
			t.Fatal(err)
		}
		if !strings.HasSuffix(e.Name(), ".png") && bytes.ContainsAny(b, "\x1b\r") {
			t.Errorf("%s holds a control character", e.Name())
		}
		if strings.HasSuffix(e.Name(), ".csv") && (bytes.Contains(b, []byte("\n=1")) || bytes.Contains(b, []byte(",=1")) || !bytes.Contains(b, []byte("'=1+1'x"))) {
			t.Errorf("%s has a cell that is a formula:\n%.300s", e.Name(), b)
		}
	}
}

// Slips that looked like plans.
func TestSlipsAreRefused(t *testing.T) {
	inFolder(t, map[string]string{
		"late.yaml": strings.Replace(smallPlan, "2026-08-01", "2200-08-01", 1),
		"thin.yaml": strings.Replace(smallPlan, "crop: winter-wheat", "crop: winter-wheat\n    drill: {date: 1 Oct, seeds_per_m2: 1}", 1),
	})
	for args, want := range map[string]string{
		"check late.yaml":    "late.yaml:2:37: the plan starts on 2200-08-01 and ends in 2202; days are counted to the end of 2200",
		"forecast late.yaml": "late.yaml:2:37: the plan starts on 2200-08-01",
		"check thin.yaml":    "thin.yaml:5:40: winter-wheat is sown at 1 seeds/m²; that is less than a 50th of the usual 350",
	} {
		if got := run(t, strings.Fields(args)...); got.code != exitInput || !strings.HasPrefix(got.stderr, want) {
			t.Errorf("%s: exit %d, %q; want %q", args, got.code, got.stderr, want)
		}
	}
	if err := os.MkdirAll("own/herbicides", 0o777); err != nil {
		t.Fatal(err)
	}
	_, here, _, _ := runtime.Caller(0)
	stack, err := os.ReadFile(filepath.Join(filepath.Dir(here), "..", "..", "params", "herbicides", "autumn-residual-stack.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	five := regexp.MustCompile(`actives: \[(\S+),[^\]]*\]`).ReplaceAll(stack, []byte("actives: [$1, $1, $1, $1, $1]"))
	five = bytes.Replace(five, []byte("autumn-residual-stack"), []byte("five-times"), 1)
	if err := os.WriteFile("own/herbicides/five-times.yaml", five, 0o644); err != nil {
		t.Fatal(err)
	}
	got := run(t, "library", "herbicides", "--library", "own")
	if got.code != exitInput || !strings.Contains(got.stderr, "five-times.yaml:3") || !strings.Contains(got.stderr, "twice under \"actives\"") {
		t.Errorf("one active five times: exit %d, %q", got.code, got.stderr)
	}
}

// interrupting is an output that is interrupted while it is written, and fails.
type interrupting struct{ stop func() }

func (s interrupting) Write([]byte) (int, error) {
	s.stop()
	return 0, errFull
}

// An interruption after the files have their names does not say that there are none.
func TestInterruptedTooLate(t *testing.T) {
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	ctx, stop := context.WithCancel(t.Context())
	var stderr bytes.Buffer
	code := Main(ctx, strings.Fields("forecast plan.yaml --replicates 20 --out out"), strings.NewReader(""), interrupting{stop}, &stderr)
	if code != exitUnfinished || strings.Contains(stderr.String(), "nothing was written") ||
		!strings.Contains(strings.Join(listing(t, "out"), " "), "forecast.json") {
		t.Errorf("exit %d, %q, left %v", code, stderr.String(), listing(t, "."))
	}
}
