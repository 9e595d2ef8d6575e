package update

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"

	"rundown/params/date"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/random"
)

// Format names the file that a posterior is kept in. A reader takes no other.
const Format = "rundown.posterior/3"

// Limits of what is kept and read. A particle takes 2 to 4 kB of a file.
const (
	MaxBytes     = 256 << 20
	MaxParticles = 50_000
)

// mostPerM2 is more than any field bears of what is counted.
const mostPerM2 = 1e9

// Size is about how many bytes a particle of so many values and counts takes in a
// file: a number has up to 22 digits and signs.
func Size(values, counts int) int { return 22*(values+counts+1) + 100 }

// A file's weights are shortest-exact, their sum is not: this is how far it
// may be from 1.
const weightsSlack = 1e-9

// Origin says what a posterior was made from.
type Origin struct {
	Version       string           `json:"version"` // of the program
	Plan          string           `json:"plan"`    // its field's name
	PlanSHA256    string           `json:"plan_sha256"`
	LibrarySHA256 string           `json:"library_sha256"`
	Counts        string           `json:"counts"` // name of the file of counts
	CountsSHA256  string           `json:"counts_sha256"`
	Past          []rotations.Fact `json:"past"` // what the plan said of the field up to the last count: rotations.Calendar.Past
}

// header is what a file says before its particles.
type header struct {
	Format string `json:"format"`
	Origin
	Seed    uint64      `json:"seed"`
	Last    string      `json:"last_count"`
	Watches []watchLine `json:"counted"`
	Paths   []string    `json:"paths"`
}

// watchLine is what was counted on a date.
type watchLine struct {
	Date    string  `json:"date"`
	Kind    string  `json:"kind"` // plants, heads or seed
	DepthCM float64 `json:"depth_cm"`
	PerM2   *number `json:"per_m2"` // all quadrats together
}

// particleLine is one history.
type particleLine struct {
	Weight number   `json:"weight"`
	Luck   []uint32 `json:"luck"` // by random.Kind
	Theta  []number `json:"theta"`
	Seen   []number `json:"seen"`
}

// number is a float64 that null is none of.
type number float64

func (n *number) UnmarshalJSON(text []byte) error {
	x, err := strconv.ParseFloat(string(text), 64)
	if err != nil || text[0] == '"' {
		return &noNumber{clip(string(text))}
	}
	*n = number(x)
	return nil
}

func numbers(x []float64) []number {
	out := make([]number, len(x))
	for i, v := range x {
		out[i] = number(v)
	}
	return out
}

func floats(x []number) []float64 {
	out := make([]float64, len(x))
	for i, v := range x {
		out[i] = float64(v)
	}
	return out
}

// kinds are what can be counted, as files name it.
var kinds = map[sim.Quantity]string{sim.WatchPlants: "plants", sim.WatchHeads: "heads", sim.WatchTop: "seed"}

// Write writes the posterior: JSON, one line for each history, numbers in the
// fewest digits that read back the same.
func (p *Posterior) Write(w io.Writer) error {
	h := header{Format: Format, Origin: p.Origin, Seed: p.Seed, Last: p.Last.String(), Paths: p.Paths}
	for i, x := range p.Watches {
		per := number(p.Counted[i].PerM2)
		h.Watches = append(h.Watches, watchLine{x.Day.String(), kinds[x.What], x.DepthCM, &per})
	}
	head, err := json.MarshalIndent(h, "", " ")
	if err != nil {
		return err
	}
	sum := sha256.New()
	out := bufio.NewWriter(io.MultiWriter(w, sum))
	_, _ = out.Write(bytes.TrimSuffix(head, []byte("\n}"))) // errors come at Flush
	_, _ = out.WriteString(",\n \"particles\": [\n")
	for i, x := range p.Particles {
		line, err := json.Marshal(particleLine{number(x.Weight), x.Streams[:], numbers(x.Theta), numbers(x.Seen)})
		if err != nil {
			return fmt.Errorf("particle %d: %w", i+1, err)
		}
		_, _ = out.Write(line)
		if i+1 < len(p.Particles) {
			_ = out.WriteByte(',')
		}
		_ = out.WriteByte('\n')
	}
	_, _ = out.WriteString("]")
	if err := out.Flush(); err != nil {
		return err
	}
	_, err = fmt.Fprintf(w, "%s%x\"}\n", sumLine, sum.Sum(nil))
	return err
}

// sumLine stands before the sum of all that a file holds above it.
const sumLine = ",\n \"sha256\": \""

// unchanged tells whether a file is as it was written: an edited history would be
// believed otherwise, since nothing in it looks wrong.
func unchanged(data []byte, sum string) error {
	if sum == "" {
		return errors.New("it has no sha256, the sum of what it holds; expected a file as 'rundown update PLAN COUNTS --posterior FILE' writes it")
	}
	at := max(bytes.LastIndex(data, []byte(sumLine)), 0)
	if fmt.Sprintf("%x", sha256.Sum256(data[:at])) != sum {
		return errors.New("it was changed after 'rundown update' wrote it: its sha256 is not the sum of what it holds; make it anew")
	}
	return nil
}

