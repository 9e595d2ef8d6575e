package main

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"time"

	"rundown/sim/simtest"
)

// RUNDOWN_STAGE=kill go test ./cmd/rundown -run TestKill -kills 50
var kills = flag.Int("kills", 3, "how often TestKill ends the program while it writes")

// A killing is a command that is ended while it writes, and the whole folders
// that it writes when it is not: once before, and once anew with another seed.
type killing struct {
	command   string
	args      []string // without what makes the files differ
	vary      string   // that, before the number of a run; "": the seed
	old, anew map[string][sha256.Size]byte
	spent     time.Duration // by a whole run
}

// Ended at a random moment by SIGINT, SIGTERM, SIGHUP or SIGKILL, the program leaves
// every file either the old one or the new one, whole; what is not its own stays. A
// run that says that it was interrupted has written nothing, one that ended well
// everything, a folder with the command's JSON has the files of one run only, and after a signal that can be heard no temporary file stays. The
// moments are of a fixed seed, the machine's timing is not.
func TestKill(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("a process cannot be sent these signals there")
	}
	simtest.Stage(t, "kill")
	updateFolder(t)
	putFile(t, "fields.csv", smallFarm)
	binary := buildProgram(t)
	all := []*killing{
		{command: "forecast", args: strings.Fields("forecast plan.yaml --replicates 40 --out out")},
		{command: "compare", args: strings.Fields("compare plan.yaml later.yaml --replicates 40 --out out")},
		{command: "update", args: strings.Fields("update plan.yaml counts.csv --replicates 40 --out out --posterior out/posterior.json")},
		{command: "counts", args: strings.Fields("counts counts.csv --out out"), vary: "--level=0.8"},
		{command: "drivers", args: strings.Fields("drivers plan.yaml --replicates 8 --values 1 --out out")},
		{command: "farm", args: strings.Fields("farm fields.csv plan.yaml later.yaml --replicates 10 --out out --resume")},
		{command: "drilling", args: strings.Fields("drilling plan.yaml --every 40d --replicates 10 --out out")},
	}
	all = all[:min(len(all), *kills)]
	for _, k := range all {
		k.old, _ = k.whole(t, binary, 1)
		k.anew, k.spent = k.whole(t, binary, 2)
	}
	rng := rand.New(rand.NewPCG(9, 9))
	seen := map[string]int{}
	for i := range *kills {
		k := all[i%len(all)]
		signal := []os.Signal{os.Interrupt, syscall.SIGTERM, syscall.SIGHUP, syscall.SIGKILL}[rng.IntN(4)]
		after := time.Duration(rng.Float64() * 1.1 * float64(k.spent))
		seen[k.endOnce(t, binary, signal, after)]++
	}
	for _, k := range all {
		t.Logf("a whole %s takes %v and writes %d files", k.command, k.spent.Round(time.Millisecond), len(k.anew))
	}
	t.Logf("of %d runs: %v", *kills, seen)
}

// buildProgram builds the program itself, for runs that must not be those of the
// test binary.
func buildProgram(t testing.TB, with ...string) string {
	t.Helper()
	binary := filepath.Join(t.TempDir(), "rundown")
	_, here, _, _ := runtime.Caller(0)
	build := exec.Command("go", "build", "-o", binary, ".")
	build.Dir, build.Env = filepath.Dir(here), append(os.Environ(), with...)
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return binary
}

func (k *killing) start(t *testing.T, binary string, seed int) (*exec.Cmd, *bytes.Buffer) {
	t.Helper()
	c := exec.Command(binary, append(k.args[:len(k.args):len(k.args)], cmp.Or(k.vary, "--seed=")+fmt.Sprint(seed))...)
	said := &bytes.Buffer{}
	c.Stderr = said
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	return c, said
}

// whole runs the command to its end in a fresh folder, which is kept under the
// command's name and seed.
func (k *killing) whole(t *testing.T, binary string, seed int) (map[string][sha256.Size]byte, time.Duration) {
	t.Helper()
	began := time.Now()
	c, said := k.start(t, binary, seed)
	if err := c.Wait(); err != nil {
		t.Fatalf("%v: %v\n%s", k.args, err, said)
	}
	spent := time.Since(began)
	kept := fmt.Sprintf("%s-%d", k.command, seed)
	if err := os.Rename("out", kept); err != nil {
		t.Fatal(err)
	}
	return hashes(t, kept), spent
}

