package rotations_test

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rundown/params"
	"rundown/params/sheet"
	"rundown/rotations"
	"rundown/sim/simtest"
)

const plans = "../testdata/plans"

// library is the program's own, read anew so that no test sees another's.
func library(t testing.TB) *params.Library {
	t.Helper()
	lib, err := params.Load()
	if err != nil {
		t.Fatal(err)
	}
	return lib
}

// resolve reads a plan as if it lay in a folder of testdata/plans.
func resolve(folder, file string, data []byte, lib *params.Library) (*rotations.Calendar, *sheet.Mistakes) {
	m := &sheet.Mistakes{}
	p := rotations.Read(file, data, m)
	if p == nil {
		return nil, m
	}
	p.Open = func(name string) (io.ReadCloser, error) { return os.Open(filepath.Join(plans, folder, name)) }
	return p.Resolve(lib, m), m
}

func files(t testing.TB, folder string) []string {
	t.Helper()
	names, err := filepath.Glob(filepath.Join(plans, folder, "*.yaml"))
	if err != nil || len(names) == 0 {
		t.Fatalf("no plans in testdata/plans/%s: %v", folder, err)
	}
	return names
}

func contents(t testing.TB, file string) []byte {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// Every plan in err/ is refused, with exactly the messages beside it.
func TestRefused(t *testing.T) {
	lib := library(t)
	for _, file := range files(t, "err") {
		name := filepath.Base(file)
		c, m := resolve("err", name, contents(t, file), lib)
		if c != nil || m.Len() == 0 {
			t.Errorf("%s was accepted", name)
			continue
		}
		golden := strings.TrimSuffix(file, ".yaml") + ".out"
		got := m.Error() + "\n"
		for _, word := range []string{"%!", "sheet.", "params.", "strconv", "yaml: ", "<nil>"} {
			if strings.Contains(got, word) {
				t.Errorf("%s: a message that speaks Go: %s", name, got)
			}
		}
		simtest.Golden(t, simtest.Messages, golden, []byte(got))
	}
}

// A file far too large is refused without being read.
func TestOversize(t *testing.T) {
	data := append([]byte(field), bytes.Repeat([]byte("# and so on\n"), 1<<20/10)...)
	if c, m := resolve("ok", "plan.yaml", data, library(t)); c != nil || m.Error() != "plan.yaml: the file is larger than 1 MiB; is it the right file?" {
		t.Errorf("got %s", m.Error())
	}
}

// Every plan in ok/, the starter and every ready-made rotation are accepted,
// and written out they are read again as the same calendar.
func TestAccepted(t *testing.T) {
	lib := library(t)
	accepted := map[string][]byte{"starter": rotations.Starter()}
	for _, file := range files(t, "ok") {
		accepted[filepath.Base(file)] = contents(t, file)
	}
	for _, name := range rotations.ReadyMade() {
		accepted[name] = []byte("field: {area_ha: 8, soil: clay, climate: east-lowland}\n" +
			"weed: {species: black-grass, start: 2026-08-15, heads_per_m2: 30}\nrotation: " + name + "\n")
	}
	for name, data := range accepted {
		c, m := resolve("ok", name, data, lib)
		if c == nil {
			t.Errorf("%s was refused:\n%s", name, m.Error())
			continue
		}
		again(t, name, c, lib)
	}
}

// again checks that a calendar written out is read as the same calendar.
func again(t *testing.T, name string, c *rotations.Calendar, lib *params.Library) {
	t.Helper()
	for _, write := range []func(io.Writer) error{c.Write, c.WriteFull} {
		var text, second bytes.Buffer
		if err := write(&text); err != nil {
			t.Fatal(err)
		}
		d, m := resolve("ok", name, text.Bytes(), lib)
		if d == nil {
			t.Errorf("%s, written out, was refused:\n%s\n%s", name, m.Error(), text.String())
			return
		}
		text.Reset()
		if err := c.Write(&text); err != nil {
			t.Fatal(err)
		}
		if err := d.Write(&second); err != nil {
			t.Fatal(err)
		}
		if a, b := plain(text.String()), plain(second.String()); a != b {
			t.Errorf("%s, written out and read again, differs:\n%s\n%s", name, a, b)
		}
	}
}

// plain leaves notes out: what was moved once stands where it belongs.
func plain(text string) string {
	var out []string
	for line := range strings.Lines(text) {
		if !strings.HasPrefix(line, "# note") {
			out = append(out, line)
		}
	}
	return strings.Join(out, "")
}
