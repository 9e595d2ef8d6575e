// Package random gives every random quantity of the model an address.
//
// A Key names a place in a tree: seed, kind of randomness, luck index, and
// whatever tags narrow it further. Key.Uniform is the one uniform at an
// address under a key, the same whenever and in whatever order it is asked
// for, so that two plans compared share the luck of all that they have in
// common, however many draws either makes besides. Binomial, Poisson,
// NegativeBinomial and Normal turn one uniform into one draw by inversion
// and are monotone in it, so common uniforms stay common luck.
//
// The hash is two rounds of the folded 64×64→128-bit multiply, keyed before
// each round: the mixing step of Wang Yi's public-domain wyhash. The constants
// are the leading fractional bits of square roots of primes, as in FIPS 180-4,
// made odd. See README.md for what is pinned.
package random

import (
	"math/bits"
	"math/rand/v2"
)

// Key is a place in the tree of random quantities. Keys compare with ==. The
// zero Key is usable but no Root gives it.
type Key struct{ hi, lo uint64 }

// Kind is one of the four kinds of randomness (model description, "What is
// random"). Its numbers are pinned.
type Kind uint8

const (
	Weather    Kind = iota // the weather generator's streams
	Season                 // season effects, one per harvest year and effect
	Chance                 // chance in counts
	Parameters             // uncertain values, one draw per replicate
)

// Kinds is how many kinds there are: luck is an array of that many indices.
const Kinds = 4

// String names the kind as reports do.
func (k Kind) String() string {
	if k >= Kinds {
		return "unknown"
	}
	return [Kinds]string{"weather", "season", "chance", "parameters"}[k]
}

// Multipliers and round constants: the first 64 fractional bits of √2, √3,
// √5, √7, √11, √13, √17 and √19, with the last bit set.
const (
	sqrt2  = 0x6a09e667f3bcc909
	sqrt3  = 0xbb67ae8584caa73b
	sqrt5  = 0x3c6ef372fe94f82b
	sqrt7  = 0xa54ff53a5f1d36f1
	sqrt11 = 0x510e527fade682d1
	sqrt13 = 0x9b05688c2b3e6c1f
	sqrt17 = 0x1f83d9abfb41bd6b
	sqrt19 = 0x5be0cd19137e2179
)

// Tags that the package itself uses, so that a key's stream, a text, a field and a
// population have places of their own.
const (
	tagStream     = 0x73747265616d0001 // "stream"
	tagText       = 0x7465787400000001 // "text"
	tagField      = 0x6669656c64000001 // "field"
	tagPopulation = 0x706f70756c617401 // "populat"
	tagBiotype    = 0x62696f7479706501 // "biotype"
)

// Root is the key of one kind of randomness in one replicate: seed → kind →
// luck index. Every seed, kind and index gives another key.
func Root(seed uint64, kind Kind, luck uint32) Key {
	return Key{sqrt17, sqrt19}.With(seed).With(uint64(kind)<<32 | uint64(luck))
}

// With narrows a key by a number, say a calendar year.
func (k Key) With(tag uint64) Key {
	return Key{
		hi: fold(k.hi^tag, sqrt7, k.lo, sqrt11),
		lo: fold(k.lo^tag, sqrt5, k.hi, sqrt13),
	}
}

// WithText narrows a key by a text, say the path of a parameter. Texts that
// differ anywhere, in length too, give different keys.
func (k Key) WithText(tag string) Key {
	k = k.With(tagText).With(uint64(len(tag)))
	for len(tag) > 0 {
		var word uint64
		n := min(len(tag), 8)
		for i := range n {
			word |= uint64(tag[i]) << (8 * i)
		}
		k, tag = k.With(word), tag[n:]
	}
	return k
}

// Field narrows a key to a field among others, by its name: of one sort of luck in a
// farm, each field has its own. A field without a name, which is alone, has the key itself.
func (k Key) Field(name string) Key {
	if name == "" {
		return k
	}
	return k.With(tagField).WithText(name)
}

// Population narrows a key to one of the weeds of a field; the first has the key itself.
func (k Key) Population(number int) Key {
	if number == 0 {
		return k
	}
	return k.With(tagPopulation).With(uint64(number))
}

// Biotype narrows a key to one class of seed or plants that differ in what they inherit, so
// that every class has its own luck at an address; the first, which carries nothing, has the key itself.
func (k Key) Biotype(class int) Key {
	if class == 0 {
		return k
	}
	return k.With(tagBiotype).With(uint64(class))
}

// Uniform is the uniform at an address: one of 2⁵² equally spaced values
// symmetric about ½, from 2⁻⁵³ to 1 − 2⁻⁵³; never 0 or 1. Then 1 − u is exact.
func (k Key) Uniform(at uint64) float64 {
	x1, x0 := bits.Mul64(k.lo^at, sqrt2)
	y1, y0 := bits.Mul64(x1^k.hi, x0^sqrt3)
	return float64(int64((y1^y0)>>11|1)) * 0x1p-53 // of a signed number it takes one instruction
}

// Seed puts a PCG at the start of the key's stream, for a consumer that needs
// a sequence. It hashes first: PCG states that differ only in high bits give
// linked sequences.
func (k Key) Seed(p *rand.PCG) {
	k = k.With(tagStream)
	p.Seed(k.hi, k.lo)
}

// fold is two rounds of multiply and fold: x is what is hashed, key the part
// of the key that x does not hold yet.
func fold(x, multiplier, key, constant uint64) uint64 {
	x1, x0 := bits.Mul64(x, multiplier)
	y1, y0 := bits.Mul64(x1^key, x0^constant)
	return y1 ^ y0
}
