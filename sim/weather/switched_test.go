package weather

import (
	"testing"

	"rundown/params/date"
	"rundown/sim/random"
)

// With a turn, a record is followed all the same; beyond it the years that stand
// in are the old luck's before the day and the new luck's from it on. A turn to
// the same luck changes nothing.
func TestTurnedRecord(t *testing.T) {
	r := readRecord(t, "seattle.csv") // 2012 to 2015
	resampled, err := Resampled(r, 47.6)
	if err != nil {
		t.Fatal(err)
	}
	continued, err := Recorded(r, 47.6, NewGenerator(cambridge()))
	if err != nil {
		t.Fatal(err)
	}
	start, turn := date.Of(2014, 1, 1), date.Of(2018, 6, 20)
	key, next := random.Root(5, random.Weather, 1), random.Root(5, random.Weather, 2)
	const n = 8 * 365
	for name, s := range map[string]*Source{"resampled": resampled, "continued": continued} {
		old, other, turned, self := NewDays(start, n), NewDays(start, n), NewDays(start, n), NewDays(start, n)
		s.Fill(old, key)
		s.Fill(other, next)
		s.FillSwitched(turned, key, next, turn)
		s.FillSwitched(self, key, key, turn)
		changed := 0
		for i := range n {
			day := start + date.Day(i)
			if self.TmaxC[i] != old.TmaxC[i] || self.RainMM[i] != old.RainMM[i] {
				t.Fatalf("%s: a turn to the same luck changes %v", name, day)
			}
			if day < turn && (turned.TmaxC[i] != old.TmaxC[i] || turned.RainMM[i] != old.RainMM[i]) {
				t.Fatalf("%s: %v, before the turn, is not as it was", name, day)
			}
			if day >= date.Of(2019, 3, 1) && turned.RainMM[i] != other.RainMM[i] { // the generator's state is forgotten by then
				t.Fatalf("%s: %v is not the new luck's", name, day)
			}
			if turned.TmaxC[i] != old.TmaxC[i] {
				changed++
			}
		}
		if changed < 365 {
			t.Errorf("%s: only %d days differ after the turn", name, changed)
		}
	}
}
