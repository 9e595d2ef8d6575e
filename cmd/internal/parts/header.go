// Package parts is the file in which one part of the runs of a command waits for the
// others: what it holds and from what it was made, then columns of numbers. It knows
// files and columns, and nothing of weeds or models.
//
// A file is a line of text with the version of the format, a line of JSON, the
// numbers of every block (little-endian: one whole number of 64 bits, then its columns
// of float64, then those of whole numbers of 64 bits), and the SHA-256 of all before it.
package parts

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"path/filepath"
	"slices"
)

// Format is the version of the format that is written, and the only one that is read.
const Format = 1

// Most is how many parts there can be.
const Most = 10000

// Header is what a part says of itself.
type Header struct {
	Part   int      `json:"part"` // from 1
	Shared          // what all parts of one result have in common
	Call   []string `json:"call"` // command, flags and files as they were given, to work the result out
	CPU    string   `json:"cpu"`  // what the machine calls itself; "" when it does not say
	Blocks []Block  `json:"blocks"`
}

// Shared is what parts must agree in to belong together.
type Shared struct {
	Of        int      `json:"of"`        // number of parts
	Round     int      `json:"round"`     // 1 or 2
	Arguments []string `json:"arguments"` // command and all that can change a number
	Program   Program  `json:"program"`
	Machine   Machine  `json:"machine"`
	From      []Source `json:"from"`                   // what was read
	Rows      int      `json:"rows,omitempty"`         // of a table, of which parts are shares; 0: they are shares of the runs
	Run0      string   `json:"run_0_sha256,omitempty"` // of rows: of the first run of the first row, which every part makes
}

// Program is what made a part.
type Program struct {
	Version string `json:"version"`
	Commit  string `json:"commit"`
	Go      string `json:"go"`
	SHA256  string `json:"sha256"` // of its file
}

// Source is a file that was read, or the library.
type Source struct {
	Kind   string `json:"kind"` // "plan", "library" or "input"
	Name   string `json:"name"` // without folder
	SHA256 string `json:"sha256"`
}

// Block are the runs of one plan in one round: those from First on, Count of all
// Replicates.
type Block struct {
	For        string   `json:"for"`
	Plan       int      `json:"plan"`          // from 0
	Row        int      `json:"row,omitempty"` // from 0; of a table
	Replicates int      `json:"replicates"`
	First      int      `json:"first"`
	Count      int      `json:"count"`
	Columns    []string `json:"columns"` // names, each of them Seasons times
	Seasons    int      `json:"seasons"`
	Watches    int      `json:"watches"`            // columns more
	Work       int      `json:"work"`               // columns of whole numbers: what became of pieces of work
	Run0       string   `json:"replicate_0_sha256"` // of the first run of all, which every part makes
	Whole      int64    `json:"-"`                  // the whole number: runs with unlikely values
}

// columns is how many there are.
func (b *Block) columns() int { return len(b.Columns)*b.Seasons + b.Watches }

// bytes is what the block's numbers take.
func (b *Block) bytes() int64 { return 8 * (1 + int64(b.columns()+b.Work)*int64(b.Count)) }

// Range is the share of n runs that a part makes, which may be none.
func Range(n, part, of int) (first, count int) {
	first = (part - 1) * n / of
	return first, part*n/of - first
}

// FileName is what a part is called.
func FileName(part, of, round int) string {
	name := fmt.Sprintf("part-%d-of-%d.rundown", part, of)
	if round > 1 {
		name = fmt.Sprintf("round-%d-%s", round, name)
	}
	return name
}

// MostBlocks is how many blocks a part has at most.
const MostBlocks = 1 << 12

// Limits on what a header may say.
const (
	mostHeader  = 4 << 20 // bytes
	mostRuns    = 1 << 27
	mostColumns = 1 << 12
	mostSeasons = 1 << 10
	mostInAll   = 1 << 20 // columns
)

// wrong is why a header cannot be; "" when it can.
func (h *Header) wrong() string {
	switch {
	case h.Rows < 0 || h.Rows > mostRuns || h.Of < 1 || h.Of > Most || h.Part < 1 || h.Part > h.Of || h.Round < 1 || h.Round > 2:
		return fmt.Sprintf("it says that it is part %d of %d in round %d", h.Part, h.Of, h.Round)
	case len(h.Call) == 0 || len(h.Arguments) == 0 || h.Call[0] != h.Arguments[0]:
		return "it does not say of which command it is"
	case len(h.Blocks) == 0 || len(h.Blocks) > MostBlocks:
		return fmt.Sprintf("it says that it holds %d blocks", len(h.Blocks))
	}
	inAll := 0
	for i := range h.Blocks {
		b := &h.Blocks[i]
		if b.Replicates < 1 || b.Replicates > mostRuns || len(b.Columns) > mostColumns || b.Seasons < 0 || b.Seasons > mostSeasons ||
			b.Watches < 0 || b.Watches > mostColumns || b.Work < 0 || b.Work > mostColumns {
			return fmt.Sprintf("its block %d is of a size that none has", i+1)
		}
		if inAll += b.columns() + b.Work; inAll > mostInAll {
			return "it says that it holds more columns than any does"
		}
		if h.Rows > 0 {
			continue
		}
		if first, count := Range(b.Replicates, h.Part, h.Of); b.First != first || b.Count != count {
			return fmt.Sprintf("its block %d holds %d runs from %d on, not %d from %d on", i+1, b.Count, b.First, count, first)
		}
	}
	return h.wrongRows()
}

