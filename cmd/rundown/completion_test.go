package main

import (
	"os/exec"
	"slices"
	"strings"
	"testing"

	"rundown/sim/simtest"
)

// completionCases are lines as typed and a completion that must be among those
// offered, or "!" and one that must not.
var completionCases = []struct{ typed, want string }{
	{"rundown fo", "forecast"}, {"rundown ", "completion"}, {"rundown forecast --rep", "--replicates"}, {"rundown forecast --o", "--out"},
	{"rundown forecast pl", "plan.yaml"}, {"rundown compare plan.yaml oth", "other plan.yaml"}, {"rundown library so", "soils"},
	{"rundown library weeds bl", "black-grass"},
	{"rundown library soils bl", "!black-grass"}, {"rundown help ch", "check"}, {"rundown completion ", "zsh"}, {"rundown forecast --out pl", "plan.yaml"},
	{"rundown version --", "!--replicates"},
}

// Every command and flag is in every script, and the shells that are here
// complete by them.
func TestCompletion(t *testing.T) {
	inFolder(t, map[string]string{"plan.yaml": smallPlan, "other plan.yaml": smallPlan})
	for _, shell := range shells {
		script := run(t, "completion", shell)
		if script.code != exitDone || script.stderr != "" {
			t.Fatalf("%s: exit %d, %s", shell, script.code, script.stderr)
		}
		for _, c := range commands() {
			for _, flag := range c.flags(c).names("") {
				if !strings.Contains(script.stdout, c.name) || !strings.Contains(script.stdout, flag) {
					t.Errorf("%s: %s --%s is not in the script", shell, c.name, flag)
				}
			}
		}
		t.Run(shell, func(t *testing.T) { completes(t, shell, script.stdout) })
	}
	if got := run(t, "completion", "fihs"); got.code != exitUsage || !strings.Contains(got.stderr, `did you mean "fish"?`) {
		t.Errorf("exit %d, %s", got.code, got.stderr)
	}
}

// completes asks a real shell.
func completes(t *testing.T, shell, script string) {
	if shell != "bash" { // which is on every machine that runs the tests
		simtest.Stage(t, "shells")
	}
	path := outside(t, shell)
	if shell == "zsh" { // its completion needs a terminal; what can be asked is whether it understands the script
		c := exec.Command(path, "-n", "/dev/stdin")
		c.Stdin = strings.NewReader(script)
		if out, err := c.CombinedOutput(); err != nil || len(out) > 0 {
			t.Errorf("zsh does not understand the script: %v\n%s", err, out)
		}
		return
	}
	ask := map[string]string{
		"bash": "source /dev/stdin\n" + `read -ra COMP_WORDS <<<"$0"; [[ $0 == *" " ]] && COMP_WORDS+=(""); COMP_CWORD=$((${#COMP_WORDS[@]} - 1)); _rundown; printf '%s\n' "${COMPREPLY[@]}"`,
		"fish": "source -; complete -C \"$argv[1]\" | string replace -r '\\t.*' ''; true",
	}[shell]
	for _, c := range completionCases {
		run := exec.Command(path, "-c", ask, c.typed)
		run.Stdin = strings.NewReader(script)
		out, err := run.CombinedOutput()
		if err != nil {
			t.Fatalf("%s: %v\n%s", c.typed, err, out)
		}
		offered := strings.Split(strings.ReplaceAll(strings.TrimSpace(string(out)), `\ `, " "), "\n")
		for i := range offered {
			offered[i] = strings.Trim(offered[i], `'"`)
		}
		want, not := strings.CutPrefix(c.want, "!")
		if slices.Contains(offered, want) == not {
			t.Errorf("%q offers %q; want %s", c.typed, offered, c.want)
		}
	}
}
