package findings

import (
	"fmt"
	"slices"

	"rundown/cmd/internal/report"
	"rundown/sim"
)

// page is what the page of an update says beyond its text.
func (u *updated) page(r *report.Report) *report.Page {
	c := u.Calendar
	n, i := len(u.after)-1, u.Ahead
	key := func(name, unit string, f report.Form, b report.Band) report.KeyNumber {
		k := report.KeyNumber{Name: name, Unit: unit, Value: f.Value(b.P50)}
		if low, high := f.Value(b.P05), f.Value(b.P95); low != high {
			k.Range = low + " to " + high
		}
		return k
	}
	last, seen := u.last()
	counted, per := countKinds[last.Kind][0], "per m²"
	if all, ok := u.headsInAll(); ok {
		counted, per = "Weed heads out", "per m², of "+all.after+" in all"
	}
	stop := len(r.Sentences)
	if u.Posterior != "" {
		stop--
	}
	p := &report.Page{
		Field:    fieldLine(u.Run),
		Question: fmt.Sprintf("What do the counts up to %s say about the %s of %s?", u.Result.Posterior.Last.Short(), weedName(c), c.Name),
		Scale:    verdictScale,
		Keys: []report.KeyNumber{
			key(fmt.Sprintf("%s, %s", counted, last.Watch.Day.Short()), per, density, report.Band(seen.Posterior)),
			key(fmt.Sprintf("Seed, new seed too, harvest %d", u.after[i].HarvestYear), "per m²", forms[sim.SeedbankJune], u.after[i].Bands[sim.SeedAfter]),
			key(fmt.Sprintf("Heads, harvest %d", u.after[n].HarvestYear), "per m²", forms[sim.Heads], u.after[n].Bands[sim.Heads]),
		},
		Main:    &r.Pictures[0],
		Assumed: assumedChapter(u.Run, u.Update.Before),
	}
	p.Chapters = []report.Chapter{
		{ID: "counts", Title: "The counts", Words: []string{
			"Left of each mark what the forecast expected of the field that day, right of it what is thought now; the mark is what the quadrats say by " +
				"themselves, with their 90 % interval. What is thought now lies between the two, nearer to the one that is surer."},
			Pictures: r.Pictures[1:2], Leading: r.Tables[:1]},
		{ID: "seasons", Title: "Season by season", Words: []string{
			"Seasons that are over changed because the field's own past is known better; those to come because they begin elsewhere. The weather and luck " +
				"of the future are as open as before.", u.seedSentence()},
			Tables: r.Tables[1:2]},
		{ID: "moved", Title: "What was learnt", Words: []string{u.movedSentence(),
			"Counts tell what this field has better than why it has it: much that could explain a count moves together, a little each. A wide interval here " +
				"is no fault."},
			Pictures: r.Pictures[2:3], Tables: []report.Table{u.movedTable(true)}},
		planChapter(u.Run, u.after),
		{ID: "method", Title: "How it was done", Words: []string{u.methodSentence(),
			"Every history is a run of the model with values and luck of its own. Histories are weighed by how likely they make the quadrats (negative " +
				"binomial, with how patchy the weed is left open), drawn anew where few carry the weight, and moved so that they do not all become one. An " +
				"effective sample size is how many equal histories would tell as much."},
			Tables: []report.Table{u.stepsTable()}},
	}
	p.Chapters = slices.Insert(p.Chapters, 3, u.learntChapter()...)
	if text := u.disagreeing(); text != "" {
		p.Chapters[0].Words = append(p.Chapters[0].Words, text)
	}
	if stop < len(r.Sentences) {
		p.Chapters[1].Words = append(p.Chapters[1].Words, r.Sentences[stop])
	}
	return p
}
