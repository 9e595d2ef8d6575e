package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"rundown/cmd/internal/report"
	"rundown/params"
	"rundown/params/date"
	"rundown/params/sheet"
	"rundown/rotations"
)

// answers are what a person at a terminal is asked for a first plan; the rest
// is filled in from usual practice.
type answers struct {
	field    string
	areaHa   float64
	soil     string
	crops    []string // in order; empty with a rotation
	rotation string   // a ready-made one
	weed     string
	heads    string // as it stands in the plan
	start    date.Day
}

// interview asks, one line to a question; an empty line takes what is offered.
type interview struct {
	ctx     context.Context
	lines   <-chan string // closed at the end of the input
	out     io.Writer
	columns int
	library *params.Library
}

// errNoAnswers is the end of the input before the last answer.
var errNoAnswers = errors.New("the questions were not answered to the end")

// listen reads lines in the background, so that an interruption need not wait
// for one.
func listen(ctx context.Context, in io.Reader) <-chan string {
	lines := make(chan string)
	go func() {
		defer close(lines)
		for s := bufio.NewScanner(in); s.Scan(); {
			select {
			case lines <- s.Text():
			case <-ctx.Done():
				return
			}
		}
	}()
	return lines
}

// ask repeats a question until accept takes the answer. The choices, if there
// are any, are listed under it.
func (q *interview) ask(question string, choices []string, usual string, accept func(string) error) error {
	text := "\n" + question + "\n"
	if len(choices) > 0 {
		text += report.Listing([]report.Term{{Text: strings.Join(choices, ", ")}}, "", q.columns)
	}
	for {
		if _, err := fmt.Fprintf(q.out, "%s[%s]: ", text, usual); err != nil {
			return err
		}
		text = "" // not again with every try
		var line string
		var ok bool
		select {
		case line, ok = <-q.lines:
		case <-q.ctx.Done():
			return q.ctx.Err()
		}
		if !ok {
			return errNoAnswers
		}
		if line = strings.TrimSpace(line); line == "" {
			line = usual
		}
		err := accept(line)
		if err == nil {
			return nil
		}
		if _, err := fmt.Fprintf(q.out, "  %v\n", err); err != nil {
			return err
		}
	}
}

// usualCrops is the sequence that is offered.
const usualCrops = "spring-barley, winter-wheat"

// all asks the five questions. A crop sequence that cannot be planned is asked
// for again, with what is wrong with it.
func (q *interview) all(start date.Day) ([]byte, error) {
	a := &answers{start: start}
	_, _ = fmt.Fprint(q.out, "Five questions; an empty line takes what stands in brackets.\n")
	if err := q.ask("Field: its name, a comma, and its size in ha", nil, "Long Ground, 12", a.takeField); err != nil {
		return nil, err
	}
	if err := q.askName("Soil", "soils", "clay", &a.soil); err != nil {
		return nil, err
	}
	if err := q.ask("Crops in order, with commas; or a ready-made rotation", append(q.library.Names("crops"), rotations.ReadyMade()...), usualCrops, q.takeCrops(a)); err != nil {
		return nil, err
	}
	if err := q.askName("Weed", "weeds", "black-grass", &a.weed); err != nil {
		return nil, err
	}
	if err := q.ask("Infestation: heads per m² counted last June, or a range such as 25-60", nil, "40", a.takeHeads); err != nil {
		return nil, err
	}
	for {
		plan := a.plan()
		wrong := q.check(plan)
		if wrong == "" {
			return plan, nil
		}
		_, _ = fmt.Fprintf(q.out, "  These crops cannot follow each other as they stand:\n  %s\n", wrong)
		if err := q.ask("Crops in order, with commas", nil, usualCrops, q.takeCrops(a)); err != nil {
			return nil, err
		}
	}
}

func (q *interview) check(plan []byte) string {
	var m sheet.Mistakes
	if p := rotations.Read("the plan", plan, &m); p != nil {
		p.Resolve(q.library, &m)
	}
	return strings.ReplaceAll(m.Error(), "\n", "\n  ")
}

func (q *interview) askName(what, kind, usual string, to *string) error {
	return q.ask(what, q.library.Names(kind), usual, func(s string) error {
		name, err := q.find(kind, s)
		*to = name
		return err
	})
}

// find takes a name as people write it: with spaces, in capitals, or an EPPO code.
func (q *interview) find(kind, s string) (string, error) {
	name := strings.ReplaceAll(strings.ToLower(strings.Join(strings.Fields(s), " ")), " ", "-")
	e := q.library.Find(kind, name)
	if e == nil {
		return "", fmt.Errorf("%q is not in the library; %s", strings.TrimSpace(s), q.library.Suggest(name, kind))
	}
	return e.Name, nil
}

func (a *answers) takeField(s string) error {
	name, size, _ := strings.Cut(s, ",")
	if i := strings.LastIndex(s, ","); i >= 0 {
		name, size = s[:i], s[i+1:]
	}
	ha, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(size), "ha")), 64)
	if err != nil || !(ha > 0 && ha <= 1000) || strings.TrimSpace(name) == "" {
		return errors.New("write the name, a comma and the size in ha, up to 1000: Long Ground, 12")
	}
	a.field, a.areaHa = strings.TrimSpace(name), ha
	return nil
}

func (q *interview) takeCrops(a *answers) func(string) error {
	return func(s string) error {
		a.crops, a.rotation = nil, ""
		if name := strings.ToLower(strings.TrimSpace(s)); slices.Contains(rotations.ReadyMade(), name) {
			a.rotation = name
			return nil
		}
		for _, part := range strings.Split(s, ",") {
			name, err := q.find("crops", part)
			if err != nil {
				return err
			}
			a.crops = append(a.crops, name)
		}
		if len(a.crops) > mostAsked {
			return fmt.Errorf("%d crops are more than a first plan takes; write up to %d, and the rest into the file", len(a.crops), mostAsked)
		}
		return nil
	}
}

// mostAsked is how many crops one line may name.
const mostAsked = 12

func (a *answers) takeHeads(s string) error {
	wrong := errors.New("write a number from 0 to 10000, or a range such as 25-60")
	low, high, ranged := strings.Cut(strings.ReplaceAll(s, "–", "-"), "-")
	x, err := strconv.ParseFloat(strings.TrimSpace(low), 64)
	if err != nil || !(x >= 0 && x <= 10000) {
		return wrong
	}
	if !ranged {
		a.heads = sheet.Plain(x)
		return nil
	}
	y, err := strconv.ParseFloat(strings.TrimSpace(high), 64)
	if err != nil || !(x > 0 && y > x && y <= 10000) {
		return wrong
	}
	a.heads = fmt.Sprintf("{low: %s, high: %s}", sheet.Plain(x), sheet.Plain(y))
	return nil
}
