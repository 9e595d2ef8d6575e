package findings

import "rundown/cmd/internal/report"

// page is what the page of counts says beyond its text.
func (c *quadratsCounted) page(r *report.Report) *report.Page {
	p := &report.Page{Field: c.Name, Question: "What do the quadrats say?"}
	for _, s := range r.Answer.Sentences {
		p.Answer = append(p.Answer, report.Verdict{Text: s})
	}
	if c.Compare {
		p.Question = "Is one side really cleaner than the other?"
	}
	numbers := report.Chapter{ID: "numbers", Title: "In numbers", Words: []string{r.Subtitle}, Tables: r.Tables}
	numbers.Words = append(numbers.Words, r.Sentences...)
	if len(r.Pictures) > 1 {
		numbers.Pictures = r.Pictures[1:]
	}
	p.Chapters = []report.Chapter{numbers}
	return p
}
