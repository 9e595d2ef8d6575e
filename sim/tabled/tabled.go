// Package tabled keeps tables that take long to work out and are asked for by every run:
// the gamma laws of the library's climates and the quantile functions of its values. They are
// embedded, to the bit as this program works them out, and are looked up by what they are
// made of. What is not there, such as a table of a user's own climate, is worked out.
//
// go test ./sim -run TestTabled -update writes them anew; without -update it fails where one is not that which would be made.
package tabled

import (
	_ "embed"
	"encoding/binary"
	"math"
	"runtime"
	"sync"
)

//go:embed tables.bin
var embedded string

// Key names a table by its sort and by the numbers that it is made of.
func Key(sort string, of ...float64) uint64 {
	h := uint64(14695981039346656037) // FNV-1a, by words
	add := func(x uint64) { h = (h ^ x) * 1099511628211; h ^= h >> 29 }
	for _, c := range []byte(sort) {
		add(uint64(c))
	}
	for _, x := range of {
		add(math.Float64bits(x))
	}
	return h
}

// Of fills a table with what is kept under a key, or has it made.
func Of(key uint64, to []float64, make func(to []float64)) {
	recording.Lock()
	see := recording.see
	recording.Unlock()
	if kept, ok := tables()[key]; ok && see == nil && len(kept) == 8*len(to) {
		for i := range to {
			to[i] = math.Float64frombits(word(kept[8*i:]))
		}
		return
	}
	make(to)
	if see != nil {
		recording.Lock()
		see(key, to)
		recording.Unlock()
	}
}

// recording is on while see is not nil.
var recording struct {
	sync.Mutex
	see func(key uint64, table []float64)
}

// Record has every table made anew and shown, one at a time, for the test that writes the
// file; nil ends it.
func Record(see func(key uint64, table []float64)) {
	recording.Lock()
	recording.see = see
	recording.Unlock()
}

func word(s string) uint64 { return binary.LittleEndian.Uint64([]byte(s[:8])) }

// tables lists what is embedded, where this machine works out the same: none elsewhere.
var tables = sync.OnceValue(func() map[uint64]string {
	all := map[uint64]string{}
	if !Same() {
		return all
	}
	for s := embedded[8:]; len(s) > 0; {
		n := 8 * int(word(s[8:]))
		all[word(s)] = s[16 : 16+n]
		s = s[16+n:]
	}
	return all
})

// Same tells whether the tables were worked out by the same arithmetic as this machine's. The
// last digits of math.Exp hang on whether the processor fuses multiplication and addition,
// and on other processors those of all that is written in Go do.
func Same() bool {
	return runtime.GOARCH == "amd64" && len(embedded) >= 8 && word(embedded) == fingerprint()
}

// fingerprint is made of what the functions behind the tables give here at some points.
func fingerprint() uint64 {
	var of []float64
	for i := range 64 {
		x := (float64(i) + 0.37) / 7
		g, _ := math.Lgamma(x)
		of = append(of, math.Exp(-x), math.Exp(x), math.Log(x), math.Log1p(x), math.Expm1(-x), math.Pow(x, 0.7), g, math.Gamma(x), math.Erfc(x))
	}
	return Key("fingerprint", of...)
}

// Write is the file of some tables, by rising key.
func Write(keys []uint64, of map[uint64][]float64) []byte {
	b := binary.LittleEndian.AppendUint64(nil, fingerprint())
	for _, k := range keys {
		b = binary.LittleEndian.AppendUint64(b, k)
		b = binary.LittleEndian.AppendUint64(b, uint64(len(of[k])))
		for _, x := range of[k] {
			b = binary.LittleEndian.AppendUint64(b, math.Float64bits(x))
		}
	}
	return b
}
