package params

import (
	"slices"
	"strings"
)

// Space is the vector of what is uncertain: the values that each replicate
// draws, in order of path.
type Space struct {
	Values []*Value
	at     map[string]int
}

// NewSpace gathers the drawn values of a list; others are left out, and of a
// path given twice the first counts.
func NewSpace(values []*Value) *Space {
	s := &Space{at: map[string]int{}}
	for _, v := range values {
		if v == nil || !v.Drawn() {
			continue
		}
		if _, twice := s.at[v.Path]; twice {
			continue
		}
		s.at[v.Path] = 0
		s.Values = append(s.Values, v)
	}
	slices.SortFunc(s.Values, func(a, b *Value) int { return strings.Compare(a.Path, b.Path) })
	for i, v := range s.Values {
		s.at[v.Path] = i
	}
	return s
}

// Index is the place of a path in the vector, −1 when it is not in it.
func (s *Space) Index(path string) int {
	if i, ok := s.at[path]; ok {
		return i
	}
	return -1
}

// Central is the vector with every value at its centre.
func (s *Space) Central() []float64 {
	x := make([]float64, len(s.Values))
	for i, v := range s.Values {
		x[i] = v.Central
	}
	return x
}
