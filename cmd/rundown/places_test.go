package main

import (
	"os"
	"regexp"
	"strings"
	"testing"
)

// A refusal says where it was found, a place in a file or the argument, and what to do: in its
// first line or in a hint.
func TestRefusalsHavePlaceAndWayOut(t *testing.T) {
	inFolder(t, map[string]string{"plan.yaml": smallPlan, "fields.csv": smallFarm, "past.json": "{\n  \"format\": ,\n}\n", "cut.json": "{\n  \"format\": \"x\"",
		"counts.csv": "date,zone,kind,quadrat_m2,count\n2027-04-12,all,plants,1,3\n"})
	if err := os.Mkdir("folder", 0o777); err != nil {
		t.Fatal(err)
	}
	const sweep = "drivers plan.yaml --sweep "
	for args, want := range map[string]string{
		"drilling plan.yaml --season 2031": `--season 2031: the plan drills nothing for harvest 2031\nhint: its harvests are 2027 to 2028`,
		"drilling plan.yaml --crop oats":   `--crop oats: the plan drills none\nhint: it drills winter-wheat, spring-barley`,
		"drilling plan.yaml --from 2036-09-01": `--from 2036-09-01 is after the last date that is tried for the season, 2026-11-\d\d\n` +
			`hint: name the season that is meant with --season, or write a day from 2026-08-01 on, and --to`,
		"drilling plan.yaml --to 2026-08-02": `--to 2026-08-02 is before the first date that is tried for the season, 2026-\d\d-\d\d` +
			`\nhint: give --from too`,
		"drilling plan.yaml --from 2026-10-10 --to 2026-10-01": `--to 2026-10-01 is before --from 2026-10-10\nhint: write the earlier day after --from`,
		"drivers plan.yaml --season 2040":                      `--season 2040: the plan has no harvest of that year\nhint: its harvests are 2027 to 2028`,
		sweep + "seasons.1.drill=1:2:1": `--sweep seasons\.1\.drill: it is not among the values .*` +
			`\nhint: the \d+ values that can be swept are listed`,
		sweep + "weeds/black-grass/viability=0.5:1.5:0.5": `--sweep weeds/black-grass/viability: it can be 0 to 1 \(fraction\), not 0\.5 to 1\.5` +
			`\nhint: end the sweep within that`,
		"farm fields.csv plan.yaml --field nothing": `--field "nothing": fields\.csv has no field of that name\nhint: expected one of: Ash Corner, `,
		"farm none.csv plan.yaml":                   `none\.csv: there is no such file\nhint: 'rundown help farm' says what a table of fields holds`,
		"counts none.csv": `none\.csv: there is no such file` +
			`\nhint: 'rundown help counts' says how a file of counts is written`,
		"counts folder":   `folder cannot be read: is a directory\nhint: it is a folder; name a file`,
		"forecast folder": `folder cannot be read: is a directory\nhint: it is a folder; name a file`,
		"update plan.yaml counts.csv --zone north": `--zone north: counts\.csv has no counts of that zone\nhint: its zones are all`,
		"forecast plan.yaml --posterior past.json": `past\.json:2:13: found ',' where a number, text or list of JSON was expected`,
		"forecast plan.yaml --posterior cut.json":  `cut\.json:2:16: the file ends early: .*; copy it again, or make it anew with 'rundown update'`,
		"forecast plan.yaml --library none": `--library none: there is no such folder` +
			`\nhint: a library is a folder that holds weeds/NAME\.yaml`,
		"library --library plan.yaml":                          `--library plan\.yaml: it is a file; a folder was expected\nhint: a library is a folder`,
		"farm fields.csv plan.yaml --library none":             `--library none: there is no such folder\nhint: a library is a folder`,
		"forecast plan.yaml --part 1/9 --replicates 3 --out o": `--part 1/9: 3 runs cannot be made in 9 parts\nhint: give as many parts as runs at most`,
		"farm fields.csv plan.yaml --part 1/9 --out o":         `--part 1/9: 7 fields cannot be made in 9 parts\nhint: give as many parts as fields at most`,
		"worth plan.yaml": `plan\.yaml:4:5: the plan decides nothing by a number that is counted.*` +
			`\nhint: write one, as in if: `,
		"compare - plan.yaml -": `only one of the plans can be standard input\nhint: give the others as files`,
		"join plan.yaml": `plan\.yaml cannot be read: not a directory` +
			`\nhint: the folder is expected that the parts are collected in`,
	} {
		got := run(t, strings.Fields(args)...)
		if got.code != exitUsage && got.code != exitInput || got.stdout != "" || !regexp.MustCompile(`^rundown: `+want).MatchString(got.stderr) {
			t.Errorf("%s: exit %d, stdout %q, stderr\n%swant\n%s", args, got.code, got.stdout, got.stderr, want)
		}
	}
}
