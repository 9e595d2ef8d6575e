package main

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/pflag"

	"rundown/cmd/internal/output"
	"rundown/cmd/internal/parts"
	"rundown/cmd/internal/report"
	"rundown/params/sheet"
)

// flagSet reads the flags of one command strictly: a flag that is repeated, a
// number with anything else in it, or a yes-or-no flag followed by "false"
// (which would be taken for a file name) is refused, never guessed at.
type flagSet struct {
	*pflag.FlagSet
	command *command
	unused  []string // flags of which nothing hangs in this call, although they have a value
}

func newFlags(c *command) *flagSet {
	f := pflag.NewFlagSet(c.name, pflag.ContinueOnError)
	f.SortFlags = false
	f.Usage = func() {}
	return &flagSet{FlagSet: f, command: c}
}

// read parses the arguments and gives those that are not flags, between least
// and most of them. -h and --help print the command's help and give ErrHelp.
func (f *flagSet) read(env *environment, args []string, least, most int) ([]string, error) {
	err := f.ParseAll(args, func(flag *pflag.Flag, value string) error {
		if _, many := flag.Value.(*list); flag.Changed && !many {
			return errRepeated
		}
		return f.Set(flag.Name, value)
	})
	if errors.Is(err, pflag.ErrHelp) {
		if err := env.print(env.commandHelp(f.command)); err != nil {
			return nil, err
		}
		return nil, pflag.ErrHelp
	}
	if err != nil {
		return nil, f.refuse(err, args)
	}
	if err := f.strayBoolean(args); err != nil {
		return nil, err
	}
	rest := f.Args()
	if i := slices.Index(rest, ""); i >= 0 {
		return nil, f.wrong("an empty name was given where a file or a word is expected", "leave it out; if it stands for a variable of the shell, that has no value")
	}
	if out := f.Lookup("out"); out != nil && out.Changed { // told before any run
		if err := output.Rehearse(out.Value.String(), f.signs()...); err != nil {
			return nil, err
		}
	}
	if len(rest) < least {
		return nil, f.wrong("something is missing: rundown "+f.command.name+" "+f.command.synopsis, "")
	}
	if len(rest) > most {
		return nil, f.wrong(fmt.Sprintf("%s is one argument too many: rundown %s %s", quoted(rest[most]), f.command.name, f.command.synopsis), "")
	}
	return rest, nil
}

// signs are files that a call with --out would write: a part is one alone.
func (f *flagSet) signs() []string {
	if part := f.Lookup("part"); part != nil && part.Changed {
		p := part.Value.(partFlag).to
		return []string{parts.FileName(p.part, p.of, max(1, p.round))}
	}
	return []string{pageFile, "provenance.json", f.command.name + ".json"}
}

var errRepeated = errors.New("given twice")

func (f *flagSet) wrong(text, hint string) error {
	return &usageError{command: f.command.name, text: text, hint: hint}
}

// refuse puts the parser's complaint into words that help.
func (f *flagSet) refuse(err error, args []string) error {
	var unknown *pflag.NotExistError
	var invalid *pflag.InvalidValueError
	var missing *pflag.ValueRequiredError
	switch {
	case errors.As(err, &unknown):
		name := unknown.GetSpecifiedName()
		if short := unknown.GetSpecifiedShortnames(); short != "" {
			return f.wrong("there is no flag -"+short, "flags are written with two dashes: "+strings.Join(f.names("--"), ", "))
		}
		if name == "part" {
			return f.wrong(notParted(f.command.name), "leave --part out: it is a flag of "+strings.Join(parted(), ", "))
		}
		if name == "posterior" && f.command.name == "search" {
			return f.wrong("a menu begins before its first season and cannot go on from counts: they are of a plan's past, and a menu has none",
				"write the rotations that you think of as plans with the seasons that are past in front, and give them to 'rundown compare' with --posterior; "+
					"or put the heads that were counted last into the menu, as heads_per_m2")
		}
		hint := sheet.DidYouMean(name, f.names(""))
		if near := sheet.Nearest(name, f.names("")); near != "" {
			hint = "did you mean --" + near + "?"
		}
		return f.wrong("there is no flag --"+name+" of rundown "+f.command.name, hint)
	case errors.As(err, &missing):
		return f.wrong("--"+missing.GetSpecifiedName()+" needs a value after it", "")
	case errors.As(err, &invalid):
		return f.wrong(fmt.Sprintf("--%s %s: %v", invalid.GetFlag().Name, invalid.GetValue(), invalid.Unwrap()), "")
	case errors.Is(err, errRepeated):
		return f.wrong("a flag is "+errRepeated.Error()+": "+f.repeated(args), "give each flag once")
	}
	return f.wrong(err.Error(), "")
}

