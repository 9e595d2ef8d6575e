package main

import (
	"slices"
	"strings"
	"testing"

	"rundown/sim/simtest"
)

// Wrong use: exit code 2, the reason on standard error, nothing on standard
// output.
func TestWrongUse(t *testing.T) {
	inFolder(t, map[string]string{"plan.yaml": smallPlan})
	for _, c := range []struct {
		why  string
		args string
		want string // on standard error
	}{
		{"no command", "", "no command was given"},
		{"misspelt command", "forcast", `did you mean "forecast"?`},
		{"command far from any", "xyzzy", "expected one of: help, open, forecast, compare, drilling, search, drivers, farm, worth, counts, update, join, " +
			"check, library"},
		{"plan without a command", "plan.yaml", "'rundown forecast plan.yaml'"},
		{"flag before the command", "--seed 3 forecast", "stands before the command"},
		{"misspelt flag", "forecast --sed 2", "did you mean --seed?"},
		{"unknown flag", "check --frobnicate", "expected one of: full, schema"},
		{"short flag", "forecast -q", "there is no flag -q"},
		{"short flags joined", "forecast -qj", "there is no flag -qj"},
		{"boolean followed by false", "forecast --quiet false", `--quiet takes no value, but "false" follows it`},
		{"boolean followed by no", "forecast plan.yaml --json No", `--json takes no value, but "No" follows it`},
		{"boolean that is neither", "forecast --json=maybe", "--json maybe:"},
		{"repeated number", "forecast --seed 1 --seed 2", "given twice: --seed"},
		{"repeated boolean", "forecast --json --json", "given twice: --json"},
		{"repeated where only another flag may be", "worth none.yaml --against a --against b --seed 1 --seed 2", "given twice: --seed"},
		{"not a number", "forecast --replicates nan", "--replicates nan: expected a whole number from 1 to 1000000"},
		{"infinite", "forecast --replicates inf", "expected a whole number"},
		{"fraction", "forecast --replicates 1.5", "expected a whole number"},
		{"exponent", "forecast --replicates 1e3", "expected a whole number"},
		{"hexadecimal", "forecast --replicates 0x10", "in plain digits"},
		{"octal", "forecast --replicates 010", "in plain digits"},
		{"underscore", "forecast --replicates 1_000", "in plain digits"},
		{"none", "forecast --replicates 0", "from 1 to 1000000"},
		{"too many", "forecast --replicates 1000001", "from 1 to 1000000"},
		{"negative seed", "forecast --seed -1", "expected a whole number from 0 to 18446744073709551615"},
		{"seed too large", "forecast --seed 18446744073709551616", "expected a whole number"},
		{"no jobs", "forecast --jobs 0", "from 1 to 1024"},
		{"value forgotten at the end", "forecast --seed", "--seed needs a value after it"},
		{"value forgotten before a flag", "forecast --out --json", "--out --json: expected the name of a folder"},
		{"two plans", "forecast plan.yaml plan.yaml", `"plan.yaml" is one argument too many`},
		{"replicates without a folder", "forecast --replicates-csv", "--replicates-csv needs --out"},
		{"check of nothing", "check", "something is missing: rundown check PLAN"},
		{"schema of a plan", "check plan.yaml --schema", "--schema stands alone"},
		{"unknown kind", "library weed", `did you mean "weeds"?`},
		{"unknown name", "library weeds black-gras", `did you mean "black-grass"?`},
		{"json of grades", "library --json --grades", "do not go together"},
		{"new over an old file", "new plan.yaml", "is there already and is left as it is"},
		{"help of what is not", "help forcast", `did you mean "forecast"?`},
		{"help of two", "help check new", "one argument too many"},
	} {
		got := run(t, strings.Fields(c.args)...)
		if got.code != exitUsage || !strings.Contains(got.stderr, c.want) || got.stdout != "" {
			t.Errorf("%s: rundown %s: exit %d, stdout %q, stderr %q; want exit 2 and %q", c.why, c.args, got.code, got.stdout, got.stderr, c.want)
		}
	}
}

