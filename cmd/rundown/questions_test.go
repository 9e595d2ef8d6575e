package main

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"rundown/cmd/internal/output"
	"rundown/params"
	"rundown/params/date"
)

// answered runs the questions on lines as a person would type them.
func answered(t *testing.T, typed string) (plan, asked string, err error) {
	t.Helper()
	library, err := params.Load()
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	var out strings.Builder
	q := &interview{ctx: ctx, lines: listen(ctx, strings.NewReader(typed)), out: &out, columns: 80, library: library}
	got, err := q.all(date.Of(2031, 8, 1))
	return string(got), out.String(), err
}

// The answers make a plan that can be run; what is mistyped is asked again
// with a way out. All fields are invented.
func TestQuestions(t *testing.T) {
	for _, c := range []struct {
		why, typed string
		plan       []string // in the plan
		asked      []string // said on the way
	}{
		{"empty lines take what is offered", "\n\n\n\n\n\n\n\n\n",
			[]string{"name: My field", "area_ha: 10", "soil: clay", "last_crop: winter-wheat", "- crop: spring-barley\n  - crop: winter-wheat",
				"species: black-grass", "heads_per_m2: 25",
				"repeat: 3", "start: 2031-08-01"},
			[]string{"[My field, 10]: ", "[black-grass]: ", "[none known]: "}},
		{"as people write",
			"Süd: #1, west, 8.5 ha\nClay Loam\nSpring oats\n winter wheat,  Spring  Barley,FALLOW\nlolmu\n25–60\nMost\nnone\nsome survive\n",
			[]string{`name: "Süd: #1, west"`, "area_ha: 8.5", "soil: clay-loam", "- crop: winter-wheat\n  - crop: spring-barley\n  - crop: fallow",
				"species: italian-rye-grass", "heads_per_m2: {low: 25, high: 60}", "repeat: 2",
				"last_crop: spring-oats", "resistance: {2: 0.8, 15: 0.3}"}, nil},
		{"in acres", "Home, 25 Acres\n\n\n\n\n\n\n\n\n", []string{"area_ha: 10.1171", "units: {area: ac}"}, nil},
		{"who does not know says so", "\n\n\n\n\n\ndon't know\nDon’t\nsome survive\n",
			[]string{"resistance: {15: 0.3}", "evolve: yes"}, []string{"don't know (then it starts rare, as in"}},
		{"a ready-made rotation", "Home, 3\n\n\nley-then-wheat\n\n0\n\n\n\n", []string{"name: Home", "rotation: ley-then-wheat", "heads_per_m2: 0"}, nil},
		{"mistakes are asked again", "Home\nHome, 0\nHome, 3\nclai\nclay\n\nwheat\nwintr-wheat\nwinter-wheat\nbarley\nblack-grass\nmany\n60-25\n7\nall\nnone\n\n\n",
			[]string{"area_ha: 3", "- crop: winter-wheat\nrepeat: 6\n", "heads_per_m2: 7"},
			[]string{"write the name, a comma and the size in ha", `did you mean "clay"?`, `did you mean "winter-wheat"?`, `"barley" is not in the library`,
				"or a range such as 25-60", "write one of: none known, some survive, most survive, don't know"}},
		{"crops that cannot follow each other are asked again", "\n\n\nsugar-beet, winter-oilseed-rape\nwinter-wheat\n\n\n\n\n\n",
			[]string{"- crop: winter-wheat\nrepeat: 6"}, []string{"these crops cannot follow each other"}},
		{"back, and forward again over what was answered", "<\nHome, 3\nloam\nspring-oats\n<\n<\nsilt\n\n\n\n\nmost\n<\n<\n9\nsome\n\n\n",
			[]string{"name: Home\n", "soil: silt\n", "last_crop: spring-oats", "heads_per_m2: 9", "resistance: {2: 0.3}"},
			[]string{"[loam]: ", "[spring-oats]: ", "[most]: "}},
	} {
		plan, asked, err := answered(t, c.typed)
		if err != nil {
			t.Errorf("%s: %v\n%s", c.why, err, asked)
			continue
		}
		for _, want := range c.plan {
			if !strings.Contains(uncommented(plan), want) {
				t.Errorf("%s: the plan lacks %q:\n%s", c.why, want, plan)
			}
		}
		for _, want := range c.asked {
			if !strings.Contains(asked, want) {
				t.Errorf("%s: %q was not said:\n%s", c.why, want, asked)
			}
		}
		inFolder(t, map[string]string{"plan.yaml": plan})
		if got := run(t, "check", "plan.yaml"); got.code != exitDone {
			t.Errorf("%s: the plan has mistakes: %s\n%s", c.why, got.stderr, plan)
		}
	}
}

