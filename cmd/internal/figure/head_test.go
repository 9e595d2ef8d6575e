package figure

import (
	"strings"
	"testing"
)

// On a page as wide as a phone neither name nor unit of a panel is cut: they go on in a
// shorter form or on a line below, and the panels make room.
func TestHeadsOfPanelsAreWhole(t *testing.T) {
	bands := []Spread{{1, 2, 3, 4, 5, 0}, {1, 2, 3, 4, 5, 0}}
	for _, x := range []struct {
		name, unit string
		kind       AxisKind
		want       []string
	}{
		{"Weed heads, mean of the harvests 2027 to 2032", "per m²", Log, []string{"per m², log"}},
		{"Margin, mean of 2027 to 2032 for all the seasons", "GBP/ha a year", Linear, []string{"GBP/ha a year"}},
		{"Seed in the soil on 30 June, before this year's seed has come down on it, with what is left of older years", "per m²", Log,
			[]string{"Seed in the soil", "older years", "per m², log"}},
		{"Heads", "per m²", Log, []string{"Heads", "per m², log scale"}},
	} {
		f := &Bands{Seasons: []Season{{HarvestYear: 2027, Crop: "wheat"}, {HarvestYear: 2028, Crop: "wheat"}},
			Panels: []Panel{{Name: x.name, Unit: x.unit, Kind: x.kind, Bands: bands}}}
		p := &paper{width: 340, bare: true}
		f.draw(p)
		var texts []string
		for _, w := range p.texts {
			texts = append(texts, w.text)
		}
		all := strings.Join(texts, " | ")
		for _, want := range x.want {
			if !strings.Contains(all, want) {
				t.Errorf("%s: no %q in %s", x.name, want, all)
			}
		}
		if strings.Contains(all, "…") {
			t.Errorf("%s: something is cut: %s", x.name, all)
		}
	}
}

// The name of an axis and its unit are whole as well.
func TestNamesOfAxesAreWhole(t *testing.T) {
	for _, x := range []Scale{{Name: "Margin, mean of the harvests 2027 to 2032", Unit: "GBP/ha a year"}, {Name: "Warmth from sowing to half of full ground cover",
		Unit: "°C d", Kind: Log}, {Name: "Margin", Unit: "GBP/ha"}} {
		p := &paper{width: 340, bare: true}
		a := newAxis(x.Kind, []float64{1, 100}, 5)
		area := box{40, 0, 320, 200}
		a.lay(area.x0, area.x1)
		p.xLabels(&a, area, area.y1, x)
		all := ""
		for _, w := range p.texts {
			all += w.text + " "
		}
		for _, want := range append(strings.Fields(x.Name), x.Unit) {
			if !strings.Contains(all, want) || strings.Contains(all, "…") {
				t.Errorf("%s, %s: %s", x.Name, x.Unit, all)
			}
		}
	}
}

// A quantity that is one number in every row has one column of numbers, and no spread.
func TestOneNumberStandsOnce(t *testing.T) {
	q := &Panel{Name: "Not drilled in time", Kind: Percent}
	one := q.data("t", []string{"date"}, [][]string{{"a"}, {"b"}}, []Spread{{0.15, 0.15, 0.15, 0.15, 0.15, 0}, {0.2, 0.2, 0.2, 0.2, 0.2, 0}})
	if len(one.Head) != 2 || len(one.Rows[0]) != 2 || one.Rows[0][1] != "15%" || one.Rows[1][1] != "20%" {
		t.Errorf("%v %v", one.Head, one.Rows)
	}
	more := q.data("t", []string{"date"}, [][]string{{"a"}, {"b"}}, []Spread{{0.15, 0.15, 0.15, 0.15, 0.15, 0}, {0.1, 0.2, 0.2, 0.2, 0.3, 0}})
	if len(more.Head) != 6 || len(more.Rows[0]) != 6 {
		t.Errorf("%v %v", more.Head, more.Rows)
	}
}
