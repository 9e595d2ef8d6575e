package main

import (
	"bytes"
	"context"
	"slices"
	"strings"

	"rundown/cmd/internal/findings"
	"rundown/cmd/internal/report"
	"rundown/params"
	"rundown/params/sheet"
	"rundown/sim/study"
)

type libraryOptions struct {
	json, grades, bibtex bool
	library              string // folder of the user's own library
}

// libraryUsage is the help of --library.
const libraryUsage = "your own library, a folder laid over the program's: DIR/weeds/NAME.yaml and so on"

func libraryCommand() *command {
	return &command{
		name: "library", synopsis: "[KIND [NAME]]", summary: "what can be named in a plan, with values and sources",
		about: "Without arguments the kinds; with a KIND its entries; with a NAME every value of the " +
			"entry. Weeds and crops also answer to their EPPO code. The grade says how far a " +
			"value can be trusted: published, grey, memory, derived, assumed.",
		examples: []string{"rundown library", "rundown library crops", "rundown library weeds black-grass", "rundown library --grades", "rundown library --bibtex"},
		flags:    func(c *command) *flagSet { return libraryFlags(c, &libraryOptions{}) },
		run:      runLibrary,
	}
}

func libraryFlags(c *command, o *libraryOptions) *flagSet {
	f := newFlags(c)
	f.BoolVar(&o.json, "json", false, "print one JSON object and nothing else: entries with all their values")
	f.BoolVar(&o.grades, "grades", false, "count the values of each grade, and weigh them by what they make of the spread of heads")
	f.BoolVar(&o.bibtex, "bibtex", false, "print the works cited as BibTeX: without arguments those of the methods too")
	f.Var(place{&o.library}, "library", libraryUsage)
	return f
}

func runLibrary(ctx context.Context, env *environment, args []string) error {
	var o libraryOptions
	f := libraryFlags(libraryCommand(), &o)
	rest, err := f.read(env, args, 0, 2)
	if err != nil {
		return err
	}
	if o.json && o.grades {
		return f.wrong("--json and --grades do not go together", "the JSON holds the grade of every value")
	}
	if o.bibtex && (o.json || o.grades) {
		return f.wrong("--bibtex goes with neither --json nor --grades", "leave one of them out")
	}
	library, err := withCancel(ctx, func() (*params.Library, error) { return openLibrary(o.library) })
	if err != nil {
		return err
	}
	var entries []*params.Entry
	if len(rest) > 0 || o.json || o.grades || o.bibtex { // the list of kinds needs none of them read
		if entries, err = choose(f, library, rest); err != nil {
			return err
		}
	}
	if o.bibtex {
		works, err := cited(entries, len(rest) == 0)
		if err != nil {
			return err
		}
		return env.print([]byte(params.BibTeX(works)))
	}
	if o.json {
		b, err := jsonBytes(findings.LibraryDocument(library, entries))
		if err != nil {
			return err
		}
		return env.print(b)
	}
	var b bytes.Buffer
	if err := libraryReport(library, entries, rest, o).Text(&b, env.out); err != nil {
		return err
	}
	return env.print(b.Bytes())
}

// cited are the works that the values of entries rest on; of the whole library all that
// it has, and those that the methods are from.
func cited(entries []*params.Entry, whole bool) ([]params.Source, error) {
	works, err := params.Sources()
	if err != nil {
		return nil, &unfinished{what: "the sources cannot be read", cause: err}
	}
	if whole {
		return append(works, findings.Methods()...), nil
	}
	return slices.DeleteFunc(works, func(s params.Source) bool {
		return !slices.ContainsFunc(entries, func(e *params.Entry) bool {
			return slices.ContainsFunc(e.Keys, func(key string) bool { return s.Cites(e.Values[key]) })
		})
	}), nil
}

// openLibrary is the program's library with a user's own, in dir, laid over it;
// "": none.
func openLibrary(dir string) (*params.Library, error) {
	library, err := params.Load()
	if err != nil {
		return nil, &unfinished{what: "the library cannot be loaded", cause: err}
	}
	if dir != "" {
		mistakes := &sheet.Mistakes{}
		if err := overlay(library, dir, mistakes); err != nil {
			return nil, err
		}
		if mistakes.Len() > 0 {
			return nil, &planMistakes{mistakes: mistakes}
		}
	}
	return library, nil
}

func libraryReport(library *params.Library, entries []*params.Entry, named []string, o libraryOptions) *report.Report {
	switch {
	case o.grades:
		if len(named) > 0 {
			return findings.LibraryGrades(entries, nil, "")
		}
		weighed, err := study.WeighedExamples()
		if err != nil {
			weighed = nil // a test reads what the program carries
		}
		return findings.LibraryGrades(entries, weighed, library.SHA256())
	case len(named) == 0:
		return findings.LibraryKinds(library)
	case len(named) == 1:
		return findings.LibraryEntries(named[0], entries)
	}
	return findings.LibraryEntry(library, entries[0])
}

// kindMeant answers a word that is no kind: where the entry stands that it may mean, or the kinds.
func kindMeant(library *params.Library, word string) string {
	if sheet.Nearest(word, params.Kinds) == "" {
		if at := library.Places(word); len(at) > 0 {
			return "did you mean 'rundown library " + strings.Join(at[:min(len(at), 4)], "' or 'rundown library ") + "'?"
		}
	}
	return sheet.DidYouMean(word, params.Kinds)
}

// choose is the entries that the arguments name: all, those of a kind, or one.
func choose(f *flagSet, library *params.Library, named []string) ([]*params.Entry, error) {
	kinds := params.Kinds
	if len(named) > 0 {
		if !slices.Contains(kinds, named[0]) {
			return nil, f.wrong("there is no kind "+quoted(named[0])+" in the library", kindMeant(library, named[0]))
		}
		kinds = named[:1]
	}
	if len(named) == 2 {
		e := library.Find(named[0], named[1])
		if e == nil {
			return nil, f.wrong("there is nothing called "+quoted(named[1])+" among the "+named[0], library.DidYouMean(named[1], named[0]))
		}
		return []*params.Entry{e}, nil
	}
	var entries []*params.Entry
	for _, kind := range kinds {
		for _, name := range library.Names(kind) {
			entries = append(entries, library.Find(kind, name))
		}
	}
	return entries, nil
}
