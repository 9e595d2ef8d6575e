package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"math"
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
	area     rotations.Area // in which it was said
	soil     string
	lastCrop string
	crops    []string // in order; empty with a rotation
	rotation string   // a ready-made one
	weed     string
	heads    string            // as it stands in the plan
	resists  map[string]string // HRAC group: one of rotations.Survivals, or unknown
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

// question is one line that is asked for.
type question struct {
	text    string
	choices []string
	usual   string // taken for an empty line; an answer that was given before takes its place
	accept  func(string) error
}

// errNoAnswers is the end of the input before the last answer.
var errNoAnswers = errors.New("the questions were not answered to the end")

// goBack is the answer that leads back to the question before, and errBack what ask
// says of it.
const goBack = "<"

var errBack = errors.New("back to the question before")

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
func (q *interview) ask(head string, x *question) error {
	text := "\n" + q.wrapped(head+" "+x.text)
	if len(x.choices) > 0 {
		text += q.wrapped(strings.Join(x.choices, ", "))
	}
	for {
		if _, err := fmt.Fprintf(q.out, "%s[%s]: ", text, x.usual); err != nil {
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
		switch line = strings.TrimSpace(line); line {
		case goBack:
			return errBack
		case "":
			line = x.usual
		}
		err := x.accept(line)
		if err == nil {
			x.usual = line
			return nil
		}
		if _, err := fmt.Fprint(q.out, q.wrapped(err.Error())); err != nil {
			return err
		}
	}
}

// wrapped is text in lines that fit the terminal, broken between words.
func (q *interview) wrapped(text string) string {
	return report.Listing([]report.Term{{Text: text}}, "", q.columns)
}

// usualCrops is the sequence that is offered.
const usualCrops = "spring-barley, winter-wheat"

// questions are what is asked, in order. A crop sequence that cannot be planned is asked
// for again, with what is wrong with it.
func (q *interview) questions(a *answers) []question {
	named := func(text, kind, usual string, to *string) question {
		return question{text, q.library.Names(kind), usual, func(s string) error {
			name, err := q.find(kind, s)
			*to = name
			return err
		}}
	}
	readyMade := rotations.ReadyMade()
	readyMade[0] = "or ready-made: " + readyMade[0]
	list := []question{
		{"Field: its name, a comma, and its size in ha; with ac behind it, in acres", nil, "My field, 10", a.takeField},
		named("Soil", "soils", "clay", &a.soil),
		named("Last crop: the one in which the heads were counted", "crops", "winter-wheat", &a.lastCrop),
		{"Crops to come, in order, with commas; or a ready-made rotation",
			append(q.library.Names("crops"), readyMade...), usualCrops, q.takeCrops(a)},
		named("Weed", "weeds", "black-grass", &a.weed),
		{"Infestation: heads per m² counted last June, or a range such as 25-60", nil, "25", a.takeHeads},
	}
	for _, g := range asksResistance {
		list = append(list, question{"Does the weed survive " + g.words + "?", offered(), rotations.Survivals[0], a.takeResistance(g.hrac)})
	}
	return list
}

// all asks the questions, one after the other and back where that is wished.
func (q *interview) all(start date.Day) ([]byte, error) {
	a := &answers{start: start, resists: map[string]string{}}
	list := q.questions(a)
	_, _ = fmt.Fprint(q.out, q.wrapped(fmt.Sprintf("%d questions. An empty line takes what stands in brackets; %s goes back to the question before.",
		len(list), goBack)))
	for i := 0; i < len(list); {
		switch err := q.ask(fmt.Sprintf("%d.", i+1), &list[i]); {
		case errors.Is(err, errBack):
			i = max(0, i-1)
		case err != nil:
			return nil, err
		default:
			i++
		}
	}
	return a.plan(), nil
}

// misfit says what is wrong with the crops as a plan of this field, and nothing else yet.
func (q *interview) misfit(a *answers) error {
	x := *a
	x.weed, x.heads, x.resists = "black-grass", "1", nil
	if wrong := q.check(x.plan()); wrong != "" {
		return fmt.Errorf("these crops cannot follow each other as they stand: %s", wrong)
	}
	return nil
}

func (q *interview) check(plan []byte) string {
	var m sheet.Mistakes
	if p := rotations.Read("the plan", plan, &m); p != nil {
		p.Resolve(q.library, &m)
	}
	if m.Len() == 0 {
		return ""
	}
	return m.Error()
}

// find takes a name as people write it: with spaces, in capitals, or an EPPO code.
func (q *interview) find(kind, s string) (string, error) {
	name := strings.ReplaceAll(strings.ToLower(strings.Join(strings.Fields(s), " ")), " ", "-")
	e := q.library.Find(kind, name)
	if e == nil {
		return "", fmt.Errorf("%q is not in the library; %s", strings.TrimSpace(s), q.library.DidYouMean(name, kind))
	}
	return e.Name, nil
}

func (a *answers) takeField(s string) error {
	name, size, _ := strings.Cut(s, ",")
	if i := strings.LastIndex(s, ","); i >= 0 {
		name, size = s[:i], s[i+1:]
	}
	number, area := sizeSaid(size)
	x, err := strconv.ParseFloat(number, 64)
	ha := area.Per(x)
	if area.Ha != 1 {
		ha = math.Round(ha*1e4) / 1e4 // a square metre
	}
	if err != nil || !(ha > 0 && ha <= 1000) || strings.TrimSpace(name) == "" {
		return errors.New("write the name, a comma and the size in ha, up to 1000: My field, 10; or in acres: My field, 25 ac")
	}
	a.field, a.areaHa, a.area = strings.TrimSpace(name), ha, area
	return nil
}

// sizeSaid parts a size into its number and its unit of land, as people write it.
func sizeSaid(size string) (number string, area rotations.Area) {
	number = strings.ToLower(strings.TrimSpace(size))
	for _, w := range []struct {
		word string
		area rotations.Area
	}{{"hectares", rotations.Areas[0]}, {"ha", rotations.Areas[0]}, {"acres", rotations.Areas[1]}, {"acre", rotations.Areas[1]}, {"ac", rotations.Areas[1]}} {
		if rest, ok := strings.CutSuffix(number, w.word); ok {
			return strings.TrimSpace(rest), w.area
		}
	}
	return number, rotations.Areas[0]
}

func (q *interview) takeCrops(a *answers) func(string) error {
	return func(s string) error {
		a.crops, a.rotation = nil, ""
		if name := strings.ToLower(strings.TrimSpace(s)); slices.Contains(rotations.ReadyMade(), name) {
			a.rotation = name
			return q.misfit(a)
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
		return q.misfit(a)
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
