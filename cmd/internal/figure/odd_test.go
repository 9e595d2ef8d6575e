package figure

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// odd spreads that a forecast may hold, or should not but might.
var odd = []struct {
	name string
	at   func(i int) Spread
}{
	{"no value", func(int) Spread { return None() }},
	{"all zero", func(int) Spread { return Spread{0, 0, 0, 0, 0, 1} }},
	{"constant", func(int) Spread { return Spread{7, 7, 7, 7, 7, 0} }},
	{"constant below one", func(int) Spread { return Spread{0.3, 0.3, 0.3, 0.3, 0.3, 0} }},
	{"infinite", func(int) Spread { return Spread{1, 2, 3, math.Inf(1), math.Inf(1), 0} }},
	{"minus infinite", func(int) Spread { return Spread{math.Inf(-1), 2, 3, 4, 5, 0} }},
	{"negative", func(int) Spread { return Spread{-9, -8, -7, -6, -5, 0} }},
	{"huge and tiny", func(i int) Spread { return lognormal(math.Pow(10, float64(20*(i%3)-20)), 3, 0) }},
	{"upside down", func(int) Spread { return Spread{9, 7, 5, 3, 1, 0} }},
	{"every other one missing", func(i int) Spread {
		if i%2 == 1 {
			return None()
		}
		return lognormal(20, 2, 0)
	}},
	{"last ones zero", func(i int) Spread {
		if i > 1 {
			return Spread{0, 0, 0, 0, 0, 1}
		}
		return lognormal(20, 2, 0.1)
	}},
	{"subnormal", func(int) Spread { return Spread{5e-324, 5e-324, 5e-324, 5e-324, 5e-324, 0} }},
	{"greatest", func(int) Spread {
		m := math.MaxFloat64
		return Spread{-m, -m / 2, 0, m / 2, m, 0}
	}},
}

// figuresOf puts one series into every figure that can take it.
func figuresOf(n int, at func(int) Spread) []Figure {
	var s []Spread
	var places []float64
	for i := range n {
		s = append(s, at(i))
		places = append(places, at(i).P50)
	}
	dates := make([]float64, n)
	for i := range dates {
		dates[i] = 20000 + 9*float64(i)
	}
	var out []Figure
	for _, kind := range []AxisKind{Linear, Log, Percent} {
		q := Panel{Name: "Weed heads", Unit: "per m²", Kind: kind, Bands: s, Threshold: &Threshold{10, "act above 10"}}
		each := q
		each.Each = true
		out = append(out,
			&Bands{Seasons: seasonsOf(n), Panels: []Panel{q, each}},
			&Comparison{Quantity: q, HarvestYears: demoYears(n), Plans: []Plan{{"as now", s}, {"later", s}}},
			&Sweep{X: Scale{"Drilling date", "", Dates}, At: dates, Panels: []Panel{q}, Marks: []Mark{{20010, "planned"}}},
			&Sweep{X: Scale{"Seeds per head", "", kind}, At: places, Panels: []Panel{q}})
		counts := &Counts{Y: Scale{"Weed heads", "per m²", kind}}
		dots := &Dots{X: Scale{"Index", "", kind}}
		decision := &Decision{X: Scale{"Seedbank", "", kind}, Y: Scale{"Margin", "£ per ha", Linear}}
		for i, v := range s {
			m := Interval{v.P50, v.P05, v.P95}
			if i < 6 {
				counts.Groups = append(counts.Groups, CountGroup{"12 Jun 2027", "north", []float64{v.P05, v.P50, v.P95}, m})
			}
			dots.Rows = append(dots.Rows, DotRow{Name: "a parameter", Main: m, Also: &m})
			if i < 8 {
				decision.Choices = append(decision.Choices, Choice{"a plan", v, v, [][2]float64{{v.P05, v.P95}, {v.P95, v.P05}}})
			}
		}
		front := &Front{X: Scale{"Margin", "£ per ha", Linear}, Y: Scale{"Seed", "per m²", kind}}
		for i, v := range s[:min(len(s), 12)] {
			front.Points = append(front.Points, FrontPoint{fmt.Sprint(i + 1), v.P50, v.P50, v.P05, v.P95, v.P05, v.P95, i == 0})
			front.Cloud = append(front.Cloud, [2]float64{v.P05, v.P95})
		}
		out = append(out, counts, dots, decision, front)
	}
	split, budget := &Split{Name: "Spread", Seasons: seasonsOf(n), Parts: []Part{{"weather", places}, {"chance", places}}}, &Budget{}
	for i := range n {
		budget.Seasons = append(budget.Seasons, BudgetSeason{Season: seasonsOf(n)[i], Start: places[i], Shed: s[i].P05, Died: s[i].P95})
	}
	return append(out, split, budget)
}

