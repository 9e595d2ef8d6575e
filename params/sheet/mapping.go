package sheet

import (
	"slices"

	"rundown/params/date"
)

// Value is one value as read, with its place.
type Value struct {
	Place  Place
	Path   string  // seasons[1].drill.date
	Key    *Key    // what it was read by; for OneOf the form that fitted
	Text   string  // of Text, Name, Choice and dates: as written; of numbers too
	Number float64 // of Number, Whole and Uncertain (of a range the geometric mean)
	Low    float64 // of Uncertain given as a range: its 5 % point; else 0
	High   float64 // and its 95 % point
	Yes    bool    // of YesNo
	Date   Date    // of the three kinds of date
	List   []*Value
	Map    *Mapping // of Nested and Free
	Node   *Node    // as written
}

// Range tells whether an uncertain quantity was given as a range.
func (v *Value) Range() bool { return v.High > v.Low }

// Date is a date as written: with its year or without.
type Date struct {
	Full   bool
	Day    date.Day    // when Full
	Annual date.Annual // when not
}

// String writes the date as plans do.
func (d Date) String() string {
	if d.Full {
		return d.Day.String()
	}
	return d.Annual.String()
}

// Mapping is a mapping as read: values by key, in the order of the file.
type Mapping struct {
	Place  Place
	Path   string
	Names  []string // the keys that were given, in the order of the file
	values map[string]*Value
}

// Get is the value under a key; nil when the key is absent or its value was a
// mistake. A nil Mapping has no keys.
func (p *Mapping) Get(key string) *Value {
	if p == nil {
		return nil
	}
	return p.values[key]
}

// Has tells whether a key has a usable value.
func (p *Mapping) Has(key string) bool { return p.Get(key) != nil }

// Said tells whether a key was written at all, even if its value was a mistake.
func (p *Mapping) Said(key string) bool {
	if p == nil {
		return false
	}
	_, ok := p.values[key]
	return ok
}

// Text is the text under a key, "" when absent.
func (p *Mapping) Text(key string) string {
	if v := p.Get(key); v != nil {
		return v.Text
	}
	return ""
}

// Number is the number under a key, or another when absent.
func (p *Mapping) Number(key string, absent float64) float64 {
	if v := p.Get(key); v != nil {
		return v.Number
	}
	return absent
}

// List is the list under a key; nil when absent.
func (p *Mapping) List(key string) []*Value {
	if v := p.Get(key); v != nil {
		return v.List
	}
	return nil
}

// Map is the mapping under a key; nil when absent.
func (p *Mapping) Map(key string) *Mapping {
	if v := p.Get(key); v != nil {
		return v.Map
	}
	return nil
}

// Only is the mapping with the given keys alone.
func (p *Mapping) Only(keys ...string) *Mapping {
	if p == nil {
		return nil
	}
	out := &Mapping{Place: p.Place, Path: p.Path}
	for _, name := range p.Names {
		if slices.Contains(keys, name) {
			out.set(name, p.Get(name))
		}
	}
	return out
}

func (p *Mapping) set(key string, v *Value) {
	if p.values == nil {
		p.values = map[string]*Value{}
	}
	if _, ok := p.values[key]; !ok {
		p.Names = append(p.Names, key)
		p.values[key] = nil
	}
	if v != nil {
		p.values[key] = v
	}
}

// Over lays one mapping over another: nested mappings key by key, anything
// else whole. Either may be nil. Nothing given is changed.
func Over(upper, lower *Mapping) *Mapping {
	switch {
	case upper == nil:
		return lower
	case lower == nil:
		return upper
	}
	out := &Mapping{Place: upper.Place, Path: upper.Path}
	for _, name := range upper.Names {
		v, w := upper.Get(name), lower.Get(name)
		if v != nil && w != nil && v.Map != nil && w.Map != nil && v.Key.Kind == Nested && w.Key.Kind == Nested {
			both := *v
			both.Map = Over(v.Map, w.Map)
			v = &both
		}
		out.set(name, v)
	}
	for _, name := range lower.Names {
		if !upper.Said(name) {
			out.set(name, lower.Get(name))
		}
	}
	return out
}