// wrongRows is why the rows of a part cannot be: it holds those of its share, in order and
// each of them whole.
func (h *Header) wrongRows() string {
	if h.Rows == 0 {
		return ""
	}
	first, count := Range(h.Rows, h.Part, h.Of)
	next := first // the row that comes next, or goes on
	for i := range h.Blocks {
		b := &h.Blocks[i]
		if begins := b.Plan == 0; begins && i > 0 {
			next++
		}
		if b.Row != next || b.Row >= first+count || b.First != 0 || b.Count != b.Replicates {
			return fmt.Sprintf("its block %d is not of a row that it should hold", i+1)
		}
	}
	if next != first+count-1 {
		return fmt.Sprintf("it holds the rows %d to %d, not to %d", first+1, next+1, first+count)
	}
	return ""
}

// key is a sum that is equal for parts that belong together.
func (h *Header) key() string {
	blocks := slices.Clone(h.Blocks)
	if h.Rows > 0 {
		blocks = nil // each part has its own
	}
	for i := range blocks {
		blocks[i].First, blocks[i].Count = 0, 0
	}
	text, err := json.Marshal(struct {
		Shared
		Blocks []Block
	}{h.Shared, blocks})
	if err != nil {
		panic(err) // text and whole numbers can always be written
	}
	sum := sha256.Sum256(text)
	return string(sum[:])
}

// Differs says in what a part differs from others that it lies with; "" if in nothing.
func (h *Header) Differs(from *Header) string {
	switch {
	case h.Of != from.Of:
		return fmt.Sprintf("it is one of %d parts, not of %d", h.Of, from.Of)
	case h.Round != from.Round:
		return fmt.Sprintf("it is of round %d, not of round %d", h.Round, from.Round)
	case h.Program != from.Program:
		return fmt.Sprintf("another program made it: %s, not %s", h.Program, from.Program)
	case !slices.Equal(h.Arguments, from.Arguments):
		return "it is of another command: " + unlike(h.Arguments, from.Arguments)
	}
	if why := OtherSource(h.From, from.From); why != "" {
		return why
	}
	if h.Machine != from.Machine {
		return fmt.Sprintf("it was made with another arithmetic, on %s, not on %s", h.machine(), from.machine())
	}
	if h.Run0 != from.Run0 {
		return fmt.Sprintf(otherDigits, h.machine(), from.machine())
	}
	if h.key() == from.key() {
		return ""
	}
	if len(h.Blocks) != len(from.Blocks) || h.Rows > 0 {
		return "it holds other runs"
	}
	for i := range h.Blocks {
		if h.Blocks[i].Run0 != from.Blocks[i].Run0 {
			return fmt.Sprintf(otherDigits, h.machine(), from.machine())
		}
	}
	return "it holds other runs"
}

const otherDigits = "it was made with another arithmetic: the same run gave other digits on %s than on %s"

// machine is the type of machine that made a part.
func (h *Header) machine() string {
	if h.CPU == "" {
		return h.Machine.String()
	}
	return h.Machine.String() + " (" + h.CPU + ")"
}

func (p Program) String() string {
	text := p.Version
	if p.Commit != "" {
		text += fmt.Sprintf(", commit %.12s", p.Commit)
	}
	return text + fmt.Sprintf(", %s, sha256 %.12s…", p.Go, p.SHA256)
}

// unlike are the first words in which two calls differ.
func unlike(here, there []string) string {
	word := func(x []string, i int) string {
		if i < len(x) {
			return x[i]
		}
		return "nothing"
	}
	i := 0
	for i < len(here) && i < len(there) && here[i] == there[i] {
		i++
	}
	return word(here, i) + ", not " + word(there, i)
}

// OtherSource says what was read otherwise; "" if nothing.
func OtherSource(here, there []Source) string {
	for i, s := range here {
		switch {
		case i >= len(there):
			return fmt.Sprintf("it was made from %s too", s)
		case s != there[i]:
			return fmt.Sprintf("it was made from %s, not from %s", s, there[i])
		}
	}
	if len(there) > len(here) {
		return fmt.Sprintf("it was made without %s", there[len(here)])
	}
	return ""
}

func (s Source) String() string {
	return fmt.Sprintf("the %s %s (sha256 %.12s…)", s.Kind, filepath.Base(s.Name), s.SHA256)
}

// sum is a SHA-256 in hexadecimal.
func sum(b []byte) string {
	s := sha256.Sum256(b)
	return hex.EncodeToString(s[:])
}