// Whatever the numbers, there is a picture: well-formed, without NaN in it, and
// with no two texts over each other.
func TestOddNumbersStillGiveAPicture(t *testing.T) {
	for _, o := range odd {
		for _, n := range []int{0, 1, 2, 20} {
			for k, f := range figuresOf(n, o.at) {
				name := fmt.Sprintf("%s, %d of them, figure %d %T", o.name, n, k, f)
				checkTexts(t, name, f)
				svg := drawn(t, f, SVG)
				elements(t, name, svg)
				for _, bad := range []string{"NaN", "Inf"} {
					if containsNumber(svg, bad) {
						t.Errorf("%s: the SVG contains %s", name, bad)
					}
				}
			}
		}
	}
}

// Nothing at all is still a picture.
func TestEmptyFigures(t *testing.T) {
	for _, f := range []Figure{&Bands{}, &Budget{}, &Comparison{}, &Decision{}, &Front{}, &Sweep{}, &Dots{}, &Split{}, &Counts{}, &Calendar{}} {
		checkTexts(t, fmt.Sprintf("%T", f), f)
		text, _ := elements(t, fmt.Sprintf("%T", f), drawn(t, f, SVG))
		if len(text["text"]) == 0 {
			t.Errorf("%T: an empty figure says nothing", f)
		}
	}
}

// Names come from users: long, odd, or of letters that XML and fonts lack.
func TestOddNames(t *testing.T) {
	long := "a name that goes on and on and on well past what any picture can hold in one line or even two"
	for _, s := range []string{"", long, "x<y & \"z\"", "nul\x00\x01\x1b", "broken \xff utf-8", "Feld Süd ½ – 10⁻³", "word" + fmt.Sprint(math.Pow(2, 200))} {
		season := Season{HarvestYear: 2027, Crop: s, Cover: s, Drilled: "18 Mar"}
		about := Caption{Title: s, Subtitle: s, Note: s, Provenance: s}
		q := Panel{Name: s, Unit: s, Kind: Log, Bands: []Spread{lognormal(5, 2, 0.3)}, Threshold: &Threshold{4, s}}
		figs := []Figure{
			&Bands{about, []Season{season, season}, []Panel{q, q}},
			&Budget{about, []BudgetSeason{{Season: season, Start: 10, Died: 4, End: 6}}},
			&Comparison{about, q, demoYears(1), []Plan{{s, q.Bands}, {s, q.Bands}, {s, q.Bands}}},
			&Decision{about, Scale{s, s, Log}, Scale{s, s, Linear}, []Choice{{s, q.Bands[0], q.Bands[0], nil}, {s, q.Bands[0], q.Bands[0], nil}}},
			&Front{about, Scale{s, s, Linear}, Scale{s, s, Log}, []FrontPoint{{s, 1, 2, 0, 2, 1, 3, true}, {s, 1, 2, 0, 2, 1, 3, false}}, nil,
				&FrontPoint{s, 2, 3, 1, 3, 2, 4, false}},
			&Sweep{about, Scale{s, s, Linear}, []float64{3}, []Panel{q}, []Mark{{3, s}, {3, s}}, 3, 3},
			&Dots{about, Scale{s, s, Linear}, s, s, []string{s}, []string{s}, true, []DotRow{{s, s, Interval{1, 0, 2}, nil, s}, {Name: s, Main: Interval{1, 0, 2}}}},
			&Split{about, s, s, []Season{season}, []Part{{s, []float64{1}}, {s, []float64{2}}}},
			&Counts{about, Scale{s, s, Linear}, []CountGroup{{s, s, []float64{1, 2}, Interval{1, 0, 2}}, {s, s + "2", []float64{1, 2}, Interval{1, 0, 2}}}},
		}
		for _, f := range figs {
			name := fmt.Sprintf("%T named %.20q", f, s)
			checkTexts(t, name, f)
			elements(t, name, drawn(t, f, SVG))
		}
	}
}

// containsNumber looks for a word in attributes, where numbers stand.
func containsNumber(svg []byte, word string) bool {
	inTag := false
	for i := range svg {
		switch svg[i] {
		case '<':
			inTag = true
		case '>':
			inTag = false
		}
		if inTag && i+len(word) <= len(svg) && string(svg[i:i+len(word)]) == word {
			return true
		}
	}
	return false
}

// A last line is no single short word where another can come down to it.
func TestNoWordAlone(t *testing.T) {
	text := "9 ha, silty clay loam, east lowland weather, from 1 Aug 2026. 3,794 runs, seed 1."
	tried := 0
	for width := 200.0; width < 700; width++ {
		lines := quiet.wrap(text, width, 9)
		if last := lines[len(lines)-1]; last == "1." {
			t.Fatalf("at %g: %q", width, lines)
		} else if last == "seed 1." {
			tried++
		}
		if got := strings.Join(lines, " "); got != text {
			t.Fatalf("at %g words are lost: %q", width, got)
		}
	}
	if tried == 0 {
		t.Error("no width tried it")
	}
}
