package main

import (
	"context"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"rundown/cmd/internal/parts"
	"rundown/sim/simtest"
	"rundown/sim/study"
)

// inParts makes a command's runs in so many parts, in an order of its own, and in two
// rounds where it has two.
func inParts(t *testing.T, dir string, n int, line string) {
	t.Helper()
	rounds := 1
	if strings.HasPrefix(line, "drivers") && !strings.Contains(line, "--sweep") {
		rounds = 2
	}
	for round := 1; round <= rounds; round++ {
		for _, k := range rand.New(rand.NewPCG(uint64(n), 1)).Perm(n) {
			args := append(strings.Fields(line), "--part", fmt.Sprintf("%d/%d", k+1, n), "--out", dir)
			if round == 2 {
				args = append(args, "--round", "2")
			}
			got := run(t, args...)
			if name := parts.FileName(k+1, n, round); got.code != exitDone || got.stderr != "" || !strings.Contains(got.stdout, name) {
				t.Fatalf("%v: exit %d, %s%s", args, got.code, got.stdout, got.stderr)
			}
		}
	}
}

// partedLines are calls that are made in parts.
var partedLines = []string{
	"forecast plan.yaml --replicates 30",
	"forecast plan.yaml --posterior past.json",
	"compare plan.yaml later.yaml --replicates 30 --seed 7 --afterwards",
	"compare plan.yaml later.yaml --posterior past.json",
	"drilling plan.yaml --every 40d --replicates 10",
	"drilling plan.yaml --every 40d --posterior past.json --season 2028",
	"drivers plan.yaml --replicates 8 --values 1",
	"drivers plan.yaml --replicates 8 --sweep weeds/black-grass/viability=0.5:0.9:0.2",
	"farm fields.csv plan.yaml later.yaml --replicates 20 --seed 3",
	"farm fields.csv plan.yaml --replicates 20",
}

// What join prints and writes is what the command does that makes all runs, to the
// byte: text, JSON and every file, of one part, of two and of seven. All of the calls are a
// stage; always tried are three, in short runs one.
func TestJoinedPartsAreTheWhole(t *testing.T) {
	writingFolder(t)
	shareRuns(t)
	linesAlone(t)
	lines := partedLines
	switch {
	case testing.Short():
		lines = lines[:1]
	case !simtest.InStage("bytes"):
		lines = []string{lines[0], lines[6], lines[9]}
	}
	clear := func() {
		if err := os.RemoveAll("out"); err != nil {
			t.Fatal(err)
		}
	}
	for i, line := range lines {
		clear()
		more := []string{}
		if strings.HasPrefix(line, "forecast") || strings.HasPrefix(line, "farm") {
			more = append(more, "--replicates-csv")
		}
		whole := run(t, append(append(strings.Fields(line), more...), "--out", "out", "--full")...)
		json := run(t, append(strings.Fields(line), "--json")...)
		if whole.code != exitDone || json.code != exitDone {
			t.Fatalf("%s: exit %d, %s", line, whole.code, whole.stderr)
		}
		files := hashes(t, "out")
		for _, n := range []int{1, 2, 7} {
			clear()
			dir := fmt.Sprint("parts", i, "-", n)
			inParts(t, dir, n, line)
			if n == 2 { // a part made again takes its own name
				inParts(t, dir, n, line)
			}
			got := run(t, append([]string{"join", dir, "--out", "out", "--full"}, more...)...)
			if got != whole {
				t.Fatalf("%s, %d parts: exit %d, %s; the text differs", line, n, got.code, got.stderr)
			}
			if joined := hashes(t, "out"); len(files) < 5 || !maps.Equal(joined, files) {
				t.Errorf("%s, %d parts: of %d files some differ", line, n, len(files))
			}
			if got := run(t, "join", dir, "--json", "--jobs", "1"); got != json {
				t.Errorf("%s, %d parts: exit %d, %s; the JSON differs", line, n, got.code, got.stderr)
			}
		}
	}
}

// join makes no runs but those for the crossover of drilling: two dates at seven
// infestations. What it shows are the numbers of the parts.
func TestJoinMakesNoRuns(t *testing.T) {
	inFolder(t, map[string]string{"plan.yaml": smallPlan, "later.yaml": smallPlan, "fields.csv": smallFarm})
	made := 0
	make := makeRuns
	t.Cleanup(func() { makeRuns = make })
	makeRuns = func(r *study.Ready, ctx context.Context, p study.Part) (study.Outcomes, error) {
		made += len(r.Models) * p.Count
		return make(r, ctx, p)
	}
	for line, want := range map[string]int{
		"forecast plan.yaml --replicates 8":                                                0,
		"compare plan.yaml later.yaml --replicates 8":                                      0,
		"drilling plan.yaml --every 40d --replicates 8":                                    2 * 7 * 8,
		"drivers plan.yaml --replicates 8 --values 1":                                      0,
		"farm fields.csv plan.yaml later.yaml --replicates 8":                              0,
		"drivers plan.yaml --replicates 8 --sweep weeds/black-grass/viability=0.5:0.9:0.2": 0,
	} {
		dir := strings.Join(strings.Fields(line)[:1], "") + fmt.Sprint(len(line))
		inParts(t, dir, 2, line)
		made = 0
		whole := run(t, "join", dir, "--json")
		if made != want {
			t.Errorf("%s: join made %d runs, expected %d", line, made, want)
		}
		for _, name := range listing(t, dir) {
			rewrite(t, name, nil, func(x float64) float64 {
				if strings.HasPrefix(line, "drivers") { // on a scale of its own
					return 2*x + 1
				}
				if x > 20 { // a density or money; not a crop's number or a share
					return 2 * x
				}
				return x
			})
		}
		if got := run(t, "join", dir, "--json"); got.code != exitDone || got.stdout == whole.stdout {
			t.Errorf("%s: exit %d, %s: the numbers are not those of the parts", line, got.code, got.stderr)
		}
	}
}

