package main

import (
	"fmt"
	"html"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"rundown/sim/simtest"
)

// printedBy are calls whose words name other commands: answers, whole texts, pages, help
// and what is said of mistakes.
func printedBy() []string {
	out := []string{
		"forecast --replicates 8 --full", "forecast --replicates 8", "drivers early-wheat.yaml --replicates 8 --full --out d",
		"drivers early-wheat.yaml --replicates 8",
		"forecast early-wheat.yaml --replicates 8 --full --out f", "drilling early-wheat.yaml --replicates 8 --every 40d --full --out l",
		"drivers early-wheat.yaml --replicates 8 --sweep weeds/black-grass/heads_date=20-May:10-Jun:7 --out s",
		"compare early-wheat.yaml late-wheat.yaml --replicates 8 --full --out c", "counts counted-field.csv --full --out q",
		"forecast early-wheat.yaml --replicates 40 --part 1/2 --out parts --quiet", "forecast early-wheat.yaml --replicates 40 --part 2/2 --out parts --quiet",
		"update counted-field.yaml counted-field.csv --replicates 50 --full --out u --posterior past.json",
		"forecast counted-field.yaml --posterior past.json --full", "farm fields.csv early-wheat.yaml late-wheat.yaml --replicates 8 --full --out r",
		"farm fields.csv early-wheat.yaml --field=Bel",
		"check early-wheat.yaml", "new made.yaml --plain",
		"library", "library --grades", "library weeds", "library herbicides spray-off", "version", "help",
		// mistakes
		"forecast none.yaml", "early-wheat.yaml", "forcast", "--seed 2", "library beasts", "library crops wheat", "library herbicides 'no such'",
		"forecast counted-field.csv",
		"forecast early-wheat.yaml --posterior none.json", "forecast late-wheat.yaml --posterior past.json",
		"forecast early-wheat.yaml --posterior counted-field.csv",
		"drivers early-wheat.yaml --sweep weeds/black-grass/heads_date=140:161:7", "forecast wrong.yaml", "check wrong.yaml", "new early-wheat.yaml", "check",
	}
	for _, c := range commands() {
		out = append(out, "help "+c.name)
	}
	return out
}

// wrongPlan has names that are not in the library and are somewhere else in it.
const wrongPlan = `field: {name: Bell Piece, area_ha: 9, soil: bog, climate: nowhere}
weed: {species: plough, start: 2026-08-01, heads_per_m2: 30}
seasons:
  - {crop: wheat, herbicides: [{programme: Grassaway 480, days_after_drilling: 2}], cultivations: [{do: winter-wheat, date: 1 Sep}]}
`

var (
	inQuotes = regexp.MustCompile(`'(rundown(?: [^'\n]+|'[^']*')*)'`)
	onALine  = regexp.MustCompile(`(?m)^(?:  |\$ )(rundown [^\n]*?)(?:  .*)?$`)
	toLook   = regexp.MustCompile(`rundown library (?:weeds|crops|covers|implements|herbicides|soils|climates)(?: [a-z]+-[a-z-]+)?`)
	onAPage  = regexp.MustCompile(`>(rundown [a-z]+[^<]*)<`)
)

// Every command that is printed anywhere runs as it stands, but for words in capitals,
// which stand for a name: those of help, hints, tables, pages and provenance.
func TestPrintedCommandsRun(t *testing.T) {
	simtest.Stage(t, "readme") // a minute or two
	files := examplesFor(t, "early-wheat.yaml", "late-wheat.yaml", "counted-field.yaml", "counted-field.csv")
	files["wrong.yaml"], files["fields.csv"], files["menu.yaml"], files["ruled.yaml"] = wrongPlan, smallFarm, smallMenu, ruledPlan
	inFolder(t, files)
	found := map[string]string{} // command → where it was printed
	take := func(text, where string, forms ...*regexp.Regexp) {
		text = strings.Join(strings.FieldsFunc(text, func(r rune) bool { return r == '\r' }), "")
		for _, form := range forms {
			for _, m := range form.FindAllStringSubmatch(text, -1) {
				if c := strings.Join(strings.Fields(m[len(m)-1]), " "); found[c] == "" {
					found[c] = where
				}
			}
		}
	}
	for _, args := range printedBy() {
		got := run(t, shellWords(args)...)
		for _, text := range []string{got.stdout, got.stderr} {
			take(text, args, onALine)
			take(strings.Join(strings.Fields(text), " "), args, inQuotes, toLook)
		}
	}
	pages, err := filepath.Glob("?/report.html")
	if err != nil || len(pages) != 8 {
		t.Fatalf("%d pages, %v", len(pages), err)
	}
	for _, p := range pages {
		b, err := os.ReadFile(p)
		if err != nil {
			t.Fatal(err)
		}
		take(html.UnescapeString(string(b)), p, inQuotes, onAPage)
	}
	if len(found) < 30 {
		t.Fatalf("%d commands were found: %v", len(found), found)
	}
	for c, where := range found {
		runPrinted(t, c, where, files)
	}
	t.Logf("%d commands", len(found))
}

