package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"testing"
)

// ci runs lines of bash after the functions of .ci/run.
func ci(t *testing.T, script string, with ...string) (said string, failed bool) {
	t.Helper()
	bash, err := exec.LookPath("bash")
	if err != nil || runtime.GOOS == "windows" {
		t.Skip("needs bash")
	}
	_, here, _, _ := runtime.Caller(0)
	c := exec.Command(bash, "-c", "source .ci/run\n"+script)
	c.Dir = filepath.Join(filepath.Dir(here), "..", "..")
	c.Env = append(os.Environ(), append([]string{"CI_FUNCTIONS=1", "CI="}, with...)...)
	out, err := c.CombinedOutput()
	return string(out), err != nil
}

// A stage in which any command fails fails, whatever comes after that command; what is
// skipped is listed at the end, and is a failure with CI=true.
func TestStagesOfCI(t *testing.T) {
	for _, c := range []struct {
		why, script, with string
		failed            bool
		says, not         string
	}{
		{"the first of three builds fails", `go() { [ "$GOOS" != linux ]; }; stage cross-builds cross; listed`, "CI=", true, "== cross-builds FAILED",
			"building for windows/amd64"},
		{"all build", `go() { :; }; stage cross-builds cross; listed`, "CI=", false, "== nothing was skipped", "FAILED"},
		{"a stage that is not asked for", `asked=" browser "; go() { false; }; stage cross-builds cross; listed`, "CI=", false, "== nothing was skipped",
			"cross-builds"},
		{"no browser, not in CI", `have() { false; }; stage browser browser; listed`, "CI=", false, "== not looked at:\nskipped: the pages in a browser", "FAILED"},
		{"no browser, in CI", `have() { false; }; stage browser browser; listed`, "CI=true", true,
			"== browser FAILED\n== not looked at:\nskipped: the pages in a browser", ""},
		{"no Slurm, not in CI", `have() { false; }; stage slurm slurm; listed`, "CI=", false, "== not looked at:\nskipped: parts on Slurm", "FAILED"},
		{"no Slurm, in CI", `have() { false; }; stage slurm slurm; listed`, "CI=true", true, "== slurm FAILED", ""},
		{"no C compiler, in CI", `have() { false; }; stage race race; listed`, "CI=true", true, "== race FAILED", ""},
		{"no database of vulnerabilities",
			`go() { echo "govulncheck: fetching vulnerabilities: dial tcp: lookup"; false; }; stage vulnerabilities vulnerable; listed`, "CI=true", false,
			"== not looked at:\nskipped: known vulnerabilities", "FAILED"},
		{"a vulnerability", `go() { echo "Vulnerability #1: a long story"; false; }; stage vulnerabilities vulnerable; listed`, "CI=", true, "Vulnerability #1", ""},
	} {
		said, failed := ci(t, c.script, c.with)
		if failed != c.failed || !strings.Contains(said, c.says) || c.not != "" && strings.Contains(said, c.not) {
			t.Errorf("%s: failed %v, said\n%s", c.why, failed, said)
		}
	}
}

// Every test that asks for a stage is run by that stage of .ci/run, so that no check is dropped.
func TestEveryStageIsRun(t *testing.T) {
	_, here, _, _ := runtime.Caller(0)
	root := filepath.Join(filepath.Dir(here), "..", "..")
	script, err := os.ReadFile(filepath.Join(root, ".ci", "run"))
	if err != nil {
		t.Fatal(err)
	}
	asks := regexp.MustCompile(`simtest\.(?:In)?Stage\((?:t, )?"([a-z]+)"\)`)
	test := regexp.MustCompile(`(?ms)^func (Test\w+)\(.*?^}`)
	found := map[string]bool{}
	for _, pattern := range []string{"cmd/*/*_test.go", "cmd/internal/*/*_test.go", "sim/*_test.go", "sim/*/*_test.go", "params/*_test.go",
		"params/*/*_test.go", "rotations/*_test.go"} {
		files, err := filepath.Glob(filepath.Join(root, pattern))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			b, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			for _, x := range test.FindAllSubmatch(b, -1) {
				for _, stage := range asks.FindAllSubmatch(x[0], -1) {
					found[string(stage[1])] = true
					if !runsInStage(string(script), string(stage[1]), string(x[1])) {
						t.Errorf("%s asks for the stage %q, which in .ci/run does not run it", x[1], stage[1])
					}
				}
			}
		}
	}
	if len(found) < 12 {
		t.Fatalf("found only %v", found)
	}
}

// runsInStage tells whether a stage of .ci/run runs a test.
func runsInStage(script, stage, test string) bool {
	if !regexp.MustCompile(`(?m)^stage ` + stage + ` `).MatchString(script) {
		return false
	}
	for _, line := range strings.Split(script, "\n") {
		_, after, called := strings.Cut(line, "tests "+stage+" ")
		if _, run, by := strings.Cut(line, "RUNDOWN_STAGE="+stage+" "); by {
			_, after, called = strings.Cut(run, "-run")
		}
		words := shellWords(strings.ReplaceAll(after, " -run ", " "))
		for _, w := range words {
			if called && strings.Contains(w, "Test") && regexp.MustCompile(w).MatchString(test) {
				return true
			}
		}
	}
	return false
}
