package main

import (
	"bytes"
	"context"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"rundown/sim/simtest"
)

var readmeRuns = flag.Bool("readme", false, "also execute, in a fresh copy, every shell command that the README shows")

// readmePages are the pages that show commands, as seen from the top folder.
var readmePages = []string{"README.md", "examples/handbook.md"}

// A console block of the README: commands behind "$ ", each followed by what it prints.
var consoleBlock = regexp.MustCompile("(?ms)^```console\n(.*?)^```$")

// TestReadmeOutput runs every console block of a page, in order and in one
// folder that holds the examples, and compares what the page says with what
// comes out; -update rewrites the page.
func TestReadmeOutput(t *testing.T) {
	if !simtest.Updating(simtest.Documents) {
		simtest.Stage(t, "readme")
	}
	for _, page := range readmePages {
		t.Run(page, func(t *testing.T) { checkConsole(t, page) })
	}
}

func checkConsole(t *testing.T, page string) {
	text, err := os.ReadFile(filepath.Join("../..", page))
	if err != nil {
		t.Fatal(err)
	}
	examples, err := filepath.Abs("../../examples")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	if err := os.CopyFS(filepath.Join(dir, "examples"), os.DirFS(examples)); err != nil {
		t.Fatal(err)
	}
	t.Chdir(dir)
	t.Setenv("COLUMNS", "100")
	now := consoleBlock.ReplaceAllFunc(text, func(block []byte) []byte {
		var b strings.Builder
		b.WriteString("```console\n")
		for _, line := range strings.Split(string(consoleBlock.FindSubmatch(block)[1]), "\n") {
			command, ok := strings.CutPrefix(line, "$ ")
			if !ok {
				continue
			}
			b.WriteString(line + "\n" + console(t, command))
		}
		b.WriteString("```")
		return []byte(b.String())
	})
	t.Chdir(filepath.Dir(examples))
	simtest.Golden(t, simtest.Documents, page, now)
}

// console runs one command of the README and returns what it prints.
func console(t *testing.T, command string) string {
	words := strings.Fields(command)
	if words[0] != "rundown" {
		t.Fatalf("the README runs %q; console blocks run rundown only", command)
	}
	var out, errs bytes.Buffer
	if code := Main(context.Background(), words[1:], strings.NewReader(""), &out, &errs); code != 0 {
		t.Fatalf("%s: exit code %d\n%s", command, code, errs.String())
	}
	return out.String()
}

// TestReadmeCommands executes every command of the README's sh blocks with a
// shell, as a reader would, in a copy of the tree. The tests themselves are not
// run again.
func TestReadmeCommands(t *testing.T) {
	if !*readmeRuns {
		t.Skip("asked for with -readme")
	}
	var text []byte
	for _, page := range readmePages {
		one, err := os.ReadFile(filepath.Join("../..", page))
		if err != nil {
			t.Fatal(err)
		}
		text = append(text, one...)
	}
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	dir := filepath.Join(t.TempDir(), "rundown")
	if out, err := exec.Command("git", "clone", "-q", root, dir).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	for _, m := range regexp.MustCompile("(?ms)^```sh\n(.*?)^```$").FindAllStringSubmatch(string(text), -1) {
		for _, line := range strings.Split(strings.TrimSpace(m[1]), "\n") {
			if strings.HasPrefix(line, "go test ./...") {
				continue // the caller has just done that
			}
			c := exec.Command("sh", "-c", line)
			c.Dir = dir
			out, err := c.CombinedOutput()
			if err != nil {
				t.Fatalf("%s: %v\n%s", line, err, out)
			}
			t.Logf("%s: %d bytes", line, len(out))
		}
	}
}