// stands are files and names that stand for those of a usage line.
var stands = strings.NewReplacer("FIELDS.csv", "fields.csv", "PLAN …", "early-wheat.yaml late-wheat.yaml", "PLAN", "counted-field.yaml", "COUNTS",
	"counted-field.csv", "FILE", "fresh.json", "MENU", "menu.yaml", "KIND", "weeds", "NAME", "black-grass",
	"[COMMAND]", "forecast", "COMMAND", "forecast", " … ", " ")

// runPrinted runs a command that is printed somewhere.
func runPrinted(t *testing.T, c, where string, files map[string]string) {
	t.Helper()
	args := shellWords(stands.Replace(strings.TrimRight(c, ".,;:")))[1:]
	for _, x := range args { // what a hint or help example calls a file of the reader's
		if _, err := os.Stat(x); err != nil && slices.Contains([]string{"plan.yaml", "early.yaml", "late.yaml", "my-plan.yaml", "counts.csv"}, x) &&
			args[0] != "new" {
			of := map[bool]string{true: files["counted-field.csv"], false: files["counted-field.yaml"]}[x == "counts.csv"]
			if err := os.WriteFile(x, []byte(of), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	if len(args) > 1 && args[0] == "new" {
		if err := os.RemoveAll(args[1]); err != nil {
			t.Fatal(err)
		}
	}
	if len(args) > 0 && slices.Contains([]string{"forecast", "compare", "drilling", "drivers", "farm", "update", "search", "worth"}, args[0]) &&
		!strings.Contains(c, "--replicates") && !strings.Contains(c, "posterior") {
		args = append(args, "--replicates", "8") // only to be quick
	}
	got := run(t, args...)
	flagsAlone := !slices.ContainsFunc(strings.Fields(c)[min(2, len(strings.Fields(c))):], func(x string) bool { return !strings.HasPrefix(x, "--") })
	if flagsAlone && strings.Contains(got.stderr, "something is missing: rundown "+args[0]+" ") {
		return // prose that names a command
	}
	if got.code != exitDone {
		t.Errorf("%q, which %q prints: exit %d, %s", c, where, got.code, got.stderr)
	}
}

// The command that a page and provenance.json give makes the same bytes again.
func TestProvenanceMakesTheSame(t *testing.T) {
	simtest.Stage(t, "bytes")
	inFolder(t, examplesFor(t, "early-wheat.yaml", "late-wheat.yaml", "counted-field.yaml", "counted-field.csv", "fields.csv"))
	for i, call := range []string{
		"forecast early-wheat.yaml --replicates 12 --seed 5", "compare early-wheat.yaml late-wheat.yaml --replicates 12 --threshold-heads 20",
		"drilling early-wheat.yaml --replicates 8 --every 40d", "drivers early-wheat.yaml --replicates 8 --metric margin --values 3",
		"drivers early-wheat.yaml --replicates 8 --sweep weeds/black-grass/heads_date=20-May:10-Jun:7", "counts counted-field.csv",
		"farm fields.csv early-wheat.yaml late-wheat.yaml --replicates 8",
		"update counted-field.yaml counted-field.csv --replicates 50",
	} {
		one, two := fmt.Sprintf("one%d", i), fmt.Sprintf("two%d", i)
		if got := run(t, strings.Fields(call+" --quiet --out "+one)...); got.code != exitDone {
			t.Fatalf("%s: %s", call, got.stderr)
		}
		page, err := os.ReadFile(one + "/report.html")
		if err != nil {
			t.Fatal(err)
		}
		var again []string
		for _, m := range onAPage.FindAllStringSubmatch(html.UnescapeString(string(page)), -1) {
			if args := shellWords(m[1])[1:]; args[0] == strings.Fields(call)[0] {
				again = args
			}
		}
		if got := run(t, append(again, "--quiet", "--out", two)...); again == nil || got.code != exitDone {
			t.Errorf("%s: the page's command %q: exit %d, %s", call, again, got.code, got.stderr)
			continue
		}
		for _, f := range listing(t, one) {
			if filepath.Ext(f) == "" {
				continue
			}
			a, err := os.ReadFile(f)
			if err != nil {
				t.Fatal(err)
			}
			b, err := os.ReadFile(strings.Replace(f, one, two, 1))
			if err != nil || string(a) != string(b) {
				t.Errorf("%s and then %q: %s is not the same (%v)", call, again, f, err)
			}
		}
	}
}

// shellWords parts a command as a shell does, with single quotes.
func shellWords(s string) []string {
	var out []string
	word, quoted, begun := "", false, false
	for _, r := range s {
		switch {
		case r == '\'':
			quoted, begun = !quoted, true
		case r == ' ' && !quoted:
			if begun {
				out = append(out, word)
			}
			word, begun = "", false
		default:
			word, begun = word+string(r), true
		}
	}
	if begun {
		out = append(out, word)
	}
	return out
}