// endOnce ends a run over the old files and looks at what is left. It tells
// what became of it, for the log.
func (k *killing) endOnce(t *testing.T, binary string, signal os.Signal, after time.Duration) string {
	t.Helper()
	theirs := map[string]string{"theirs.txt": "theirs", ".theirs.part": "also theirs"}
	if err := os.RemoveAll("out"); err != nil {
		t.Fatal(err)
	}
	if err := os.CopyFS("out", os.DirFS(k.command+"-1")); err != nil {
		t.Fatal(err)
	}
	for name, text := range theirs {
		if err := os.WriteFile(filepath.Join("out", name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	c, said := k.start(t, binary, 2)
	time.Sleep(after)
	_ = c.Process.Signal(signal) // it may have ended by itself
	_ = c.Wait()                 // the exit code is looked at below
	code := c.ProcessState.ExitCode()
	what := fmt.Sprintf("%s, %v after %v, exit %d, %q", k.command, signal, after, code, said)
	left := hashes(t, "out")
	for name, text := range theirs {
		if left[name] != sha256.Sum256([]byte(text)) {
			t.Errorf("%s: %s, which was there before, is gone or changed", what, name)
		}
		delete(left, name)
	}
	fresh, litter := k.lookAt(t, what, left)
	heard := signal != syscall.SIGKILL
	switch {
	case litter > 0 && heard:
		t.Errorf("%s: %d temporary files left", what, litter)
	case code == exitDone && fresh < k.different():
		t.Errorf("%s: done, but %d of %d files are new", what, fresh, k.different())
	case code != exitDone && fresh > 0 && heard:
		t.Errorf("%s: %d files are new, though it was stopped", what, fresh)
	case code == exitUnfinished && !strings.Contains(said.String(), "interrupted: nothing was written"):
		t.Errorf("%s: it should say that it was interrupted", what)
	case code != exitDone && code != exitUnfinished && code != -1: // −1: by the signal itself
		t.Errorf("%s: an exit code of its own", what)
	}
	switch {
	case code == exitDone:
		return "done before the signal"
	case fresh > 0:
		return "ended between files"
	case litter > 0:
		return "ended while writing"
	case code == exitUnfinished:
		return "interrupted"
	}
	return "ended before writing"
}

// lookAt counts the new files and the temporary ones; any other must be the old
// one, and the command's JSON, which is written last, must not be new before
// the rest is.
func (k *killing) lookAt(t *testing.T, what string, left map[string][sha256.Size]byte) (fresh, litter int) {
	t.Helper()
	for name, h := range left {
		switch {
		case h == k.anew[name] && h != k.old[name]:
			fresh++
		case h == k.old[name]:
		case strings.HasPrefix(name, ".") && strings.HasSuffix(name, ".part"):
			litter++
		default:
			t.Errorf("%s: %s is neither the old file nor the new one", what, name)
		}
	}
	last := k.command + ".json"
	for name := range k.old {
		if _, ok := left[name]; !ok && name != last {
			t.Errorf("%s: %s is gone", what, name)
		}
	}
	_, whole := left[last] // the sign of a whole set
	if posterior := "posterior.json"; whole && left[posterior] == k.anew[posterior] && left[last] != k.anew[last] && k.old[posterior] != k.anew[posterior] {
		fresh-- // a set of its own, which comes first
	}
	if whole && fresh > 0 && fresh < k.different() {
		t.Errorf("%s: %s is there, but %d of %d files are new", what, last, fresh, k.different())
	}
	return fresh, litter
}

// different is the number of files that differ between the two whole runs.
func (k *killing) different() (n int) {
	for name, h := range k.anew {
		if h != k.old[name] {
			n++
		}
	}
	return n
}

// hashes are the contents of a folder's files by name.
func hashes(t *testing.T, dir string) map[string][sha256.Size]byte {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	h := map[string][sha256.Size]byte{}
	for _, e := range entries {
		if e.IsDir() { // a hidden folder of files that wait for their names
			h[e.Name()] = [sha256.Size]byte{}
			continue
		}
		b, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		h[e.Name()] = sha256.Sum256(b)
	}
	return h
}