// Of two rounds the second needs the whole of the first, and join both; each says which
// command comes next.
func TestRoundsOfParts(t *testing.T) {
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	const line = "drivers plan.yaml --replicates 8 --values 1"
	part := func(k, round int) result {
		return run(t, strings.Fields(fmt.Sprintf("%s --part %d/2 --round %d --out parts", line, k, round))...)
	}
	const next = "rundown drivers --replicates=8 --values=1 plan.yaml --round 2 --part K/N --out parts"
	if got := part(2, 1); got.code != exitDone || !strings.Contains(got.stdout, next) {
		t.Errorf("exit %d, %s%s", got.code, got.stdout, got.stderr)
	}
	if got := part(1, 2); got.code != exitInput || !strings.Contains(got.stderr, "missing in parts: part 1 of 2") {
		t.Errorf("exit %d, %s", got.code, got.stderr)
	}
	part(1, 1)
	if got := run(t, "join", "parts"); got.code != exitInput || !strings.Contains(got.stderr, "no part of round 2") || !strings.Contains(got.stderr, next) {
		t.Errorf("exit %d, %s", got.code, got.stderr)
	}
	if got := part(2, 2); got.code != exitDone || !strings.Contains(got.stdout, "rundown join parts") {
		t.Errorf("exit %d, %s%s", got.code, got.stdout, got.stderr)
	}
	if got := run(t, "join", "parts"); got.code != exitInput || !strings.Contains(got.stderr, "missing in parts: part 1 of 2") {
		t.Errorf("exit %d, %s", got.code, got.stderr)
	}
}

// Wrong use of --part is told before any run.
func TestWrongParts(t *testing.T) {
	inFolder(t, map[string]string{"plan.yaml": smallPlan, "counts.csv": "", "fields.csv": smallFarm})
	for line, want := range map[string]string{
		"forecast plan.yaml --part 1/2":                              "--part needs --out",
		"forecast plan.yaml --part 0/2 --out parts":                  "expected K/N",
		"forecast plan.yaml --part 3/2 --out parts":                  "expected K/N",
		"forecast plan.yaml --part 1/10001 --out parts":              "at most 10000",
		"forecast plan.yaml --part 1-2 --out parts":                  "expected K/N",
		"forecast plan.yaml --part 1/2 --json --out parts":           "give it to 'rundown join'",
		"forecast - --part 1/2 --out parts":                          "standard input",
		"forecast plan.yaml --part 1/3 --replicates 2 --out parts":   "2 runs cannot be made in 3 parts",
		"farm fields.csv plan.yaml --part 1/8 --out parts":           "7 fields cannot be made in 8 parts",
		"farm fields.csv plan.yaml --part 1/2 --resume --out parts":  "--resume does not go with --part",
		"farm fields.csv plan.yaml --resume":                         "--resume needs --out",
		"update plan.yaml counts.csv --part 1/2":                     "update is not made in parts: it weighs",
		"counts counts.csv --part 1/2":                               "counts is not made in parts",
		"drivers plan.yaml --round 2":                                "--round 2 needs --part",
		"drivers --sweep a=1:2:1 --part 1/2 --round 2 --out parts":   "a sweep has one round",
		"forecast plan.yaml --part 1/2 --replicates-csv --out parts": "give it to 'rundown join'",
	} {
		got := run(t, strings.Fields(line)...)
		if got.code != exitUsage || !strings.Contains(got.stderr, want) || got.stdout != "" {
			t.Errorf("%s: exit %d, %s", line, got.code, got.stderr)
		}
		if names := listing(t, "."); len(names) != 3 {
			t.Errorf("%s: written: %v", line, names)
		}
	}
}

// rewrite changes a part and sums it up anew.
func rewrite(t *testing.T, path string, change func(*parts.Header), number func(float64) float64) {
	t.Helper()
	var numbers []parts.Numbers
	h, err := parts.ReadFile(path, func(h *parts.Header) ([]parts.Numbers, error) {
		for _, b := range h.Blocks {
			numbers = append(numbers, b.Room())
		}
		return numbers, nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, block := range numbers {
		for _, column := range block.Columns {
			for i := range column {
				if number != nil {
					column[i] = number(column[i])
				}
			}
		}
	}
	if change != nil {
		change(h)
	}
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := parts.Write(f, h, numbers); err != nil {
		t.Fatal(err)
	}
}
