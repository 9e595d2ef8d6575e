package parts

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"hash"
	"io"
	"math"
	"strconv"
	"strings"
)

// firstLine begins every part, before its version.
const firstLine = "rundown part "

// Columns are the numbers of a block, column by column; NaN: no value.
type Columns [][]float64

// Write writes a part: of every block its whole number and its columns.
func Write(w io.Writer, h *Header, blocks []Columns) error {
	if why := h.wrong(); why != "" || len(blocks) != len(h.Blocks) {
		return fmt.Errorf("a part cannot be written (a fault of the program): %s", why)
	}
	text, err := json.Marshal(h)
	if err != nil {
		return err
	}
	total := sha256.New()
	all := io.MultiWriter(w, total)
	if _, err := fmt.Fprintf(all, "%s%d\n%s\n", firstLine, Format, text); err != nil {
		return err
	}
	for i, columns := range blocks {
		if err := writeBlock(all, &h.Blocks[i], columns); err != nil {
			return err
		}
	}
	_, err = w.Write(total.Sum(nil))
	return err
}

func writeBlock(w io.Writer, b *Block, columns Columns) error {
	if len(columns) != b.columns() {
		return fmt.Errorf("a part cannot be written (a fault of the program): %d columns, not %d", len(columns), b.columns())
	}
	buffer := binary.LittleEndian.AppendUint64(nil, uint64(b.Whole))
	for _, column := range columns {
		if len(column) != b.Count {
			return fmt.Errorf("a part cannot be written (a fault of the program): a column of %d, not %d", len(column), b.Count)
		}
		for _, x := range column {
			buffer = binary.LittleEndian.AppendUint64(buffer, bitsOf(x))
		}
		if _, err := w.Write(buffer); err != nil {
			return err
		}
		buffer = buffer[:0]
	}
	_, err := w.Write(buffer)
	return err
}

// bitsOf are the bits of a number; "no value" has one pattern.
func bitsOf(x float64) uint64 {
	if math.IsNaN(x) {
		return noValue
	}
	return math.Float64bits(x)
}

var noValue = math.Float64bits(math.NaN())

// ErrTorn is a part that is not whole.
var ErrTorn = errors.New("it is torn")

// reading is a part that is read: what it counts and sums up.
type reading struct {
	from *bufio.Reader
	sum  hash.Hash
	left int64 // bytes before the sum
}

// Read reads a part of a size in bytes and checks all of it. Once the header is known,
// into gives the columns that the numbers are to be put in, of each block, or nil
// where they are only to be checked. Nothing larger than the header is kept in memory.
func Read(r io.Reader, size int64, into func(*Header) ([]Columns, error)) (*Header, error) {
	in := &reading{from: bufio.NewReaderSize(r, 1<<16), sum: sha256.New(), left: size - sha256.Size}
	h, err := in.header()
	if err != nil {
		return nil, err
	}
	want := int64(0)
	for i := range h.Blocks {
		want += h.Blocks[i].bytes() // each below 2^57, and the sum is compared before it can be too large
		if want > in.left {
			break
		}
	}
	switch {
	case want > in.left:
		return nil, fmt.Errorf("%w: of its numbers a part is missing", ErrTorn)
	case want < in.left:
		return nil, fmt.Errorf("it is %d bytes longer than it should be", in.left-want)
	}
	var columns []Columns
	if into != nil {
		if columns, err = into(h); err != nil {
			return nil, err
		}
	}
	for i := range h.Blocks {
		var to Columns
		if columns != nil {
			to = columns[i]
		}
		if err := in.block(&h.Blocks[i], to); err != nil {
			return nil, err
		}
	}
	var sum [sha256.Size]byte
	if _, err := io.ReadFull(in.from, sum[:]); err != nil {
		return nil, torn(err)
	}
	if !bytes.Equal(sum[:], in.sum.Sum(nil)) {
		return nil, errors.New("it was changed or damaged: its sum does not agree")
	}
	return h, nil
}

// torn is the end of a file where none was expected, or what the system said.
func torn(err error) error {
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return ErrTorn
	}
	return err
}

// line reads a line of at most so many bytes, without its end.
func (in *reading) line(most int) (string, error) {
	var line []byte
	for {
		piece, err := in.from.ReadSlice('\n')
		line = append(line, piece...)
		switch {
		case err == nil:
			in.sum.Write(line)
			in.left -= int64(len(line))
			return string(line[:len(line)-1]), nil
		case len(line) > most:
			return "", errors.New("it is no part of rundown's")
		case !errors.Is(err, bufio.ErrBufferFull):
			return string(line), torn(err)
		}
	}
}

func (in *reading) header() (*Header, error) {
	first, err := in.line(100)
	version, known := strings.CutPrefix(first, firstLine)
	switch {
	case err != nil && strings.HasPrefix(firstLine, first), err != nil && known:
		return nil, err
	case err != nil || !known:
		return nil, errors.New("it is no part of rundown's")
	}
	if n, err := strconv.Atoi(version); err != nil || n != Format {
		return nil, fmt.Errorf("it is of version %.20q of the format; this program reads version %d", version, Format)
	}
	text, err := in.line(mostHeader)
	if err != nil {
		return nil, err
	}
	h := &Header{}
	d := json.NewDecoder(strings.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(h); err != nil || d.More() {
		return nil, errors.New("what it says of itself cannot be understood")
	}
	if why := h.wrong(); why != "" {
		return nil, errors.New(why)
	}
	if in.left < 0 {
		return nil, ErrTorn
	}
	return h, nil
}

// block reads the numbers of a block.
func (in *reading) block(b *Block, to Columns) error {
	var piece [4096]byte
	read := func(n int) ([]byte, error) {
		if _, err := io.ReadFull(in.from, piece[:n]); err != nil {
			return nil, torn(err)
		}
		in.sum.Write(piece[:n])
		return piece[:n], nil
	}
	whole, err := read(8)
	if err != nil {
		return err
	}
	b.Whole = int64(binary.LittleEndian.Uint64(whole))
	if b.Whole < 0 || b.Whole > int64(b.Count) {
		return errors.New("it holds a number of runs that cannot be")
	}
	for c := range b.columns() {
		for done := 0; done < b.Count; {
			n := min(b.Count-done, len(piece)/8)
			bits, err := read(8 * n)
			if err != nil {
				return err
			}
			for i := range n {
				x := math.Float64frombits(binary.LittleEndian.Uint64(bits[8*i:]))
				if math.IsInf(x, 0) || bitsOf(x) != math.Float64bits(x) {
					return errors.New("it holds a number that no run gives")
				}
				if to != nil {
					to[c][done+i] = x
				}
			}
			done += n
		}
	}
	return nil
}
