package rotations_test

import (
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// What of a message is of the plan and not of the message: what it quotes, numbers,
// dates and names with hyphens, and all after the first colon or semicolon.
var (
	quoted = regexp.MustCompile(`"[^"]*"|\([^)]*\)|[&*<][a-z<]+|\d+ [A-Z][a-z]{2}( \d+)?|-?[\d.]+(-[\d-]+)?|[a-z]+(-[a-z]+)+|\b[A-Z][a-z]+ber\b|\bApril\b`)
	rest   = regexp.MustCompile(`[:;].*`)
)

// Of the messages that a plan can call forth at least 40 differ in kind and
// have two or more files each, so that a message is not fitted to its one example.
func TestMessagesHaveTwoFiles(t *testing.T) {
	seen := map[string]map[string]bool{}
	for _, file := range files(t, "err") {
		name := filepath.Base(file)
		out := strings.TrimSuffix(file, ".yaml") + ".out"
		for line := range strings.Lines(string(contents(t, out))) {
			_, text, _ := strings.Cut(strings.TrimSpace(line), ": ")
			kind := rest.ReplaceAllString(quoted.ReplaceAllString(text, "…"), "")
			if seen[kind] == nil {
				seen[kind] = map[string]bool{}
			}
			seen[kind][name] = true
		}
	}
	twice := 0
	for kind, names := range seen {
		if len(names) > 1 {
			twice++
		} else {
			t.Logf("one file only: %s", kind)
		}
	}
	t.Logf("%d kinds of message, %d of them in two files or more", len(seen), twice)
	if twice < 40 {
		t.Errorf("%d kinds of message have two files or more, expected 40", twice)
	}
}
