package main

import (
	"crypto/sha256"
	"fmt"
	"os"
	"testing"
)

// A test binary carries no commit, so that the sum of its own file stands for it.
func TestExecutableStandsForTheCommit(t *testing.T) {
	path, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if p := identity(); p.Commit != "" || p.Executable() != fmt.Sprintf("%x", sha256.Sum256(text)) {
		t.Errorf("commit %q, executable %q", p.Commit, p.Executable())
	}
}
