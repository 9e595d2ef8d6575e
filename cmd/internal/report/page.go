package report

import (
	"slices"

	"rundown/cmd/internal/figure"
)

// Page is what an HTML page says beyond the report itself, in the order in
// which it says it. Whatever is left empty is made from the report.
type Page struct {
	Field    string      // the field, above the question
	Question string      // what the page answers
	Scale    string      // what the words of the answer mean; may be empty
	Answer   []Verdict   // two sentences, with their uncertainty in words and numbers
	Keys     []KeyNumber // at most three
	Few      *Table      // between answer and picture on every screen, not on paper; nil: none
	Main     *Picture    // beside the answer
	Chapters []Chapter
	Assumed  *Chapter // after the warnings
}

// Verdict is a sentence of the answer.
type Verdict struct {
	Word string // set off at its head: "Likely to run down"; may be empty
	Text string
}

// KeyNumber is one number to take away.
type KeyNumber struct {
	Name, Value, Unit string
	Range             string // "7.0 to 1,600"; may be empty
}

// Chapter is one part of the page.
type Chapter struct {
	ID       string // of the anchor; lower-case letters and hyphens
	Title    string
	Short    string   // in the list of contents; "" is the Title
	Words    []string // paragraphs beside it
	Pictures []Picture
	Tables   []Table // after the pictures
	Leading  []Table // before them
}

// Picture is a figure and the name of its files, without an ending.
type Picture struct {
	Name   string
	Figure figure.Figure
}

// page is the report's page with nothing left empty that can be made.
func (r *Report) page() *Page {
	p := &Page{}
	if r.Page != nil {
		p = r.Page()
	}
	if p.Question == "" {
		p.Question = r.Title
	}
	if len(p.Answer) == 0 && r.Answer != nil {
		p.Answer = r.Answer.verdicts()
	}
	if len(p.Answer) == 0 {
		for _, s := range r.Sentences[:min(2, len(r.Sentences))] {
			p.Answer = append(p.Answer, Verdict{Text: s})
		}
	}
	rest := r.Pictures
	if p.Main == nil && len(rest) > 0 {
		p.Main, rest = &rest[0], rest[1:]
	}
	if len(p.Chapters) == 0 {
		p.Chapters = plainChapters(r, rest)
	}
	return p
}

// keptRows is how many rows of a table go on the first side of paper, with the answer, a
// picture and the cautions.
const keptRows = 8

// sheetToKeep is the table of the first side of paper, where there is any, and what is said under it.
func (r *Report) sheetToKeep(notes []note, marks map[int]string) (*sheet, []string) {
	words := slices.Clone(r.Cautions)
	if n := len(notes); n > 0 {
		words = append([]string{"What to know before acting on this stands overleaf, under Warnings."}, words...)
	}
	t := r.Short
	if len(t.Rows) == 0 {
		if len(r.Tables) == 0 {
			return nil, words
		}
		t = r.Tables[0]
	}
	if n := len(t.Rows); n > keptRows {
		t = t.trimmed(keptRows)
		t.Legend += " Some rows are left out here; all stand overleaf."
	}
	s := newSheet(t, "In short", marks)
	return &s, words
}

// plainChapters are what is left of a report that makes no chapters of its own.
func plainChapters(r *Report, pictures []Picture) []Chapter {
	var out []Chapter
	if len(r.Sentences) > 2 {
		out = append(out, Chapter{ID: "more", Title: "Also", Words: slices.Clone(r.Sentences[2:])})
	}
	if len(r.Tables) > 0 {
		out = append(out, Chapter{ID: "numbers", Title: "In numbers", Tables: r.Tables})
	}
	if len(pictures) > 0 {
		out = append(out, Chapter{ID: "pictures", Title: "In pictures", Pictures: pictures})
	}
	return out
}
