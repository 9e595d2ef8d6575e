package report

import (
	"slices"
	"strings"

	"rundown/cmd/internal/output"
)

// Answer is what a report owes its reader first: the answer to the command's own
// question, as facts and in words.
type Answer struct {
	Verdict   string   // a stable word
	Facts     Object   // what the sentences are made of
	Sentences []string // each of at most 25 words
	Aside     Aside    // of the text on a terminal alone
}

// Aside is a word on one of the sentences of an answer that holds on a terminal alone: which option
// shows the rest.
type Aside struct{ Behind, Words string }

// onTerminal are the sentences with the aside.
func (a *Answer) onTerminal() []string {
	out := slices.Clone(a.Sentences)
	if i := slices.Index(out, a.Aside.Behind); i >= 0 && a.Aside.Words != "" {
		out[i] = strings.TrimSuffix(out[i], ".") + " (" + a.Aside.Words + ")."
	}
	return out
}

// Object is the answer as a command's JSON holds it.
func (a *Answer) Object() Object {
	return Object{{"verdict", a.Verdict}, {"facts", a.Facts}, {"sentences", a.Sentences}}
}

// Detail says how much of a report is told as text.
type Detail uint8

// Details.
const (
	Usual Detail = iota // the answer, a short table, warnings and cautions
	Brief               // the answer alone
	Full                // everything
)

// answerLines is how many lines an answer takes at most, at usualColumns; answerSentences how many sentences it has.
const (
	answerLines     = 6
	answerSentences = 6
	usualColumns    = 100
)

// text lays the answer out: a line for each sentence where that takes few
// lines, else one paragraph.
func (a *Answer) text(show output.Terminal, detail Detail) string {
	var b strings.Builder
	sentences := a.Sentences
	if detail != Full {
		sentences = a.onTerminal()
	}
	width := min(show.Columns, usualColumns)
	lines := func(columns int) string {
		var out strings.Builder
		for _, s := range sentences {
			out.WriteString(wrap(s, columns, "- ", "  "))
		}
		return out.String()
	}
	if strings.Count(lines(usualColumns), "\n") <= answerLines {
		return lines(width)
	}
	b.WriteString(wrap(strings.Join(sentences, " "), width, "", ""))
	return b.String()
}

// AnswerFits tells whether sentences are no more, and take no more lines, than an answer may.
func AnswerFits(sentences []string) bool {
	return len(sentences) <= answerSentences && strings.Count(wrap(strings.Join(sentences, " "), usualColumns, "", ""), "\n") <= answerLines
}

// verdicts are the answer as the head of a page: its first sentence set off.
func (a *Answer) verdicts() []Verdict {
	out := []Verdict{{Word: a.Sentences[0]}}
	if len(a.Sentences) > 1 {
		out = append(out, Verdict{Text: strings.Join(a.Sentences[1:], " ")})
	}
	return out
}
