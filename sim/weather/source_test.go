package weather

import (
	"testing"

	"rundown/params/date"
	"rundown/sim/random"
)

// A record is followed to the letter; past its end whole calendar years of it
// stand in.
func TestResampledRepeatsWholeYears(t *testing.T) {
	r := readRecord(t, "seattle.csv") // 2012 to 2015
	s, err := Resampled(r, 47.6)
	if err != nil {
		t.Fatal(err)
	}
	d := NewDays(date.Of(2014, 1, 1), 731+60*365+15)
	s.Fill(d, random.Root(5, random.Weather, 1))
	for i := range 730 {
		if d.RainMM[i] != r.RainMM[731+i] || d.TmaxC[i] != r.TmaxC[731+i] {
			t.Fatalf("day %d is not that of the record", i)
		}
	}
	used := map[int]int{}
	for year := 2016; year < 2074; year++ {
		used[donorOf(t, d, r, year)]++
	}
	// 58 years of four: the chance that one of the four is never drawn is
	// 4·0.75^58, one in 4 million.
	if len(used) != 4 {
		t.Errorf("years drawn: %v, want all four", used)
	}
}

// donorOf finds the year of the record that stands in for a year and checks
// every day of it, 29 February included.
func donorOf(t *testing.T, d *Days, r *Record, year int) int {
	t.Helper()
	from := date.Of(year, 1, 1)
search:
	for donor := 2012; donor <= 2015; donor++ {
		for i := range yearLength(year) {
			_, m, day := (from + date.Day(i)).Date()
			if m == 2 && day == 29 && !date.Leap(donor) {
				day = 28
			}
			j := date.Of(donor, m, day) - r.Start
			k := int(from-d.Start) + i
			if k >= len(d.RainMM) {
				break
			}
			if d.RainMM[k] != r.RainMM[j] || d.TminC[k] != r.TminC[j] {
				continue search
			}
		}
		return donor
	}
	t.Fatalf("%d repeats no year of the record", year)
	return 0
}

func TestRecordedContinuesWithTheGenerator(t *testing.T) {
	r := readRecord(t, "new-york.csv")
	g := NewGenerator(cambridge())
	s, err := Recorded(r, 40.7, g)
	if err != nil {
		t.Fatal(err)
	}
	key := random.Root(5, random.Weather, 1)
	d, plain := NewDays(date.Of(2011, 1, 1), 2192), NewDays(date.Of(2011, 1, 1), 2192)
	s.Fill(d, key)
	g.Fill(plain, key)
	for i := range d.RainMM {
		if j := i - 365; j >= 0 && j < len(r.RainMM) {
			if d.RainMM[i] != r.RainMM[j] || d.TminC[i] != r.TminC[j] {
				t.Fatalf("%v is not that of the record", d.Start+date.Day(i))
			}
		} else if d.RainMM[i] != plain.RainMM[i] || d.ET0MM[i] != plain.ET0MM[i] {
			t.Fatalf("%v is not generated", d.Start+date.Day(i))
		}
	}
}

func TestResampledNeedsAWholeYear(t *testing.T) {
	r := &Record{Start: date.Of(2020, 2, 1), TmaxC: make([]float64, 400), TminC: make([]float64, 400), RainMM: make([]float64, 400)}
	if _, err := Resampled(r, 50); err == nil {
		t.Error("400 days from 1 February hold no calendar year, but were taken")
	}
}