// No line of a question is wider than the terminal, and none breaks a word.
func TestQuestionsKeepWordsWhole(t *testing.T) {
	library, err := params.Load()
	if err != nil {
		t.Fatal(err)
	}
	wide := map[string]bool{}
	for _, columns := range []int{400, 60, 40} {
		var out strings.Builder
		typed := strings.NewReader("Home\nHome, 3\nheavy\n\n\nsugar-beet, winter-oilseed-rape\n\n\nmany\n\nall\n\n\n\n")
		q := &interview{ctx: t.Context(), lines: listen(t.Context(), typed), out: &out, columns: columns, library: library}
		if _, err := q.all(date.Of(2031, 8, 1)); err != nil {
			t.Fatal(err)
		}
		for _, word := range strings.Fields(out.String()) {
			if columns == 400 {
				wide[word] = true
			} else if !wide[word] {
				t.Errorf("at %d columns there is the word %q, which no wide terminal shows", columns, word)
			}
		}
		for _, line := range strings.Split(strings.ReplaceAll(out.String(), "]: ", "]:\n"), "\n") { // a typed line ends its own
			if n := utf8.RuneCountInString(line); n > columns {
				t.Errorf("%d columns: %q has %d", columns, line, n)
			}
		}
	}
}

// A plan that was answered is followed by what forecast --brief says of it: on standard
// output beside a file, and aside where the plan itself goes there.
func TestNewEndsWithTheAnswer(t *testing.T) {
	inFull(t)
	inFolder(t, nil)
	shareRuns(t)
	plan := []byte("field: {name: Far Piece, area_ha: 5, soil: clay, climate: east-lowland}\nweed: {species: black-grass, start: 2026-08-01, " +
		"heads_per_m2: 10}\nseasons: [{crop: winter-wheat}]\n")
	for _, path := range []string{"plan.yaml", ""} {
		var out, aside strings.Builder
		env := &environment{stdin: strings.NewReader(""), stdout: &out, stderr: &aside, out: output.Terminal{Columns: 80}, err: output.Terminal{Columns: 80}}
		if err := env.writePlan(t.Context(), newPlanFlags(newCommand(), &newOptions{}), plan, path, true); err != nil {
			t.Fatal(err)
		}
		brief := run(t, "forecast", "plan.yaml", "--brief")
		said, other := out.String(), aside.String()
		if path == "" {
			said, other = other, said
			if other != string(plan) {
				t.Errorf("standard output is not the plan: %q", other)
			}
		}
		if brief.code != exitDone || !strings.HasSuffix(said, brief.stdout) {
			t.Errorf("%q: %q does not end with %q", path, said, brief.stdout)
		}
	}
}

// uncommented is a plan without its comments.
func uncommented(plan string) string {
	var out []string
	for _, line := range strings.Split(plan, "\n") {
		if at := strings.Index(line, " # "); at > 0 {
			line = strings.TrimRight(line[:at], " ")
		}
		if !strings.HasPrefix(line, "#") {
			out = append(out, line)
		}
	}
	return strings.Join(out, "\n")
}

// An end of the input before the last answer, or an interruption, leaves no
// plan.
func TestQuestionsUnanswered(t *testing.T) {
	if _, _, err := answered(t, "Home, 3\nclay\n"); !errors.Is(err, errNoAnswers) {
		t.Errorf("the error is %v", err)
	}
	ctx, stop := context.WithCancel(context.Background())
	stop()
	library, _ := params.Load()
	q := &interview{ctx: ctx, lines: make(chan string), out: &strings.Builder{}, columns: 80, library: library}
	if _, err := q.all(date.Of(2031, 8, 1)); !errors.Is(err, context.Canceled) {
		t.Errorf("after an interruption the error is %v", err)
	}
}

// Where nobody sits at the terminal nothing is asked, and an old file stays.
func TestNewAsksNobody(t *testing.T) {
	inFolder(t, nil)
	plain := run(t, "new", "--plain")
	if got := runWith(t, context.Background(), "Home, 3\n\n\n\n\n\n\n\n\n", "new"); got.stdout != plain.stdout || got.stderr != "" || got.code != exitDone {
		t.Errorf("exit %d, %q: something was asked", got.code, got.stderr)
	}
	if got := run(t, "new", "a.yaml"); got.code != exitDone || !strings.Contains(got.stdout, "a.yaml is written") {
		t.Errorf("exit %d, %q", got.code, got.stdout)
	}
	if got := run(t, "new", "a.yaml"); got.code != exitUsage || !strings.Contains(got.stderr, "is there already") {
		t.Errorf("exit %d, %q", got.code, got.stderr)
	}
}

func TestNearestAugust(t *testing.T) {
	for now, want := range map[string]string{"2027-01-31": "2026-08-01", "2027-02-01": "2027-08-01", "2027-08-01": "2027-08-01", "2027-12-31": "2027-08-01"} {
		at, err := time.Parse("2006-01-02", now)
		if err != nil {
			t.Fatal(err)
		}
		if got := nearestAugust(at).String(); got != want {
			t.Errorf("on %s: %s, want %s", now, got, want)
		}
	}
}