// Every command's help shows its whole surface on standard output.
func TestHelp(t *testing.T) {
	for _, args := range []string{"help", "-h", "--help", "help --help"} {
		got := run(t, strings.Fields(args)...)
		if got.code != exitDone || got.stderr != "" {
			t.Errorf("rundown %s: exit %d, stderr %q", args, got.code, got.stderr)
		}
		wide(t, "rundown "+args, got.stdout)
		for _, c := range commands() {
			if !strings.Contains(got.stdout, "\n  "+c.name+" ") || !strings.Contains(got.stdout, c.summary) {
				t.Errorf("rundown %s does not show %s", args, c.name)
			}
		}
	}
	for _, c := range commands() {
		help := run(t, "help", c.name)
		for _, args := range [][]string{{c.name, "-h"}, {c.name, "--help"}, {c.name, "x", "--help"}} {
			got := run(t, args...)
			if got.code != exitDone || got.stdout != help.stdout || got.stderr != "" {
				t.Errorf("%v: exit %d, stderr %q; it differs from 'help %s'", args, got.code, got.stderr, c.name)
			}
		}
		for _, flag := range c.flags(c).names("--") {
			if !strings.Contains(help.stdout, flag) {
				t.Errorf("the help of %s does not show %s", c.name, flag)
			}
		}
		wide(t, "the help of "+c.name, help.stdout)
	}
}

// wide notes lines that do not fit the 80 columns of a pipe.
func wide(t *testing.T, what, text string) {
	t.Helper()
	for _, line := range strings.Split(text, "\n") {
		if len([]rune(line)) > 80 {
			t.Errorf("%s has a line wider than 80 columns: %q", what, line)
		}
	}
}

// ruledPlan is a small plan with two rules.
const ruledPlan = `field: {area_ha: 5, soil: clay, climate: east-lowland}
weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 25}
seasons:
  - crop: winter-wheat
    herbicides: [{programme: spring-contact, date: 10 Mar, if: {plants_per_m2: {above: 3}}}]
  - choose:
      - {if: {heads_per_m2: {above: 20}}, crop: spring-barley}
      - {crop: winter-wheat}
`

// The flags of the examples that help shows are flags of their commands, with values that they take.
func TestHelpExamplesAreRead(t *testing.T) {
	for _, c := range commands() {
		for _, e := range c.examples {
			if words := shellWords(e); words[0] != "rundown" || words[1] != c.name && words[1] != "--version" || c.flags(c).Parse(words[2:]) != nil {
				t.Errorf("%s: its example %q", c.name, e)
			}
		}
	}
}

// The examples that help shows run as they stand.
func TestHelpExamplesRun(t *testing.T) {
	simtest.Stage(t, "readme")
	for _, c := range commands() {
		for _, e := range c.examples {
			quadrats := "date,zone,kind,quadrat_m2,count\n2027-04-12,north,plants,0.25,3\n2027-04-12,north,plants,0.25,0\n" +
				"2027-04-12,south,plants,0.25,9\n2027-04-12,south,plants,0.25,4\n"
			inFolder(t, map[string]string{"plan.yaml": smallPlan, "early.yaml": smallPlan, "late.yaml": smallPlan, "counts.csv": quadrats,
				"ruled.yaml": ruledPlan, "fields.csv": smallFarm, "menu.yaml": smallMenu})
			if c.name == "join" {
				inParts(t, "parts", 2, "forecast plan.yaml --replicates 20")
			}
			args := shellWords(e)[1:]
			many := slices.Contains([]string{"farm", "search", "forecast", "compare", "worth", "drilling"}, c.name)
			if many && !strings.Contains(e, "--replicates") {
				args = append(args, "--replicates", "20") // only to be quick
			}
			if got := run(t, args...); got.code != exitDone || got.stdout == "" {
				t.Errorf("%s: exit %d, %d bytes, stderr %q", e, got.code, len(got.stdout), got.stderr)
			}
		}
	}
}

func TestVersion(t *testing.T) {
	got := run(t, "version")
	if got.code != exitDone || !strings.HasPrefix(got.stdout, "rundown ") || !strings.Contains(got.stdout, "built with go") {
		t.Errorf("exit %d, %q", got.code, got.stdout)
	}
	if flag := run(t, "--version"); flag != got {
		t.Errorf("--version gives %+v", flag)
	}
}
