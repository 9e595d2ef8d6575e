package parts

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"
)

// example is a small part of two plans, with numbers of every kind.
func example(part, of int) (*Header, []Numbers) {
	h := &Header{Part: part, Call: []string{"forecast", "--", "plan.yaml"}, CPU: "invented", Shared: Shared{Of: of, Round: 1,
		Arguments: []string{"forecast", "plan.yaml"}, Program: Program{"devel", "", "go", "11"}, Machine: ThisMachine(), From: []Source{{"plan", "plan.yaml", "22"}}}}
	var all []Numbers
	for plan := range 2 {
		b := Block{For: "main", Plan: plan, Replicates: 7, Columns: []string{"heads", "margin"}, Seasons: 2, Watches: 1, Work: 2, Run0: "33"}
		b.First, b.Count = Range(b.Replicates, part, of)
		b.Whole = int64(min(plan, b.Count))
		n := b.Room()
		for i := range b.Count {
			for c := range n.Columns {
				n.Columns[c][i] = []float64{float64(c) + float64(i)/3, math.NaN(), -1e-310, math.Copysign(0, -1), math.MaxFloat64}[(c+i)%5]
			}
			n.Work[0][i], n.Work[1][i] = uint32(i), math.MaxUint32
		}
		h.Blocks, all = append(h.Blocks, b), append(all, n)
	}
	return h, all
}

// written are the bytes of a part.
func written(t testing.TB, h *Header, columns []Numbers) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, h, columns); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func readAll(data []byte) (*Header, []Numbers, error) {
	var columns []Numbers
	h, err := Read(bytes.NewReader(data), int64(len(data)), func(h *Header) ([]Numbers, error) {
		for i := range h.Blocks {
			columns = append(columns, h.Blocks[i].Room())
		}
		return columns, nil
	})
	return h, columns, err
}

// What was written is read to the bit; a part may hold no runs at all.
func TestReadsWhatWasWritten(t *testing.T) {
	for _, of := range []int{1, 3, 9} {
		for part := 1; part <= of; part++ {
			h, columns := example(part, of)
			data := written(t, h, columns)
			got, read, err := readAll(data)
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(written(t, got, read), data) || got.Differs(h) != "" || got.Blocks[1].Whole != h.Blocks[1].Whole {
				t.Errorf("part %d of %d is not read as it was written", part, of)
			}
			for i := range columns {
				if !reflect.DeepEqual(read[i].Work, columns[i].Work) {
					t.Fatalf("%v, not %v", read[i].Work, columns[i].Work)
				}
				for c := range columns[i].Columns {
					for k, x := range columns[i].Columns[c] {
						if math.Float64bits(read[i].Columns[c][k]) != math.Float64bits(x) {
							t.Fatalf("%v, not %v", read[i].Columns[c][k], x)
						}
					}
				}
			}
		}
	}
}

// The format, worked out by hand: where the numbers stand and what is summed up.
func TestFormat(t *testing.T) {
	h, columns := example(2, 3)
	columns[1].Columns[4][1] = math.Float64frombits(0xFFF8000000000123) // a NaN of another pattern
	data := written(t, h, columns)
	lines := bytes.SplitN(data, []byte("\n"), 3)
	if string(lines[0]) != "rundown part 1" || !json.Valid(lines[1]) {
		t.Fatalf("it begins with %q", data[:200])
	}
	numbers, sum := lines[2][:len(lines[2])-32], lines[2][len(lines[2])-32:]
	if want := sha256.Sum256(data[:len(data)-32]); !bytes.Equal(sum, want[:]) {
		t.Error("the sum is not that of all before it")
	}
	block := 8 * (1 + 5*2 + 2*2) // five columns of two runs, and two of whole numbers
	if len(numbers) != 2*block || binary.LittleEndian.Uint64(numbers[block:]) != 1 {
		t.Fatalf("%d bytes of numbers", len(numbers))
	}
	if got := binary.LittleEndian.Uint64(numbers[len(numbers)-5*8:]); got != 0x7FF8000000000001 {
		t.Errorf("no value is %x", got)
	}
}

// A part that ends early is refused, at whichever byte, as is one that goes on.
func TestTornAtEveryLength(t *testing.T) {
	h, columns := example(1, 3)
	data := written(t, h, columns)
	for n := range len(data) {
		if _, _, err := readAll(data[:n]); !errors.Is(err, ErrTorn) {
			t.Fatalf("%d bytes of %d: %v", n, len(data), err)
		}
	}
	if _, _, err := readAll(append(data, 0)); err == nil {
		t.Error("a part with a byte more is taken")
	}
	if _, err := Read(bytes.NewReader(data[:len(data)-5]), int64(len(data)), nil); !errors.Is(err, ErrTorn) {
		t.Errorf("a file that became shorter while it was read: %v", err)
	}
}

// A part in which any byte was changed is refused.
func TestChangedAtEveryByte(t *testing.T) {
	h, columns := example(1, 3)
	data := written(t, h, columns)
	for i := range data {
		data[i] ^= 1
		if _, _, err := readAll(data); err == nil {
			t.Fatalf("byte %d of %d was changed, and it is taken", i, len(data))
		}
		data[i] ^= 1
	}
}

