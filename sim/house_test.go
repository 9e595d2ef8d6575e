package sim_test

import (
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// rooms says which packages of this module each package may import; a name
// that ends in / stands for all below it. DEVELOPERS.md, "The house".
var rooms = map[string][]string{
	"params/date":  {},
	"params/sheet": {"params/date"},
	"params":       {"params/date", "params/sheet"},
	"rotations":    {"params", "params/date", "params/sheet"},
	"sim/random":   {},
	"sim/decay":    {},
	"sim/tabled":   {},
	"sim/biotype":  {"sim/random", "sim/decay"},
	"sim/bands":    {},
	"sim": {"params", "params/date", "rotations", "sim/random", "sim/decay", "sim/tabled", "sim/biotype", "sim/weather", "sim/soil",
		"sim/seedbank", "sim/stand", "sim/crop", "sim/herbicide", "sim/fieldwork", "sim/margin"},
	"sim/study": {"params", "params/date", "params/sheet", "rotations", "sim", "sim/random", "sim/bands", "sim/decide", "sim/ensemble",
		"sim/drivers", "sim/counts", "sim/update", "sim/search"},
	"sim/simtest":  {"params", "params/sheet", "rotations", "sim"}, // for tests
	"sim/testfile": {},                                             // likewise
	// A posterior keeps the facts of its plan's past.
	"sim/update":          {"sim", "sim/bands", "sim/random", "params", "params/date", "rotations", "sim/counts", "sim/ensemble", "sim/decide"},
	"cmd/internal/figure": {},
	"cmd/internal/output": {},
	"cmd/internal/parts":  {},
	"cmd/internal/report": {"cmd/internal/figure", "cmd/internal/output", "sim/bands"},
	"cmd/internal/findings": {"cmd/internal/figure", "cmd/internal/report", "params", "params/date", "rotations", "sim", "sim/bands", "sim/margin",
		"sim/study", "sim/decide", "sim/drivers", "sim/counts", "sim/update"}, // of the last four what results are made of
	"cmd/rundown": {"cmd/internal/", "params", "params/", "rotations", "sim", "sim/study"}, // runs are made by study alone

	// Studies are its only way to the engine.
	"cmd/internal/planner": {"cmd/internal/report", "cmd/internal/figure", "cmd/internal/output", "params", "params/", "rotations", "sim/study"},
}

var parts = []string{"weather", "soil", "seedbank", "stand", "crop", "herbicide", "fieldwork", "margin"}

// uses run models; sim never knows them.
var uses = []string{"ensemble", "drivers", "counts", "update", "decide", "search"}

// mayImport is what a package may import.
func mayImport(p string) ([]string, bool) {
	if r, ok := rooms[p]; ok {
		return r, true
	}
	name, ok := strings.CutPrefix(p, "sim/")
	switch {
	case ok && slices.Contains(parts, name):
		return []string{"sim/random", "sim/decay", "sim/tabled", "sim/biotype", "params/date"}, true
	case ok && slices.Contains(uses, name):
		allowed := []string{"sim", "sim/bands", "sim/random", "params", "params/date"}
		for _, u := range uses {
			allowed = append(allowed, "sim/"+u)
		}
		return allowed, true
	}
	return nil, false
}

// Only these may import a module that the rest must not know.
var only = map[string]string{
	"gopkg.in/yaml.v3":  "rundown/params/sheet",
	"gonum.org/v1/plot": "rundown/cmd/internal/figure",
	"runtime/debug":     "rundown/cmd/rundown", // the memory limit and the garbage collector are the process's, not a run's
}

// TestHouse fails on an arrow between packages that the plan of the house does
// not have.
func TestHouse(t *testing.T) {
	out, err := exec.Command("go", "list", "-f", "{{.ImportPath}}{{range .Imports}} {{.}}{{end}}", "rundown/...").Output()
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range strings.Split(strings.TrimSpace(string(out)), "\n") {
		f := strings.Fields(line)
		p := strings.TrimPrefix(f[0], "rundown/")
		allowed, ok := mayImport(p)
		if !ok {
			t.Errorf("%s has no room in the house: put it where it belongs, or change the plan", p)
			continue
		}
		for _, imp := range f[1:] {
			for module, owner := range only {
				if (imp == module || strings.HasPrefix(imp, module+"/")) && f[0] != owner {
					t.Errorf("%s imports %s; only %s may", f[0], imp, owner)
				}
			}
			inner, ok := strings.CutPrefix(imp, "rundown/")
			if !ok {
				continue
			}
			if !slices.ContainsFunc(allowed, func(a string) bool {
				return inner == a || strings.HasSuffix(a, "/") && strings.HasPrefix(inner, a)
			}) {
				t.Errorf("%s imports %s: the house has no such arrow", p, inner)
			}
		}
	}
}

// The modules outside the standard library that the program is built of: the
// four it names, and what those need.
func TestModules(t *testing.T) {
	want := []string{
		"codeberg.org/go-fonts/liberation", "codeberg.org/go-latex/latex", "codeberg.org/go-pdf/fpdf", "git.sr.ht/~sbinet/gg", "github.com/ajstarks/svgo",
		"github.com/golang/freetype", "github.com/spf13/pflag", "golang.org/x/image", "golang.org/x/text",
		"gonum.org/v1/gonum", "gonum.org/v1/plot", "gopkg.in/yaml.v3", "rundown",
	}
	out, err := exec.Command("go", "list", "-deps", "-f", "{{with .Module}}{{.Path}}{{end}}", "rundown/cmd/rundown").Output()
	if err != nil {
		t.Fatal(err)
	}
	got := strings.Fields(string(out))
	slices.Sort(got)
	for _, m := range slices.Compact(got) {
		if !slices.Contains(want, m) {
			t.Errorf("the program is built of %s, which is not on the list", m)
		}
	}
}
