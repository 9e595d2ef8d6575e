package main

import (
	"context"
	"crypto/sha256"
	"fmt"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"

	"rundown/sim/study"
)

// made are runs that a command asked for, in its order.
type made struct {
	round    study.Round
	part     study.Part
	outcomes study.Outcomes
}

// shared are the runs of commands that were made for one test and may be taken by another, by what
// they hang on; of the command that is run now its key and how many it has asked for.
var shared struct {
	on     bool
	runs   map[string][]made
	chains map[string]*study.Chain // what counts made of histories
	bytes  int64
	key    string // "": of a command that shares none
	next   int
}

// shareRuns has the commands of a test take runs that were made before for a command of the same
// arguments, but for those that choose what is said, and of the same files: by this test or by
// another that shares. So tests of words, tables and schemas need not make them anew. That the
// same command makes the same runs, whatever the jobs, is what TestSameCommandSameBytes and the
// tests of each command's reproducibility look at: they share none. Nor do farms, which take
// the runs of a field apart, nor what is made of folders: libraries and parts.
func shareRuns(t *testing.T) {
	t.Helper()
	if shared.on {
		return
	}
	make, letIn := makeRuns, letCountsIn
	t.Cleanup(func() { makeRuns, letCountsIn, shared.on = make, letIn, false })
	shared.on = true
	letCountsIn = func(q *study.UpdateRequest, ctx context.Context, jobs int, progress func(float64)) (*study.Chain, error) {
		if chain := shared.chains[shared.key]; chain != nil {
			return chain, nil
		}
		chain, err := letIn(q, ctx, jobs, progress)
		if err == nil && shared.key != "" {
			shared.chains[shared.key] = chain
		}
		return chain, err
	}
	makeRuns = func(r *study.Ready, ctx context.Context, p study.Part) (study.Outcomes, error) {
		if shared.key == "" { // not a command of run
			return make(r, ctx, p)
		}
		p.Progress = nil
		if before := shared.runs[shared.key]; shared.next < len(before) {
			m := before[shared.next]
			if shared.next++; m.round != r.Round || !reflect.DeepEqual(m.part, p) {
				t.Errorf("runs asked for the second time are not those of the first: %v %+v, then %v %+v", m.round, m.part, r.Round, p)
			}
			return m.outcomes, nil
		}
		outcomes, err := make(r, ctx, p)
		if err == nil {
			shared.runs[shared.key] = append(shared.runs[shared.key], made{r.Round, p, outcomes})
			shared.next++
			shared.bytes += r.ReplicateBytes() * int64(p.Count)
		}
		return outcomes, err
	}
}

// beginShared says whose runs are asked for next. The whole is forgotten before it takes too much memory.
func beginShared(t *testing.T, args []string) {
	t.Helper()
	if !shared.on {
		return
	}
	if shared.runs == nil || shared.bytes > 64<<20 {
		shared.runs, shared.chains, shared.bytes = map[string][]made{}, map[string]*study.Chain{}, 0
	}
	if shared.key, shared.next = "", 0; len(args) == 0 || args[0] == "farm" || args[0] == "join" || slices.Contains(args, "--library") {
		return
	}
	sum := sha256.New()
	for i := 0; i < len(args); i++ {
		switch {
		case slices.Contains([]string{"--json", "--full", "--brief", "--quiet", "--replicates-csv"}, args[i]):
		case args[i] == "--out" || args[i] == "--posterior" && args[0] == "update": // where to, not what of
			i++
		case strings.Contains(args[i], "/") && isFile(args[i]):
			return
		default:
			fmt.Fprintf(sum, "%q ", args[i])
		}
	}
	here, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	if dir, err := os.Getwd(); err != nil || !strings.HasPrefix(dir, os.TempDir()) {
		t.Fatalf("runs are shared outside a folder of the test's own: %s, %v", dir, err)
	}
	read, alone := map[string]bool{}, true
	var add func(name string)
	add = func(name string) { // and what it names beside it
		if read[name] {
			return
		}
		read[name] = true
		text := content(t, name)
		alone = alone && !strings.Contains(text, "library:")
		fmt.Fprintf(sum, "%q %q ", name, text)
		for _, other := range here {
			if other.Type().IsRegular() && strings.Contains(text, other.Name()) {
				add(other.Name())
			}
		}
	}
	for _, other := range here {
		if other.Type().IsRegular() && slices.Contains(args, other.Name()) {
			add(other.Name())
		}
	}
	if alone {
		shared.key = string(sum.Sum(nil))
	}
}

func isFile(path string) bool {
	_, err := os.Stat(path)
	return err == nil
}
