// Package params is the library of what can be named in a plan: weeds, crops,
// covers, implements, herbicides, soils and climates. Every number in it is a
// Value with its unit, spread, source and grade; none lives in Go code.
//
// A Quantity says what a key means, with its unit and physical limits; a Spread
// says how a value is drawn, by the quantile function of its family (lognormal,
// logit-normal, beta, triangular, or a normal cut at the limits); a Space is
// the vector of all values that a plan draws. A user's own library is laid over
// the one that the program carries, under the same checks.
package params

import "rundown/params/date"

// Kinds are the folders of the library, in the order in which they are shown.
var Kinds = []string{"weeds", "crops", "covers", "implements", "herbicides", "genes", "soils", "climates"}

// Grade says how far a value can be trusted.
type Grade string

// Grades, best first.
const (
	Published Grade = "published" // read in a research paper or an official publication
	Grey      Grade = "grey"      // read in an extension page, trade article or company sheet
	Memory    Grade = "memory"    // recalled from published work, not read again
	Derived   Grade = "derived"   // arithmetic on values of the grades above
	Assumed   Grade = "assumed"   // judgement; no source
)

// Value is one quantity of the library.
type Value struct {
	Path    string    // kind/name/key, e.g. weeds/black-grass/seeds_per_head; a plan's own value has its YAML path
	Label   string    // in words, e.g. "viable share of seed at shedding"
	Short   string    // at most 28 characters, one of its entry: "viable share of seed"; it may change, the path stays
	Unit    string    // as in the key table; "fraction", "date" (day of a common year, 1..365), …
	Central float64   // the value when parameters are held at their centre
	Row     []float64 // a fixed list instead of Central (twelve months; 5 × 5 shares, 5·from + to); never drawn
	Spread  Spread    // how it is drawn; Fixed if it is not
	Low     float64   // physical limits: a draw or an override outside them is an error
	High    float64
	Grade   Grade
	Source  string // author, year, journal; evidence row; "common practice"; "assumed"
	Note    string // where sources conflict, or what to mind; may be empty
	From    string // where it came from: "library", or file:line of a user's library or plan
	OfField bool   // the field's own: of the fields of a farm each has its own draw
	Over    *Value // of a user's library: the program's own value under it; nil where there is none
}

// Entry is one thing that can be named in a plan.
type Entry struct {
	Kind   string              // one of Kinds
	Name   string              // lower-case words with hyphens
	About  string              // one plain sentence
	EPPO   string              // weeds and crops: EPPO code; may be empty
	Text   map[string]string   // words that are not numbers: "season": "autumn", "role": "drill", …
	Lists  map[string][]string // lists of names: "actives", "hrac", …
	Values map[string]*Value   // by key
	Keys   []string            // the keys of Values in the order of the key table
	Usual  any                 // crops: the season written as usual practice, a *sheet.Node for rotations
}

// Value is the value under a key; nil when the entry has none.
func (e *Entry) Value(key string) *Value { return e.Values[key] }

// Record is a daily weather record without gaps.
type Record struct {
	Start  date.Day  // the first day
	TminC  []float64 // one per day, °C
	TmaxC  []float64
	RainMM []float64
	File   string     // its name as the plan gives it
	SHA256 string     // of its bytes, in hexadecimal
	Filled []date.Day // days that lacked a value, which is the mean of its neighbours
	Days   string     // SHA-256 of its days, in hexadecimal: the same for every file that holds them
}
