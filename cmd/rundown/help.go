package main

import (
	"fmt"
	"strings"

	"rundown/cmd/internal/report"
)

const programAbout = `rundown projects how the grass weeds of a field run down or build up over the
years of a rotation, as a spread of what may happen: weed heads, seedbank, yield
and margin, season by season.`

const programEnd = `Exit codes: 0 done; 1 a check failed; 2 wrong use; 3 bad input (mistakes in a
plan, a file that cannot be read); 4 could not finish (interrupted, disk full).

NO_COLOR switches colour off; COLUMNS sets the width of text.`

// help shows the program's help, or that of one command.
func (env *environment) help(args []string) error {
	if len(args) > 1 {
		return &usageError{text: quoted(args[1]) + " is one argument too many: rundown help [COMMAND]"}
	}
	if len(args) == 0 || args[0] == "-h" || args[0] == "--help" {
		return env.print([]byte(programHelp(env.out.Columns)))
	}
	c := find(args[0])
	if c == nil {
		return unknownCommand(args[0])
	}
	return env.print(env.commandHelp(c))
}

func programHelp(columns int) string {
	var b strings.Builder
	b.WriteString(report.Paragraphs(programAbout, columns) + "\nUsage: rundown COMMAND [ARGUMENTS] [FLAGS]\n\nCommands:\n")
	terms := []report.Term{}
	for _, c := range commands() {
		terms = append(terms, report.Term{Name: strings.TrimSpace(c.name + " " + c.synopsis), Text: c.summary})
	}
	terms = append(terms, report.Term{Name: "help [COMMAND]", Text: "how the program, or one command, is used"})
	b.WriteString(report.Listing(terms, "  ", columns))
	b.WriteString("\nTo begin:\n  rundown new plan.yaml        a commented plan to edit\n" +
		"  rundown check plan.yaml      every mistake in it, with its place\n" +
		"  rundown forecast plan.yaml   the forecast\n\n")
	b.WriteString(report.Paragraphs(programEnd, columns))
	return b.String()
}

// commandHelp is everything that can be said to a command.
func (env *environment) commandHelp(c *command) []byte {
	var b strings.Builder
	f := c.flags(c)
	hasFlags := f.HasFlags()
	fmt.Fprintf(&b, "Usage: rundown %s", strings.TrimSpace(c.name+" "+c.synopsis))
	if hasFlags {
		b.WriteString(" [FLAGS]")
	}
	b.WriteString("\n\n" + report.Paragraphs(strings.ToUpper(c.summary[:1])+c.summary[1:]+".", env.out.Columns))
	if c.about != "" {
		b.WriteString("\n" + report.Paragraphs(c.about, env.out.Columns))
	}
	if hasFlags {
		b.WriteString("\nFlags:\n" + f.listing(env.out.Columns))
	}
	b.WriteString("\nExamples:\n")
	for _, e := range c.examples {
		b.WriteString("  " + e + "\n")
	}
	return []byte(b.String())
}
