package parts

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"testing"
)

// rows is a small part of a table of seven rows under two plans.
func rows(part, of int) (*Header, []Numbers) {
	h, _ := example(part, of)
	h.Rows, h.Run0, h.Blocks = 7, "44", nil
	var all []Numbers
	first, count := Range(h.Rows, part, of)
	for row := first; row < first+count; row++ {
		for plan := range 2 {
			b := Block{For: "field", Row: row, Plan: plan, Replicates: 3, Count: 3, Columns: []string{"heads"}, Seasons: 1 + plan}
			n := b.Room()
			for c := range n.Columns {
				n.Columns[c] = []float64{float64(row), float64(plan), 0.5}
			}
			h.Blocks, all = append(h.Blocks, b), append(all, n)
		}
	}
	return h, all
}

// Parts by rows are written block by block and read block by block, to the bit.
func TestRows(t *testing.T) {
	for _, of := range []int{1, 2, 7} {
		for part := 1; part <= of; part++ {
			h, numbers := rows(part, of)
			data := written(t, h, numbers)
			var asked []int
			var each bytes.Buffer
			if err := WriteEach(&each, h, func(i int) (*Numbers, error) { asked = append(asked, i); return &numbers[i], nil }); err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(each.Bytes(), data) || len(asked) != len(h.Blocks) {
				t.Fatalf("part %d of %d: written otherwise block by block, %v", part, of, asked)
			}
			room, done := Numbers{}, 0
			var read *Header
			got, err := ReadEach(bytes.NewReader(data), int64(len(data)), Blocks{
				Header: func(h *Header) error { read = h; return nil },
				Room:   func(i int) *Numbers { room = read.Blocks[i].Room(); return &room },
				Done: func(i int) error {
					if fmt.Sprint(room) != fmt.Sprint(numbers[i]) {
						t.Errorf("part %d of %d, block %d: %v, expected %v", part, of, i, room, numbers[i])
					}
					done++
					return nil
				},
			})
			if err != nil || done != len(h.Blocks) || got.Differs(h) != "" {
				t.Errorf("part %d of %d: %v, %d blocks", part, of, err, done)
			}
			for size := range data {
				if _, _, err := readAll(data[:size]); err == nil {
					t.Fatalf("part %d of %d: read although it ends after %d bytes of %d", part, of, size, len(data))
				}
			}
		}
	}
}

// What stops the reading or the writing of a block stops all of it.
func TestRowsEnd(t *testing.T) {
	stop := errors.New("stop")
	h, numbers := rows(1, 2)
	data := written(t, h, numbers)
	if err := WriteEach(&bytes.Buffer{}, h, func(i int) (*Numbers, error) { return nil, stop }); !errors.Is(err, stop) {
		t.Error(err)
	}
	for _, at := range []string{"header", "block"} {
		_, err := ReadEach(bytes.NewReader(data), int64(len(data)), Blocks{
			Header: func(*Header) error {
				if at == "header" {
					return stop
				}
				return nil
			},
			Room: func(int) *Numbers { return nil },
			Done: func(int) error { return stop },
		})
		if !errors.Is(err, stop) {
			t.Errorf("%s: %v", at, err)
		}
	}
}

// Parts of one table agree whatever rows they hold; those of another, or of another
// arithmetic, do not. A part that holds other rows than its share is refused.
func TestWrongRows(t *testing.T) {
	a, _ := rows(1, 3)
	b, _ := rows(2, 3)
	if why := b.Differs(a); why != "" || a.key() != b.key() {
		t.Errorf("parts of one table differ: %s", why)
	}
	for want, change := range map[string]func(*Header){
		"another arithmetic": func(h *Header) { h.Run0 = "55" },
		"it holds other":     func(h *Header) { h.Rows = 8 },
	} {
		c, _ := rows(2, 3)
		change(c)
		if why := c.Differs(a); !strings.Contains(why, want) {
			t.Errorf("%q, expected %q", why, want)
		}
	}
	for why, change := range map[string]func(*Header){
		"a row twice":        func(h *Header) { h.Blocks[2].Row = h.Blocks[1].Row },
		"a row left out":     func(h *Header) { h.Blocks = h.Blocks[2:] },
		"a row too many":     func(h *Header) { h.Part = 1 },
		"the end left out":   func(h *Header) { h.Blocks = h.Blocks[:2] },
		"a share of a row":   func(h *Header) { h.Blocks[1].Count = 2 },
		"rows below nought":  func(h *Header) { h.Rows = -1 },
		"another row's plan": func(h *Header) { h.Blocks[0].Plan = 1; h.Blocks[1].Plan = 0 },
	} {
		c, _ := rows(2, 3)
		change(c)
		if c.wrong() == "" {
			t.Errorf("%s: taken", why)
		}
	}
}