// What a header says is checked before memory is taken for it.
func TestRefusesHeaders(t *testing.T) {
	for why, change := range map[string]func(*Header){
		"part 0":         func(h *Header) { h.Part = 0 },
		"part of less":   func(h *Header) { h.Part = h.Of + 1 },
		"too many parts": func(h *Header) { h.Of = Most + 1 },
		"round 3":        func(h *Header) { h.Round = 3 },
		"no command":     func(h *Header) { h.Call = nil },
		"two commands":   func(h *Header) { h.Call = []string{"compare"} },
		"no blocks":      func(h *Header) { h.Blocks = nil },
		"more runs":      func(h *Header) { h.Blocks[0].Replicates = math.MaxInt },
		"other runs":     func(h *Header) { h.Blocks[0].First++ },
		"work":           func(h *Header) { h.Blocks[0].Work = math.MaxInt },
		"less than none": func(h *Header) { h.Blocks[0].Watches = -1 },
		"seasons":        func(h *Header) { h.Blocks[0].Seasons = math.MaxInt },
	} {
		h, _ := example(1, 3)
		change(h)
		text, err := json.Marshal(h)
		if err != nil {
			t.Fatal(err)
		}
		file := signed(fmt.Sprintf("rundown part 1\n%s\n", text))
		asked := false
		_, err = Read(bytes.NewReader(file), int64(len(file)), func(*Header) ([]Numbers, error) { asked = true; return nil, nil })
		if err == nil || asked {
			t.Errorf("%s: taken", why)
		}
	}
	for why, text := range map[string]string{
		"version 2":     "rundown part 2\n{}\n",
		"of nothing":    "rundown part 1\n{}\n",
		"unknown words": "rundown part 1\n{\"colour\": 1}\n",
		"two headers":   "rundown part 1\n{}{}\n",
		"long":          "rundown part 1\n" + strings.Repeat(" ", mostHeader+1<<17),
		"text":          "a note\n",
	} {
		if _, _, err := readAll(signed(text)); err == nil || errors.Is(err, ErrTorn) {
			t.Errorf("%s: %v", why, err)
		}
	}
}

// signed is a text with its sum after it.
func signed(text string) []byte {
	sum := sha256.Sum256([]byte(text))
	return append([]byte(text), sum[:]...)
}

// Numbers that no run gives are refused, also with a sum that agrees.
func TestRefusesNumbers(t *testing.T) {
	h, columns := example(1, 1)
	columns[0].Columns[0][0] = math.Inf(1)
	if _, _, err := readAll(written(t, h, columns)); err == nil {
		t.Error("an infinite number is taken")
	}
	h, columns = example(1, 1)
	h.Blocks[0].Whole = 8 // of 7 runs
	if _, _, err := readAll(written(t, h, columns)); err == nil {
		t.Error("more runs than there are is taken")
	}
}

// Shares of runs are all of them, each once, and none is larger than another by more
// than one.
func TestRange(t *testing.T) {
	for _, n := range []int{1, 7, 250, 2000} {
		for _, of := range []int{1, 2, 7, 64, 300} {
			next := 0
			for part := 1; part <= of; part++ {
				first, count := Range(n, part, of)
				if first != next || count < n/of || count > n/of+1 {
					t.Fatalf("%d runs: part %d of %d holds %d from %d on", n, part, of, count, first)
				}
				next += count
			}
			if next != n {
				t.Errorf("%d parts hold %d of %d runs", of, next, n)
			}
		}
	}
}

// The arithmetic of a machine is one number, every time.
func TestThisMachine(t *testing.T) {
	if a, b := ThisMachine(), ThisMachine(); a != b || len(a.Arithmetic) != 64 {
		t.Errorf("%v and %v", a, b)
	}
}

// FuzzRead holds the reader to an error or a part that is written again as it was,
// and to no more memory than the file is large.
func FuzzRead(f *testing.F) {
	for _, of := range []int{1, 3, 9} {
		h, columns := example(1, of)
		data := written(f, h, columns)
		f.Add(data)
		f.Add(data[:len(data)-sha256.Size]) // is summed up below
	}
	for _, of := range []int{1, 7} {
		h, columns := rows(1, of)
		data := written(f, h, columns)
		f.Add(data)
		f.Add(data[:len(data)-sha256.Size])
	}
	f.Add([]byte("rundown part 1\n{}\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		for _, data := range [][]byte{data, signed(string(data))} { // what is changed seldom has the right sum
			h, columns, err := readAll(data)
			if err != nil {
				continue
			}
			size := 0
			for _, b := range columns {
				for _, c := range b.Columns {
					size += 8 * len(c)
				}
				for _, c := range b.Work {
					size += 8 * len(c)
				}
			}
			if size > len(data) {
				t.Fatalf("%d bytes of numbers in %d", size, len(data))
			}
			again, second, err := readAll(written(t, h, columns))
			if err != nil || again.Differs(h) != "" || len(second) != len(columns) {
				t.Fatalf("it is not read as it was: %v", err)
			}
		}
	})
}
