package params

import (
	"slices"
	"testing"
)

func TestSpaceHoldsWhatIsDrawn(t *testing.T) {
	mk := func(path string, s Spread) *Value { return &Value{Path: path, Central: 0.5, High: 1, Spread: s} }
	s := NewSpace([]*Value{
		mk("weeds/z/b", Spread{Kind: Beta, A: 5, B: 5}),
		mk("crops/a/c", Spread{Kind: LogitNormal, A: 1}),
		mk("crops/a/fixed", Spread{}),
		mk("crops/a/shown", Spread{Kind: Stated, A: 0, B: 1}),
		mk("implements/p/event", Spread{Kind: Beta, A: 5, B: 5, PerEvent: true}),
		nil,
		mk("weeds/z/b", Spread{Kind: Range, B: 1}),
	})
	var paths []string
	for _, v := range s.Values {
		paths = append(paths, v.Path)
	}
	if want := []string{"crops/a/c", "weeds/z/b"}; !slices.Equal(paths, want) {
		t.Fatalf("holds %v, want %v", paths, want)
	}
	if s.Index("crops/a/c") != 0 || s.Index("weeds/z/b") != 1 || s.Index("crops/a/fixed") != -1 {
		t.Error("wrong places in the vector")
	}
	if s.Values[1].Spread.Kind != Beta {
		t.Error("of a path given twice the first must count")
	}
	if got := s.Central(); !slices.Equal(got, []float64{0.5, 0.5}) {
		t.Errorf("centre %v", got)
	}
}
