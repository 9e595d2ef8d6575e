package figure

import (
	"fmt"
	"math"
	"strings"
)

// Season is what was done in one season, for the strip under an axis.
type Season struct {
	HarvestYear int    // 2027; 0 when unknown
	Crop        string // in words: "spring barley"
	Cover       string // "" is no cover; any other text marks one
	Drilled     string // "18 Mar"; "" when nothing is drilled
}

func (s Season) year(width float64) string {
	if s.HarvestYear == 0 {
		return ""
	}
	if long := fmt.Sprint(s.HarvestYear); tick.width(long) <= width-4 {
		return long
	}
	return fmt.Sprintf("’%02d", s.HarvestYear%100)
}

// strip is the rows under a season axis.
type strip struct {
	seasons        []Season
	upright        bool // text runs upwards: columns too narrow for it
	every          int  // so many-th seasons only are named: columns too narrow even so
	crops          [][]string
	cropH, drilled float64
	anyCover       bool
	anyDrilled     bool
}

func newStrip(seasons []Season, colWidth float64) strip {
	s := strip{seasons: seasons, cropH: small.lead(), drilled: small.lead(), every: 1}
	for float64(s.every)*colWidth < smallSize*(inkAscent+inkDrop) {
		s.every++
	}
	for _, v := range seasons {
		s.anyCover = s.anyCover || v.Cover != ""
		s.anyDrilled = s.anyDrilled || v.Drilled != ""
		for _, w := range strings.Fields(clean(v.Crop)) {
			s.upright = s.upright || small.width(w) > colWidth-3
		}
		s.upright = s.upright || small.width(clean(v.Drilled)) > colWidth-3
	}
	for _, v := range seasons {
		if s.upright {
			name := small.fit(v.Crop, 104)
			s.crops = append(s.crops, []string{name})
			s.cropH = math.Max(s.cropH, small.width(name)+6)
			s.drilled = math.Max(s.drilled, small.width(v.Drilled)+6)
			continue
		}
		lines := small.wrap(v.Crop, colWidth-3, 3)
		s.crops = append(s.crops, lines)
		s.cropH = math.Max(s.cropH, float64(len(lines))*small.lead())
	}
	return s
}

// strip draws the rows under the frame b and tells where they end.
func (p *paper) strip(s strip, b box, edges []float64) float64 {
	y := b.y1 + 9
	row := func(name string, height float64, cell func(i int, x0, x1 float64)) {
		if name != "" {
			p.text(b.x0-5, y+math.Min(height/2+smallSize*0.35, height-smallSize*inkDrop-2), right, tick, name)
		}
		for i := range s.seasons {
			cell(i, edges[i], edges[i+1])
		}
		y += height
	}
	row("harvest", small.lead(), func(i int, x0, x1 float64) {
		at := dot{(x0 + x1) / 2, y + smallSize*inkAscent + 1}
		year := s.seasons[i].year(x1 - x0)
		if clear := textBoxAt(at.x, at.y, middle, tick, year).x0 > b.x0-3; clear && i%(2*s.every) == 0 || x1-x0 > 26 { // every second year where they would touch
			p.text(at.x, at.y, middle, tick, year)
		}
	})
	y += 3
	p.line(grid, 1, nil, dot{b.x0, y}, dot{b.x1, y})
	y += 3
	row("crop", s.cropH, func(i int, x0, x1 float64) {
		if i%s.every != 0 {
			return
		}
		if s.upright {
			for _, c := range s.crops[i] {
				p.textUp((x0+x1)/2+smallSize*0.36, y+s.cropH-3, left, small, c)
			}
			return
		}
		p.lines((x0+x1)/2, y+smallSize*inkAscent+1, middle, small, s.crops[i])
	})
	if s.anyDrilled {
		y += 3
		row("drilled", s.drilled, func(i int, x0, x1 float64) {
			if i%s.every != 0 {
				return
			}
			if s.upright {
				p.textUp((x0+x1)/2+smallSize*0.36, y+s.drilled-3, left, small, s.seasons[i].Drilled)
				return
			}
			p.text((x0+x1)/2, y+smallSize*inkAscent+1, middle, small, s.seasons[i].Drilled)
		})
	}
	if s.anyCover {
		y += 4
		row("cover", 17, func(i int, x0, x1 float64) { p.coverCell(s.seasons[i], x0, x1, y) })
	}
	return y
}

// coverCell marks a cover crop by a bar, and writes yes or no where there is
// room, so that the mark does not hang on its colour.
func (p *paper) coverCell(s Season, x0, x1, y float64) {
	mid := (x0 + x1) / 2
	if s.Cover == "" {
		p.line(rule, 1.2, nil, dot{mid - 4, y + 8}, dot{mid + 4, y + 8})
		return
	}
	inset := math.Min(5, (x1-x0)/8)
	p.rect(box{x0 + inset, y, x1 - inset, y + 17}, Green.colour())
	if l := small.in(on(Green.colour())); l.width("yes") < x1-x0-2*inset-2 {
		p.text(mid, y+8+smallSize*0.35, middle, l, "yes")
	}
}

// shadeSeasons tints every second season over the height of a box.
func (p *paper) shadeSeasons(edges []float64, y0, y1 float64) {
	for i := 1; i+1 < len(edges); i += 2 {
		p.rect(box{edges[i], y0, edges[i+1], y1}, shade)
	}
}

func columnEdges(b box, n int) []float64 {
	e := make([]float64, n+1)
	for i := range e {
		e[i] = b.x0 + (b.x1-b.x0)*float64(i)/float64(max(n, 1))
	}
	return e
}
