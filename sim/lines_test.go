package sim_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"
)

// longestLine is in characters, a tab one of them. Lines of plans and texts that stand in
// backticks are theirs, not Go's.
const longestLine = 160

// TestLines fails on a line of Go that is too long to be read at once.
func TestLines(t *testing.T) {
	files := 0
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && (d.Name() == "node_modules" || strings.HasPrefix(d.Name(), ".") && path != ".."):
			return filepath.SkipDir
		case filepath.Ext(path) != ".go":
			return nil
		}
		files++
		for _, n := range longLines(t, path) {
			t.Errorf("%s:%d is longer than %d characters", strings.TrimPrefix(filepath.ToSlash(path), "../"), n, longestLine)
		}
		return nil
	})
	if err != nil || files < 500 {
		t.Fatalf("%d files: %v", files, err)
	}
}

// longLines are the numbers of the lines of a file that are too long, but for those that
// are in backticks at their end.
func longLines(t *testing.T, path string) []int {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var long []int
	for i, line := range strings.Split(string(text), "\n") {
		if utf8.RuneCountInString(line) > longestLine {
			long = append(long, i+1)
		}
	}
	if long == nil {
		return nil
	}
	set := token.NewFileSet()
	f, err := parser.ParseFile(set, path, text, parser.SkipObjectResolution)
	if err != nil {
		t.Fatal(err)
	}
	ast.Inspect(f, func(n ast.Node) bool {
		if s, ok := n.(*ast.BasicLit); ok && s.Kind == token.STRING && s.Value[0] == '`' {
			first, last := set.Position(s.Pos()).Line, set.Position(s.End()).Line
			long = slices.DeleteFunc(long, func(n int) bool { return n >= first && n <= last })
		}
		return true
	})
	return long
}