// Read reads what Write wrote. It takes nothing else: an unknown key, a number
// that is none, weights that do not add up to 1 and a file that ends early are
// errors that say where.
func Read(data []byte) (*Posterior, error) {
	if len(data) > MaxBytes {
		return nil, fmt.Errorf("it is larger than %d MiB", MaxBytes>>20)
	}
	var named struct {
		Format *string `json:"format"`
	}
	if err := json.Unmarshal(data, &named); err != nil {
		return nil, place(data, err)
	}
	switch {
	case named.Format == nil:
		return nil, errors.New("it is no posterior: it has no format; expected a file that 'rundown update PLAN COUNTS --posterior FILE' wrote")
	case *named.Format != Format:
		return nil, fmt.Errorf("its format is %.60q, expected %q: a file that 'rundown update PLAN COUNTS --posterior FILE' wrote", *named.Format, Format)
	}
	var f struct {
		header
		Particles []particleLine `json:"particles"`
		Sum       string         `json:"sha256"`
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(&f); err != nil {
		return nil, place(data, err)
	}
	p := &Posterior{Origin: f.Origin, Seed: f.Seed, Paths: f.Paths}
	if err := p.takeHeader(&f.header); err != nil {
		return nil, err
	}
	if err := p.takeParticles(f.Particles); err != nil {
		return nil, err
	}
	return p, unchanged(data, f.Sum)
}

func (p *Posterior) takeHeader(h *header) (err error) {
	if p.Last, err = date.ParseDay(h.Last); err != nil {
		return fmt.Errorf("last_count: %s", clip(err.Error()))
	}
	if len(h.Paths) == 0 || len(h.Watches) == 0 || len(h.Past) == 0 {
		return errors.New("paths, counted or past are missing: the file is not whole")
	}
	seen := map[string]bool{}
	for _, path := range h.Paths {
		if seen[path] {
			return fmt.Errorf("paths: %s stands twice", clip(path))
		}
		seen[path] = true
	}
	var before date.Day
	for i, x := range h.Watches {
		w := sim.Watch{DepthCM: x.DepthCM}
		if w.Day, err = date.ParseDay(x.Date); err != nil {
			return fmt.Errorf("counted[%d]: %s", i, clip(err.Error()))
		}
		known := false
		for what, name := range kinds {
			if name == x.Kind {
				w.What, known = what, true
			}
		}
		switch {
		case !known:
			return fmt.Errorf("counted[%d]: there is no kind %.40q; expected plants, heads or seed", i, x.Kind)
		case w.Day > p.Last || i > 0 && w.Day < before:
			return fmt.Errorf("counted[%d]: %v is out of order, the last count is of %v", i, w.Day, p.Last)
		case !(x.DepthCM >= 0 && x.DepthCM <= 20):
			return fmt.Errorf("counted[%d]: depth_cm is %g, expected 0 to 20", i, x.DepthCM)
		case x.PerM2 == nil:
			return fmt.Errorf("counted[%d]: per_m2 is missing: the file is not whole", i)
		case !(*x.PerM2 >= 0 && *x.PerM2 <= mostPerM2):
			return fmt.Errorf("counted[%d]: per_m2 is %g, expected 0 to %g", i, *x.PerM2, float64(mostPerM2))
		}
		p.Counted = append(p.Counted, sim.Counted{Day: w.Day, What: w.What, DepthCM: w.DepthCM, PerM2: float64(*x.PerM2)})
		before = w.Day
		p.Watches = append(p.Watches, w)
	}
	if before != p.Last {
		return fmt.Errorf("last_count is %v, but the last of what was counted is of %v", p.Last, before)
	}
	return nil
}

func (p *Posterior) takeParticles(lines []particleLine) error {
	if len(lines) == 0 || len(lines) > MaxParticles {
		return fmt.Errorf("it has %d particles, expected 1 to %d", len(lines), MaxParticles)
	}
	sum := 0.0
	for i, x := range lines {
		bad := func(format string, args ...any) error {
			return fmt.Errorf("particle %d of %d: %s", i+1, len(lines), fmt.Sprintf(format, args...))
		}
		switch {
		case !(x.Weight >= 0 && x.Weight <= 1): // a weight may be so small that it is 0
			return bad("its weight is %g, expected 0 to 1", x.Weight)
		case len(x.Theta) != len(p.Paths):
			return bad("theta has %d values for %d paths", len(x.Theta), len(p.Paths))
		case len(x.Seen) != len(p.Watches):
			return bad("seen has %d values for %d counts", len(x.Seen), len(p.Watches))
		case len(x.Luck) != random.Kinds:
			return bad("luck has %d numbers, expected %d", len(x.Luck), random.Kinds)
		}
		for k, s := range x.Seen {
			if !(s >= 0) || math.IsInf(float64(s), 0) {
				return bad("seen[%d] is %g, expected a density", k, s)
			}
		}
		for k, l := range x.Luck {
			if l >= futures {
				return bad("luck[%d] is %d, expected below %d", k, l, uint32(futures))
			}
		}
		sum += float64(x.Weight)
		p.Particles = append(p.Particles, Particle{float64(x.Weight), sim.Streams(x.Luck), floats(x.Theta), floats(x.Seen)})
	}
	if math.Abs(sum-1) > weightsSlack {
		return fmt.Errorf("the weights of the particles add up to %.12g, expected 1", sum)
	}
	return nil
}
