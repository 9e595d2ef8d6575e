package figure

import (
	"math"
	"strings"
	"testing"
)

// measured lays a figure out without a canvas.
func measured(f Figure) (texts []textBox, height float64) {
	p := &paper{width: Width}
	height = f.draw(p)
	return p.texts, height
}

// No two texts of a picture may touch, and none may leave it.
func checkTexts(t *testing.T, name string, f Figure) {
	t.Helper()
	texts, height := measured(f)
	for i, a := range texts {
		if a.x0 < 0 || a.y0 < 0 || a.x1 > Width || a.y1 > height {
			t.Errorf("%s: %q leaves the picture: %.0f,%.0f to %.0f,%.0f of %d,%.0f", name, a.text, a.x0, a.y0, a.x1, a.y1, Width, height)
		}
		for _, b := range texts[i+1:] {
			if a.overlaps(b.box) {
				t.Errorf("%s: %q and %q overlap", name, a.text, b.text)
			}
		}
	}
}

func TestTextsDoNotOverlap(t *testing.T) {
	for _, d := range demos() {
		checkTexts(t, d.name, d.fig)
	}
}

// At 360 px every text must be set in at least 9 px (our judgement, no source).
func TestTextIsLargeEnoughOnAPhone(t *testing.T) {
	const least = 9.0
	for _, d := range demos() {
		texts, _ := measured(d.fig)
		for _, b := range texts {
			if px := b.size * phoneWidth / Width; px < least {
				t.Errorf("%s: %q is %.1f px on a phone, want at least %g", d.name, b.text, px, least)
			}
		}
	}
}

// A picture says its title, its units and its names.
func TestPicturesSayWhatTheyShow(t *testing.T) {
	cases := []struct {
		fig  Figure
		want string // words, separated by |
	}{
		{demoBands(6), "Weed heads|per m² in June, log scale|act above 2 heads|spring|barley|18 Mar|yes|harvest|2027|none|half of the runs|9 in 10 runs|£ per ha"},
		{demoBands(20), "’27|winter wheat|10 Oct|fallow"},
		{demoBudget(4, 0.9), "came in|went|in the soil at the start|eaten|carried off|sprouted too deep|2027 spring barley|seeds per m²"},
		{demoComparison(8, 9), "as now|seed control at harvest|aim: 100|medians of the other plans|’35"},
		{demoDecision(8), "later drilling|Margin|£ per ha and year|seeds per m², log scale|none"},
		{demoSweep(), "as planned|latest|1 Oct|Planned drilling date|share of runs|40%"},
		{demoDots(), "published|assumed|alone|seeds per head|Share of the variance"},
		{demoSplit(6), "weather|uncertain|acting together|100%"},
		{demoCalendar(4), "cultivation|spray before drilling|herbicide in the crop|cover|drilled, 9 in 10 runs|latest day to drill|harvest|2027 spring " +
			"barley|drilled 30 Mar (18 Mar–17 Apr)|drilled 10 Oct|Jan"},
		{demoCounts(3, Linear), "one quadrat|12 Jun 2027|north|per m²"},
	}
	for _, c := range cases {
		texts, _ := measured(c.fig)
		var all []string
		for _, b := range texts {
			all = append(all, b.text)
		}
		said := "|" + strings.Join(all, "|") + "|"
		for _, w := range strings.Split(c.want, "|") {
			if !strings.Contains(said, "|"+w+"|") {
				t.Errorf("%T does not say %q; it says %s", c.fig, w, said)
			}
		}
	}
}

func TestApart(t *testing.T) {
	cases := []struct {
		why         string
		at          []float64
		gap, lo, hi float64
		want        []float64
	}{
		{"far enough apart already", []float64{10, 40}, 10, 0, 100, []float64{10, 40}},
		{"two in one place move as far each", []float64{50, 50}, 10, 0, 100, []float64{45, 55}},
		{"order kept, given out of order", []float64{52, 50}, 10, 0, 100, []float64{56, 46}},
		{"pushed in from the edge", []float64{99, 100}, 10, 0, 100, []float64{90, 100}},
		{"more than fits is spaced evenly", []float64{1, 1, 1}, 10, 0, 10, []float64{0, 5, 10}},
	}
	for _, c := range cases {
		got := apart(c.at, c.gap, c.lo, c.hi)
		for i := range c.want {
			if math.Abs(got[i]-c.want[i]) > 1e-9 {
				t.Errorf("%s: apart(%v) = %v, want %v", c.why, c.at, got, c.want)
				break
			}
		}
	}
}
