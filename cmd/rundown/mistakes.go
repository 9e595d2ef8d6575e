package main

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"unicode/utf8"

	"rundown/cmd/internal/output"
	"rundown/params/sheet"
)

// showMistakes prints one mistake per line; on a terminal each is followed by
// the line of the source and a caret under the place.
func (env *environment) showMistakes(e *planMistakes) {
	if !env.err.Interactive {
		_, _ = fmt.Fprintln(env.stderr, e.mistakes.Error())
		return
	}
	for _, m := range e.mistakes.Folded() {
		_, _ = fmt.Fprintf(env.stderr, "%s: %s\n", env.err.Bold(m.Place.String()), m.Text)
		if s := snippet(e.source(m.Place.File), m.Place); s != "" {
			_, _ = fmt.Fprint(env.stderr, s)
		}
	}
}

// source is the text of a file that mistakes were found in.
func (e *planMistakes) source(file string) []byte {
	if b, ok := e.sources[file]; ok {
		return b
	}
	// For display only: nothing is shown of what cannot be read, or not twice.
	if info, err := os.Stat(file); err != nil || !info.Mode().IsRegular() {
		return nil
	}
	b, err := readFile(file, sheet.MaxCSVBytes)
	if err != nil {
		return nil
	}
	return b
}

// snippet is the source line at a place and a caret under its column.
func snippet(source []byte, p sheet.Place) string {
	lines := bytes.Split(source, []byte("\n"))
	if p.Line < 1 || p.Line > len(lines) || len(source) == 0 {
		return ""
	}
	line := strings.TrimRight(string(lines[p.Line-1]), "\r")
	if strings.TrimSpace(line) == "" || !utf8.ValidString(line) {
		return ""
	}
	number := fmt.Sprintf("%5d", p.Line)
	shown := number + " | " + printable(line) + "\n"
	if p.Column < 1 {
		return shown
	}
	// Columns count runes; tabs are shown as one space, so the caret lines up.
	runes := []rune(line)
	start := min(p.Column-1, len(runes))
	end := start
	for end < len(runes) && !strings.ContainsRune(",:}]#", runes[end]) {
		end++
	}
	length := max(1, len([]rune(strings.TrimRight(string(runes[start:end]), " \t"))))
	return shown + strings.Repeat(" ", len(number)) + " | " + strings.Repeat(" ", start) + "^" + strings.Repeat("~", length-1) + "\n"
}

// printable keeps control characters of a file from reaching the terminal.
func printable(s string) string { return output.Visible(s) }

// harmless is printable for a text of several lines.
func harmless(s string) string {
	lines := strings.Split(s, "\n")
	for i, l := range lines {
		lines[i] = printable(l)
	}
	return strings.Join(lines, "\n")
}
