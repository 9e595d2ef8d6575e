package main

import (
	"fmt"
	"os"
	"os/exec"
	"strings"
	"testing"
)

// A test binary carries no commit, so that a mark of its own file stands for it: the linker's, as
// Go's own tool reads it.
func TestExecutableStandsForTheCommit(t *testing.T) {
	path, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	want, err := exec.Command("go", "tool", "buildid", path).Output()
	if err != nil {
		t.Skipf("no go tool buildid: %v", err)
	}
	if p := identity(); p.Commit != "" || p.Executable() != "build "+strings.TrimSpace(string(want)) {
		t.Errorf("commit %q, executable %q, want build %s", p.Commit, p.Executable(), want)
	}
}

// The mark is found in files of Linux and of others; what is cut short, of another form or no
// mark at all gives none, so that the file's sum is taken.
func TestLinkersMark(t *testing.T) {
	const mark = "aaaaaaaaaaaaaaaaaaaa/bbbbbbbbbbbbbbbbbbbb/cccccccccccccccccccc/dddddddddddddddddddd"
	elf := func(mark string) string {
		return fmt.Sprintf("\x7fELF....\x04\x00\x00\x00%c\x00\x00\x00\x04\x00\x00\x00Go\x00\x00%s....", rune(len(mark)), mark)
	}
	other := "MZ....\xff Go build ID: \"" + mark + "\"\n \xff...."
	for text, want := range map[string]string{elf(mark): mark, other: mark, elf("mine"): "", elf("a/b/c/d"): "", elf(mark)[:60]: "", other[:60]: "",
		"": "", "\x04\x00\x00\x00Go\x00\x00": ""} {
		if got := linkersMark([]byte(text)); got != want {
			t.Errorf("%q: mark %q, want %q", text, got, want)
		}
	}
}
