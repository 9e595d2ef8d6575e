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
	"sync"
)

// firstLine begins every part, before its version.
const firstLine = "rundown part "

// Columns are the numbers of a block, column by column; NaN: no value.
type Columns [][]float64

// Numbers are those of a block.
type Numbers struct {
	Columns Columns
	Work    [][]uint32 // columns of whole numbers
}

// Room is place for the numbers of a block.
func (b *Block) Room() Numbers {
	n := Numbers{make(Columns, b.columns()), make([][]uint32, b.Work)}
	for i := range n.Columns {
		n.Columns[i] = make([]float64, b.Count)
	}
	for i := range n.Work {
		n.Work[i] = make([]uint32, b.Count)
	}
	return n
}

// Write writes a part: of every block its whole number and its columns.
func Write(w io.Writer, h *Header, blocks []Numbers) error {
	if len(blocks) != len(h.Blocks) {
		return fmt.Errorf("a part cannot be written (a fault of the program): %d blocks, not %d", len(blocks), len(h.Blocks))
	}
	return WriteEach(w, h, func(i int) (*Numbers, error) { return &blocks[i], nil })
}

// WriteEach writes a part whose numbers are asked for block by block, so that they need
// not all be held at once.
func WriteEach(w io.Writer, h *Header, numbers func(block int) (*Numbers, error)) error {
	if why := h.wrong(); why != "" {
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
	for i := range h.Blocks {
		n, err := numbers(i)
		if err != nil {
			return err
		}
		if err := writeBlock(all, &h.Blocks[i], n); err != nil {
			return err
		}
	}
	_, err = w.Write(total.Sum(nil))
	return err
}

func writeBlock(w io.Writer, b *Block, n *Numbers) error {
	if len(n.Columns) != b.columns() || len(n.Work) != b.Work {
		return fmt.Errorf("a part cannot be written (a fault of the program): %d and %d columns, not %d and %d", len(n.Columns), len(n.Work), b.columns(), b.Work)
	}
	buffer := binary.LittleEndian.AppendUint64(nil, uint64(b.Whole))
	give := func(length int) error {
		if length != b.Count {
			return fmt.Errorf("a part cannot be written (a fault of the program): a column of %d, not %d", length, b.Count)
		}
		_, err := w.Write(buffer)
		buffer = buffer[:0]
		return err
	}
	if err := give(b.Count); err != nil {
		return err
	}
	for _, column := range n.Columns {
		for _, x := range column {
			buffer = binary.LittleEndian.AppendUint64(buffer, bitsOf(x))
		}
		if err := give(len(column)); err != nil {
			return err
		}
	}
	for _, column := range n.Work {
		for _, x := range column {
			buffer = binary.LittleEndian.AppendUint64(buffer, uint64(x))
		}
		if err := give(len(column)); err != nil {
			return err
		}
	}
	return nil
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

// buffers are used again: parts may be many, and are read one after another.
var buffers = sync.Pool{New: func() any { return bufio.NewReaderSize(nil, 1<<16) }}

// reading is a part that is read: what it counts and sums up.
type reading struct {
	from *bufio.Reader
	sum  hash.Hash
	left int64 // bytes before the sum
}

// Read reads a part of a size in bytes and checks all of it. Once the header is known,
// into gives the columns that the numbers are to be put in, of each block, or nil
// where they are only to be checked. Nothing larger than the header is kept in memory.
func Read(r io.Reader, size int64, into func(*Header) ([]Numbers, error)) (*Header, error) {
	var numbers []Numbers
	return ReadEach(r, size, Blocks{
		Header: func(h *Header) (err error) {
			if into != nil {
				numbers, err = into(h)
			}
			return err
		},
		Room: func(i int) *Numbers {
			if numbers == nil {
				return nil
			}
			return &numbers[i]
		},
	})
}

// Blocks take the numbers of a part, block by block.
type Blocks struct {
	Header func(*Header) error      // once it is known
	Room   func(block int) *Numbers // for the numbers of a block; nil: they are only checked
	Done   func(block int) error    // when they are there; may be nil. That the file's sum agrees is known at its end only
}

// ReadEach reads a part as Read does, and gives its numbers block by block.
func ReadEach(r io.Reader, size int64, to Blocks) (*Header, error) {
	buffer := buffers.Get().(*bufio.Reader)
	buffer.Reset(r)
	defer func() {
		buffer.Reset(nil)
		buffers.Put(buffer)
	}()
	in := &reading{from: buffer, sum: sha256.New(), left: size - sha256.Size}
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
	if err := to.Header(h); err != nil {
		return nil, err
	}
	for i := range h.Blocks {
		if err := in.block(&h.Blocks[i], to.Room(i)); err != nil {
			return nil, err
		}
		if to.Done == nil {
			continue
		}
		if err := to.Done(i); err != nil {
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

// piece is how many numbers are read at a time.
const piece = 512

// take reads n numbers and hands each over with its place.
func (in *reading) take(n int, each func(i int, bits uint64) error) error {
	var buffer [8 * piece]byte
	for done := 0; done < n; {
		m := min(n-done, piece)
		bytes := buffer[:8*m]
		if _, err := io.ReadFull(in.from, bytes); err != nil {
			return torn(err)
		}
		in.sum.Write(bytes)
		for i := range m {
			if err := each(done+i, binary.LittleEndian.Uint64(bytes[8*i:])); err != nil {
				return err
			}
		}
		done += m
	}
	return nil
}

// errNoRun is said of a sum that agrees over what no run gives.
var errNoRun = errors.New("it holds a number that no run gives")

// block reads the numbers of a block; to is nil where they are only checked.
func (in *reading) block(b *Block, to *Numbers) error {
	err := in.take(1, func(_ int, bits uint64) error {
		if bits > uint64(b.Count) {
			return errNoRun
		}
		b.Whole = int64(bits)
		return nil
	})
	for c := 0; c < b.columns() && err == nil; c++ {
		err = in.take(b.Count, func(i int, bits uint64) error {
			x := math.Float64frombits(bits)
			if math.IsInf(x, 0) || bitsOf(x) != bits {
				return errNoRun
			}
			if to != nil {
				to.Columns[c][i] = x
			}
			return nil
		})
	}
	for c := 0; c < b.Work && err == nil; c++ {
		err = in.take(b.Count, func(i int, bits uint64) error {
			if bits > math.MaxUint32 {
				return errNoRun
			}
			if to != nil {
				to.Work[c][i] = uint32(bits)
			}
			return nil
		})
	}
	return err
}
