package main

import (
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"rundown/cmd/internal/parts"
)

// spoiling makes of five good parts some that cannot be joined.
type spoiling struct {
	spoil func(*testing.T)
	want  []string // on standard error
}

const spoiltLine = "forecast plan.yaml --replicates 10"

func fifth(k int) string { return filepath.Join("parts", parts.FileName(k, 5, 1)) }

func putFile(t *testing.T, path, text string) {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

func removeAll(t *testing.T, paths ...string) {
	t.Helper()
	for _, path := range paths {
		if err := os.RemoveAll(path); err != nil {
			t.Fatal(err)
		}
	}
}

// again makes the second part by another call.
func again(line string) func(*testing.T) {
	return func(t *testing.T) {
		if got := run(t, strings.Fields(line+" --part 2/5 --out parts")...); got.code != exitDone {
			t.Fatal(got.stderr)
		}
	}
}

// other changes what the second part says of itself.
func other(change func(*parts.Header)) func(*testing.T) {
	return func(t *testing.T) { rewrite(t, fifth(2), change, nil) }
}

// foreign are parts of other results.
var foreign = map[string]spoiling{
	"seed":         {again(spoiltLine + " --seed 2"), []string{fifth(2) + " does not belong", "--seed=2, not --seed=1"}},
	"plan":         {again("forecast other.yaml --replicates 10"), []string{"other.yaml, not plan.yaml"}},
	"library":      {again(spoiltLine + " --library own"), []string{"--library=own, not --library="}},
	"command":      {again("drilling plan.yaml --every 40d --replicates 10"), []string{"drilling, not forecast"}},
	"replicates":   {again("forecast plan.yaml --replicates 11"), []string{"--replicates=11, not --replicates=10"}},
	"program":      {other(func(h *parts.Header) { h.Program.Version = "v0.1.0" }), []string{fifth(2), "another program made it: v0.1.0"}},
	"binary":       {other(func(h *parts.Header) { h.Program.SHA256 = "1234" }), []string{fifth(2), "another program made it: devel"}},
	"machine":      {other(func(h *parts.Header) { h.Machine.Arch = "abacus" }), []string{"another arithmetic, on linux/abacus"}},
	"digits":       {other(func(h *parts.Header) { h.Blocks[0].Run0 = "1234" }), []string{"the same run gave other digits"}},
	"changed plan": {other(func(h *parts.Header) { h.From[0].SHA256 = "1234" }), []string{fifth(2), "made from the plan plan.yaml (sha256 1234…)"}},
	"every one of them": {func(t *testing.T) {
		for k := 1; k <= 5; k++ {
			rewrite(t, fifth(k), func(h *parts.Header) { h.Program.SHA256 = "1234" }, nil)
		}
	}, []string{"cannot be joined by this program here"}},
	"plan on the disk":    {func(t *testing.T) { putFile(t, "plan.yaml", smallPlan+"# later\n") }, []string{"files have changed since", "plan.yaml"}},
	"no plan on the disk": {func(t *testing.T) { removeAll(t, "plan.yaml") }, []string{"plan.yaml: there is no such file", "where the parts were made"}},
}

// broken are parts that are not there, not whole or there twice.
var broken = map[string]spoiling{
	"missing": {func(t *testing.T) { removeAll(t, fifth(2), fifth(4), fifth(5)) }, []string{"missing in parts: parts 2, 4 to 5 of 5"}},
	"version": {func(t *testing.T) {
		putFile(t, fifth(2), strings.Replace(content(t, fifth(2)), "rundown part 1\n", "rundown part 2\n", 1))
	}, []string{fifth(2) + " cannot be joined", `version "2"`}},
	"name": {func(t *testing.T) {
		if err := os.Rename(fifth(2), filepath.Join("parts", "round-2-part-2-of-5.rundown")); err != nil {
			t.Fatal(err)
		}
	}, []string{"missing in parts: part 2 of 5"}},
	"ended while it was written": {func(t *testing.T) { // what a run leaves that is killed
		const hidden = "parts/.rundown-12345678.part"
		if err := os.Mkdir(hidden, 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.Rename(fifth(4), filepath.Join(hidden, filepath.Base(fifth(4)))); err != nil {
			t.Fatal(err)
		}
	}, []string{"missing in parts: part 4 of 5"}},
	"no part": {func(t *testing.T) {
		for k := 1; k <= 5; k++ {
			removeAll(t, fifth(k))
		}
	}, []string{"there is no part of round 1"}},
	"all at once": {func(t *testing.T) {
		putFile(t, filepath.Join("parts", "copy.rundown"), content(t, fifth(1)))
		putFile(t, fifth(3), content(t, fifth(3))[:2000])
		putFile(t, filepath.Join("parts", "note.rundown"), "not a part\n")
		removeAll(t, fifth(5))
		again(spoiltLine + " --seed 3")(t)
	}, []string{"part 1 is there twice: " + fifth(1) + " and parts/copy.rundown", fifth(3) + " cannot be joined: it is torn",
		"parts/note.rundown cannot be joined: it is no part", fifth(2) + " does not belong", "parts 2, 5 of 5"}},
}

// What cannot be joined is named, all of it at once, and nothing is written.
func TestJoinRefuses(t *testing.T) {
	inFull(t)
	for _, all := range []map[string]spoiling{foreign, broken} {
		for why, c := range all {
			t.Run(why, func(t *testing.T) { refused(t, c) })
		}
	}
}

func refused(t *testing.T, c spoiling) {
	inFolder(t, map[string]string{"plan.yaml": smallPlan, "other.yaml": smallPlan})
	if err := os.MkdirAll("own/weeds", 0o755); err != nil {
		t.Fatal(err)
	}
	putFile(t, "own/weeds/black-grass.yaml", "name: black-grass\nvalues:\n  viability: {value: 0.7, spread: fixed, grade: assumed, source: invented}\n")
	inParts(t, "parts", 5, spoiltLine)
	c.spoil(t)
	before := listing(t, ".")
	got := run(t, "join", "parts", "--out", "out")
	if got.code != exitInput || got.stdout != "" {
		t.Errorf("exit %d, %q", got.code, got.stdout)
	}
	for _, want := range c.want {
		if !strings.Contains(got.stderr, want) {
			t.Errorf("it does not say %q:\n%s", want, got.stderr)
		}
	}
	if after := listing(t, "."); strings.Join(after, " ") != strings.Join(before, " ") {
		t.Errorf("written: %v", after)
	}
}

func content(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// A part that was made with other arithmetic is refused: here multiplication and
// addition in one step are taken from the processor, as a machine of another type may.
func TestJoinRefusesOtherArithmetic(t *testing.T) {
	if runtime.GOARCH != "amd64" {
		t.Skip("elsewhere it cannot be taken away")
	}
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	inParts(t, "parts", 3, "forecast plan.yaml --replicates 20")
	c := child(t, "none", strings.Fields("forecast plan.yaml --replicates 20 --part 2/3 --out parts --quiet")...)
	c.Env = append(c.Env, "GODEBUG=cpu.fma=off")
	if out, err := c.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	const want = "part-2-of-3.rundown does not belong to the other parts: it was made with another arithmetic, on "
	got := run(t, "join", "parts", "--out", "out")
	if got.code != exitInput || !strings.Contains(got.stderr, want) {
		t.Errorf("exit %d, %s", got.code, got.stderr)
	}
}

// Parts of a farm that cannot be joined are named, and so is a table that has changed.
func TestJoinOfAFarmRefuses(t *testing.T) {
	inFull(t)
	const line = "farm fields.csv plan.yaml --replicates 8"
	third := func(k int) string { return filepath.Join("parts", parts.FileName(k, 3, 1)) }
	for why, c := range map[string]spoiling{
		"missing": {func(t *testing.T) { removeAll(t, third(2)) }, []string{"missing in parts: part 2 of 3"}},
		"torn":    {func(t *testing.T) { putFile(t, third(2), content(t, third(2))[:2600]) }, []string{third(2) + " cannot be joined: it is torn"}},
		"digits":  {func(t *testing.T) { rewrite(t, third(2), func(h *parts.Header) { h.Run0 = "1234" }, nil) }, []string{"the same run gave other digits"}},
		"of another table": {func(t *testing.T) {
			putFile(t, "fields.csv", strings.Replace(smallFarm, "Mill Bank,3", "Mill Bank,4", 1))
			if got := run(t, strings.Fields(line+" --part 2/3 --out parts")...); got.code != exitDone {
				t.Fatal(got.stderr)
			}
		}, []string{third(2) + " does not belong", "made from the file fields.csv"}},
		"changed since": {func(t *testing.T) {
			putFile(t, "fields.csv", strings.Replace(smallFarm, "Mill Bank,3", "Mill Bank,4", 1))
		}, []string{"files have changed since", "fields.csv"}},
		"fewer fields": {func(t *testing.T) {
			if got := run(t, append(strings.Fields(line+" --part 1/1 --out parts"), "--field", "Mill Bank")...); got.code != exitDone {
				t.Fatal(got.stderr)
			}
		}, []string{"does not belong to the other parts: it is one of 1 parts, not of 3"}},
	} {
		t.Run(why, func(t *testing.T) {
			inFolder(t, map[string]string{"plan.yaml": smallPlan, "fields.csv": smallFarm})
			inParts(t, "parts", 3, line)
			c.spoil(t)
			before := listing(t, ".")
			got := run(t, "join", "parts", "--out", "out")
			if got.code != exitInput || got.stdout != "" {
				t.Errorf("exit %d, %q", got.code, got.stdout)
			}
			for _, want := range c.want {
				if !strings.Contains(got.stderr, want) {
					t.Errorf("it does not say %q:\n%s", want, got.stderr)
				}
			}
			if after := listing(t, "."); strings.Join(after, " ") != strings.Join(before, " ") {
				t.Errorf("written: %v", after)
			}
		})
	}
}
