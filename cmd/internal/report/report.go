// Package report holds what a command found as one value, the Report, and
// renders it: aligned text for a person, a page to hand over, tidy CSV and JSON
// for programs. It sees words and numbers; package findings, which makes Reports of
// results, knows the model.
package report

import "rundown/sim/bands"

// Report is everything a command has to say.
type Report struct {
	Title     string
	Subtitle  string   // what was run, in one line
	Answer    *Answer  // at the head of everything; nil: the command has none
	Detail    Detail   // of the text; all of it where there is no answer
	Short     Table    // of the usual text, behind the answer
	Lines     int      // that the usual text takes at most at usualColumns; the Short table gives way
	Sentences []string // more in plain words, most wanted first
	Terms     []Term   // a list of names with what each is
	Tables    []Table
	Series    []Series // the numbers behind tables and pictures, for CSV
	Pictures  []Picture
	Sparks    []Spark // small pictures for a terminal
	Span      [2]int  // harvest years of their first and last column
	Remarks   []Term  // on single rows of a table
	Sources   []Term  // numbered as the tables cite them
	Warnings  []Warning
	Cautions  []string // always shown
	Method    string   // how it was done, with sources; beside the cautions of the page and the full text
	Written   string   // which files hold the rest, as a sentence; may be empty
	Document  Object   // the command's JSON object, in the order of its format
	Made      Made
	Plans     []PlanText
	// Page makes what the HTML page says beyond the rest; it is called only when a
	// page is written. nil: the page is made from the fields above.
	Page func() *Page
}

// PlanText is a plan, or another file that was read, as written.
type PlanText struct{ Name, Text string }

// Term is a name and what is said of it.
type Term struct{ Name, Text string }

// Band summarises one quantity over the replicates.
type Band = bands.Band

// Series is one quantity of one season, for tidy CSV.
type Series struct {
	Season int // harvest year
	Metric string
	Unit   string
	Band   Band
}

// Warning is something about a result that its reader must know before acting
// on it.
type Warning struct {
	Code   string // stable word, e.g. "died-out"
	Season int    // 1 for the first season; 0: not about one season
	Text   string // complete sentence
	Usual  string // the same for the usual text where Text is long; "" for Text
	// Several warnings of one code are shown to a person as one note: the Lead
	// and every Detail. Both may be empty; then each Text is a note.
	Lead, Detail string
}

// Table is cells in words, laid out by the renderer.
type Table struct {
	Title   string
	Keys    int // so many leading columns name the row; they are repeated where the table is broken to fit
	Columns []Column
	Rows    []Row
	Legend  string // how to read a cell; shown above the table
	Apart   bool   // its rows are not seasons or plans, which notes are about
	Tight   bool   // no empty line behind the legend
	Ranked  bool   // where there is no room for all rows, the first stand
	Thinned bool   // where there is no room for all rows, some stand, evenly
	Floor   int    // whatever room there is, as many rows stand: the Key ones, or all where it has no more
	Foot    string // shown below it; may be empty

	spared []string // the columns that were left out
}

// Column is the heading of a column of a table.
type Column struct {
	Head  string
	Unit  string // second line of the heading; may be empty
	Right bool   // numbers stand to the right
	Spare int    // above 0: left out of a short table that is too wide, the highest first
	Band  bool   // cells such as 180 (40–620): the medians end in line, the brackets begin in line
	Said  string // what it is called in a sentence; "": as its head
}

// Row is one row of a table.
type Row struct {
	Cells  []string
	Season int  // notes about this season are marked in the first cell; 0: none
	Key    bool // it stands wherever the table is shortened
	Gap    bool // it stands for rows that are left out
}

// Provenance says what a result was made from. It holds neither clock nor
// host nor number of jobs: the same inputs give the same bytes.
type Provenance struct {
	Version       string        // of this program; "devel" when built from a working folder
	Commit        string        // "" when not known; ends in "+changes" when the folder was not clean
	Executable    func() string // what tells the program's own file from any other, asked for where it is written; nil: a commit stands for it
	Go            string        // version of Go
	Modules       []Module
	PlanSHA256    string
	Plan          PlanText // as written; not repeated in JSON
	LibrarySHA256 string
	Inputs        []Input  // other files that were read: weather, counts, a posterior
	Arguments     []string // those that can change a number
}

// Made says how a report came about.
type Made struct {
	Provenance
	Seed uint64
	Runs int // 0: no model was run, and Seed says nothing
}

// Input is a file that a result was made from.
type Input struct{ Name, SHA256 string }

// Module is one dependency.
type Module struct{ Path, Version string }
