package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"rundown/sim/simtest"
)

// carried are the modules whose code or fonts are in the program, each with its folder.
func carried(t *testing.T) [][2]string {
	t.Helper()
	out, err := exec.Command("go", "list", "-deps", "-f", `{{with .Module}}{{.Path}} {{.Version}}|{{.Dir}}{{end}}`, ".").Output()
	if err != nil {
		t.Fatal(err)
	}
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Fatal(err)
	}
	list := [][2]string{{"the Go runtime and standard library", strings.TrimSpace(string(root))}}
	lines := strings.Split(strings.TrimSpace(string(out)), "\n")
	slices.Sort(lines)
	for _, l := range slices.Compact(lines) {
		if name, dir, ok := strings.Cut(l, "|"); ok && !strings.HasPrefix(name, "rundown ") {
			list = append(list, [2]string{name, dir})
		}
	}
	return list
}

// The notices that the program prints are those of everything that it carries, the
// fonts too, word for word: go test ./cmd/rundown -run TestLicences -update
func TestLicences(t *testing.T) {
	patterns := []string{"LICENSE*", "PATENTS", "NOTICE*", "THIRD_PARTY_LICENSES/*", "licenses/ftl.txt", "font/gofont/ttfs/README"}
	var want bytes.Buffer
	want.WriteString("The program is made from these parts by others, which stay under their own terms.\n")
	all := carried(t)
	for _, m := range all {
		found := 0
		for _, p := range patterns {
			files, err := filepath.Glob(filepath.Join(m[1], p))
			if err != nil {
				t.Fatal(err)
			}
			for _, f := range files {
				text, err := os.ReadFile(f)
				if err != nil {
					t.Fatal(err)
				}
				name, _ := filepath.Rel(m[1], f)
				want.WriteString("\n" + strings.Repeat("=", 72) + "\n" + m[0] + ": " + filepath.ToSlash(name) + "\n\n")
				want.Write(append(bytes.TrimSpace(bytes.ReplaceAll(text, []byte("\r"), nil)), '\n'))
				found++
			}
		}
		if found == 0 {
			t.Errorf("%s has no licence file", m[0])
		}
	}
	simtest.Golden(t, simtest.Documents, "licences.txt", want.Bytes())
	got := run(t, "version", "--licences")
	for _, m := range append(all, [2]string{"SIL OPEN FONT LICENSE"}, [2]string{"Bigelow & Holmes"}) {
		if !strings.Contains(got.stdout, m[0]) {
			t.Errorf("version --licences says nothing of %s", m[0])
		}
	}
	if got.code != exitDone {
		t.Errorf("exit %d, %s", got.code, got.stderr)
	}
}
