package sim_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strings"
	"testing"
)

// What a reader holds in the head at once.
const (
	longestFile     = 400 // lines
	longestFunction = 60
	longestTest     = 90 // functions of tests, which hold their cases
)

// TestSizes fails on a file or a function that is too long to be read at once, and on a
// package that does not say what it is for.
func TestSizes(t *testing.T) {
	said := map[string]bool{} // folders with code: whether a package comment stands in it
	set := token.NewFileSet()
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && (d.Name() == "node_modules" || strings.HasPrefix(d.Name(), ".") && path != ".."):
			return filepath.SkipDir
		case filepath.Ext(path) != ".go":
			return nil
		}
		f, err := parser.ParseFile(set, path, nil, parser.ParseComments)
		if err != nil {
			return err
		}
		line := func(p token.Pos) int { return set.Position(p).Line }
		if n := line(f.FileEnd) - 1; n > longestFile {
			t.Errorf("%s has %d lines; at most %d", path, n, longestFile)
		}
		most := longestFunction
		if strings.HasSuffix(path, "_test.go") {
			most = longestTest
		}
		for _, x := range f.Decls {
			if fn, ok := x.(*ast.FuncDecl); ok {
				if n := line(fn.End()) - line(fn.Pos()) + 1; n > most {
					t.Errorf("%s: %s has %d lines; at most %d", path, fn.Name.Name, n, most)
				}
			}
		}
		if !strings.HasSuffix(path, "_test.go") {
			said[filepath.Dir(path)] = said[filepath.Dir(path)] || f.Doc != nil
		}
		return nil
	})
	if err != nil || len(said) < 20 {
		t.Fatalf("%d packages: %v", len(said), err)
	}
	for dir, ok := range said {
		if !ok {
			t.Errorf("no file of %s says above its package clause what the package is for", dir)
		}
	}
}
