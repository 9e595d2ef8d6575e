package params

import (
	"fmt"

	"rundown/params/sheet"
)

// SpreadKind is the family of a spread.
type SpreadKind uint8

// Families of spread. The median of Lognormal and LogitNormal is Central, the
// mean of Normal before truncation and of Beta is Central, the mode of
// Triangular and Range is.
const (
	Fixed       SpreadKind = iota
	Lognormal              // A: geometric sd
	Normal                 // A: sd; truncated to Low..High
	LogitNormal            // A: sd on the logit scale
	Beta                   // A, B: the two shapes
	Triangular             // A, B, C: low, mode, high
	Range                  // A, B: low, high; triangular with its mode at Central
	Stated                 // A, B: a range that is shown, never drawn
)

// spreadWords are the families as files write them.
var spreadWords = [...]string{"fixed", "lognormal", "normal", "logitnormal", "beta", "triangular", "range", "stated"}

// String is the family as files write it.
func (k SpreadKind) String() string { return spreadWords[k] }

// Spread says how a value is drawn.
type Spread struct {
	Kind     SpreadKind
	A, B, C  float64
	PerEvent bool // drawn anew for each spray or pass, not once per replicate
}

// Drawn tells whether a replicate draws the value: it has a spread that is
// neither merely stated nor drawn for each event.
func (v *Value) Drawn() bool {
	return v.Row == nil && v.Spread.Kind != Fixed && v.Spread.Kind != Stated && !v.Spread.PerEvent
}

// String writes the spread in words.
func (s Spread) String() string {
	p := sheet.Plain
	text := "fixed"
	switch s.Kind {
	case Lognormal:
		text = "lognormal, geometric sd " + p(s.A)
	case Normal:
		text = "normal, sd " + p(s.A)
	case LogitNormal:
		text = "logit-normal, sd " + p(s.A)
	case Beta:
		text = fmt.Sprintf("beta(%s, %s)", p(s.A), p(s.B))
	case Triangular:
		text = fmt.Sprintf("triangular, %s to %s", p(s.A), p(s.C))
	case Range:
		text = fmt.Sprintf("range, %s to %s", p(s.A), p(s.B))
	case Stated:
		text = fmt.Sprintf("%s to %s, not drawn", p(s.A), p(s.B))
	}
	if s.PerEvent {
		text += ", drawn for each pass"
	}
	return text
}