// names are the flags of the command, each after a prefix.
func (f *flagSet) names(prefix string) []string {
	var names []string
	f.VisitAll(func(flag *pflag.Flag) { names = append(names, prefix+flag.Name) })
	return names
}

// repeated is the first flag that stands twice in the arguments and may not.
func (f *flagSet) repeated(args []string) string {
	seen := map[string]bool{}
	for _, a := range args {
		name, _, _ := strings.Cut(a, "=")
		if flag := f.Lookup(strings.TrimPrefix(name, "--")); flag != nil {
			if _, many := flag.Value.(*list); many {
				continue
			}
		}
		if strings.HasPrefix(name, "--") && seen[name] {
			return name
		}
		seen[name] = true
	}
	return "?"
}

// listing shows every flag with its value and default, for help.
func (f *flagSet) listing(columns int) string {
	var terms []report.Term
	f.VisitAll(func(flag *pflag.Flag) {
		name, text := "--"+flag.Name, flag.Usage
		if flag.NoOptDefVal == "" {
			name += " " + strings.ToUpper(flag.Value.Type())
			if flag.DefValue != "" {
				text += " (" + flag.DefValue + ")"
			}
		}
		terms = append(terms, report.Term{Name: name, Text: text})
	})
	return report.Listing(terms, "  ", columns)
}

// strayBoolean finds "--quiet false": the parser takes --quiet as given and
// "false" as a file name.
func (f *flagSet) strayBoolean(args []string) error {
	for i, a := range args {
		if a == "--" {
			return nil
		}
		flag := f.Lookup(strings.TrimPrefix(a, "--"))
		if !strings.HasPrefix(a, "--") || flag == nil || flag.NoOptDefVal == "" || i+1 == len(args) {
			continue
		}
		switch next := strings.ToLower(args[i+1]); next {
		case "true", "false", "yes", "no", "on", "off", "0", "1":
			return f.wrong(fmt.Sprintf("%s takes no value, but %q follows it", a, args[i+1]),
				fmt.Sprintf("leave %s out, or write %s=false", a, a))
		}
	}
	return nil
}

// whole is a flag for a whole number within limits, in plain digits.
type whole struct {
	to        *int
	low, high int
}

func (w whole) String() string {
	if w.to == nil || *w.to < w.low {
		return "" // not given, and the default is said in the flag's usage
	}
	return strconv.Itoa(*w.to)
}

func (w whole) Type() string { return "number" }

func (w whole) Set(s string) error {
	n, err := strconv.Atoi(s)
	if err != nil || !digits(s) || n < w.low || n > w.high {
		return fmt.Errorf("expected a whole number from %d to %d, in plain digits", w.low, w.high)
	}
	*w.to = n
	return nil
}

// seed is a flag for the seed of the random numbers.
type seed struct{ to *uint64 }

func (s seed) String() string {
	if s.to == nil {
		return ""
	}
	return strconv.FormatUint(*s.to, 10)
}

func (s seed) Type() string { return "number" }

func (s seed) Set(text string) error {
	n, err := strconv.ParseUint(text, 10, 64)
	if err != nil || !digits(text) {
		return errors.New("expected a whole number from 0 to 18446744073709551615, in plain digits")
	}
	*s.to = n
	return nil
}

func digits(s string) bool {
	return s != "" && strings.Trim(s, "0123456789") == "" && (s == "0" || s[0] != '0')
}

// place is a flag for a file or folder; a name that begins with a dash is
// taken for a flag whose value was forgotten.
type place struct{ to *string }

func (p place) String() string {
	if p.to == nil {
		return ""
	}
	return *p.to
}

func (p place) Type() string { return "path" }

func (p place) Set(s string) error {
	if s == "" || strings.HasPrefix(s, "-") {
		return errors.New("expected the name of a folder or file (one that begins with a dash is written ./-name)")
	}
	*p.to = s
	return nil
}

// number is a flag that takes a finite number within limits.
type number struct {
	to        *float64
	low, high float64
}

func (n number) String() string {
	if n.to == nil || *n.to == 0 {
		return "" // not given, and the default is said in the flag's usage
	}
	return strconv.FormatFloat(*n.to, 'g', -1, 64)
}

func (n number) Type() string { return "number" }

func (n number) Set(s string) error {
	x, err := strconv.ParseFloat(s, 64)
	if err != nil || !(x >= n.low && x <= n.high) || strings.ContainsAny(s, "xX_") {
		return fmt.Errorf("expected a number from %g to %g", n.low, n.high)
	}
	*n.to = x
	return nil
}
