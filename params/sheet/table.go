package sheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Kind is the kind of value that a key takes.
type Kind uint8

// Kinds of value.
const (
	Text       Kind = iota // one line of text
	Name                   // lower-case words with hyphens, of a kind of the library
	Number                 // with a unit and limits
	Whole                  // a whole number, with limits
	YesNo                  // yes or no
	FullDate               // 2026-08-01
	AnnualDate             // 12 Oct
	EitherDate             // either of the two
	Choice                 // one of a few words
	List                   // of values read by Of
	Nested                 // a mapping read by Table
	Free                   // a mapping with keys of the user's choice, values read by Of
	Uncertain              // a number, or {low, high}: its 5 % and 95 % points
	OneOf                  // the first of Forms that fits
	Raw                    // anything; kept as a Node
	Reserved               // a key that is kept for later and refused now
)

// Key is one key of a table.
type Key struct {
	Name     string
	Kind     Kind
	Doc      string   // one line for comments, documentation and the schema
	Unit     string   // of numbers; "" for none
	Low      float64  // limits of a number, unless both are 0
	High     float64  // may be infinite
	Above    bool     // Low itself is refused
	Choices  []string // of Choice
	Library  string   // of Name, and of the keys of Free: the kind in the library
	New      bool     // of Name: what is named is new, so it must have the form of a name; others are looked up by who reads them
	Required bool
	Count    int    // of List: how many items there must be; 0 for any number
	Least    int    // of List: the fewest items
	Table    *Table // of Nested
	Of       *Key   // of List and Free
	FreeKey  string // of Free: what its keys are, in words
	Forms    []Key  // of OneOf; forms that take one word stand in the order in which they are tried
	Sign     string // of a form that is a mapping: the key by which it is known among others; "" for the form of all that have none
}

// Table is the keys of a mapping.
type Table struct {
	Name    string // in words, for messages: "the field", "a drilling"
	Keys    []Key
	Instead map[string]string // a key that users may try → what to do instead
	Rules   []Rule            // on which keys go together; for the schema
	Least   int               // the fewest keys; for the schema
}

// Rule says which keys of a mapping go together. Who reads the mapping checks
// it, in words that fit; it stands here so that the schema knows it too.
type Rule struct {
	Kind RuleKind
	Keys []string
}

// RuleKind is the kind of a Rule.
type RuleKind uint8

// Kinds of rule.
const (
	ExactlyOne RuleKind = iota // of the keys is written
	AtLeastOne                 // of the keys is written
	NotBoth                    // of two keys are written
)

// Key finds a key; nil when there is none.
func (t *Table) Key(name string) *Key {
	for i := range t.Keys {
		if t.Keys[i].Name == name {
			return &t.Keys[i]
		}
	}
	return nil
}

// Names lists the keys in the order of the table, without reserved ones.
func (t *Table) Names() []string {
	var names []string
	for _, k := range t.Keys {
		if k.Kind != Reserved {
			names = append(names, k.Name)
		}
	}
	return names
}

// limited tells whether a number has limits.
func (k *Key) limited() bool { return k.Low != 0 || k.High != 0 }

// Limits writes a key's limits in words, "" for none.
func (k *Key) Limits() string {
	low, high := k.Low, k.High
	if !k.limited() {
		return ""
	}
	switch {
	case math.IsInf(high, 1) && k.Above:
		return "above " + Plain(low)
	case math.IsInf(high, 1):
		return Plain(low) + " or more"
	case math.IsInf(low, -1):
		return Plain(high) + " or less"
	case k.Above:
		return fmt.Sprintf("above %s, at most %s", Plain(low), Plain(high))
	}
	return fmt.Sprintf("from %s to %s", Plain(low), Plain(high))
}

// inside tells whether a number keeps a key's limits.
func (k *Key) inside(x float64) bool {
	if !k.limited() {
		return true
	}
	return x <= k.High && (x > k.Low || x == k.Low && !k.Above)
}

// Plain writes a number in its shortest exact form, without an exponent where
// it can be read.
func Plain(x float64) string {
	if a := math.Abs(x); a != 0 && (a < 1e-6 || a >= 1e15) {
		return strconv.FormatFloat(x, 'g', -1, 64)
	}
	return strconv.FormatFloat(x, 'f', -1, 64)
}

// expects says in words what a key takes.
func (k *Key) expects() string {
	switch k.Kind {
	case Text:
		return "text"
	case Name:
		return "a name such as " + example(k.Library)
	case Number, Whole:
		return k.number()
	case YesNo:
		return "yes or no"
	case FullDate:
		return "a date like 2026-08-01"
	case AnnualDate:
		return "a date like 12 Oct"
	case EitherDate:
		return "a date like 12 Oct or 2026-10-12"
	case Choice:
		return strings.Join(k.Choices, " or ")
	case List:
		return "a list"
	case Nested:
		return "a mapping with the keys " + strings.Join(k.Table.Names(), ", ")
	case Free:
		return "a mapping from " + k.FreeKey + " to " + k.Of.expects()
	case Uncertain:
		return k.number() + " or {low: …, high: …}"
	case OneOf:
		var s []string
		for i := range k.Forms {
			s = append(s, k.Forms[i].expects())
		}
		return strings.Join(s, ", or ")
	}
	return "a value"
}

// number describes a number with its unit and limits.
func (k *Key) number() string {
	s := "a number"
	if k.Kind == Whole {
		s = "a whole number"
	}
	if k.Unit != "" && k.Unit != "fraction" && k.Unit != "number" {
		s += " (" + k.Unit + ")"
	}
	if l := k.Limits(); l != "" {
		s += " " + l
	}
	return s
}

func example(kind string) string {
	if e := map[string]string{
		"weeds": "black-grass", "crops": "winter-wheat", "covers": "mustard", "implements": "shallow-disc",
		"herbicides": "spring-contact", "soils": "clay", "climates": "east-lowland", "operations": "plough",
	}[kind]; e != "" {
		return e
	}
	return "two-words"
}
