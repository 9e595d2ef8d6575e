package figure

import (
	"fmt"
	"image/color"
	"math"
	"slices"
	"time"
)

// Sizes of a strip.
const (
	laneHeight = 17.0
	lanes      = 3
	stripGap   = 15.0
)

// origin is 1 January of the harvest year, in days.
func (s *CalendarSeason) origin() float64 { return january(s.HarvestYear, 1) }

// january is the first of a month of a year; months run on past December.
func january(year, month int) float64 {
	return float64(time.Date(year, time.Month(month), 1, 0, 0, 0, 0, time.UTC).Unix()) / 86400
}

// months places the days of a season on the shared axis.
type months struct {
	area   box
	lo, hi float64
}

func (m *months) x(d float64) float64 {
	t := (d - m.lo) / (m.hi - m.lo)
	return m.area.x0 + math.Min(math.Max(t, 0), 1)*m.area.width()
}

func (f *Calendar) draw(p *paper) float64 {
	c := f.caption()
	y := p.head(c)
	if len(f.Seasons) == 0 {
		return p.foot(c, p.nothing(y, "no season to show"))
	}
	y = f.key(p, y) + 2
	m := &months{area: box{edge, 0, p.width - edge, 0}}
	m.lo, m.hi = f.span()
	head := small.lead() + 5
	height := head + lanes*laneHeight
	y = f.monthNames(p, m, y)
	for i := range f.Seasons {
		s := &f.Seasons[i]
		top := y + head
		p.strapline(s, edge, y+smallSize*inkAscent, p.width-2*edge)
		area := box{m.area.x0, top, m.area.x1, top + lanes*laneHeight}
		p.season(s, m, area)
		p.says(box{area.x0, y, area.x1, area.y1}, s.inWords())
		p.jobSpots(s, m, area)
		y += height + stripGap
	}
	return p.foot(c, y-stripGap)
}

// strapline names a season and says when its crop was drilled.
func (p *paper) strapline(s *CalendarSeason, x, y, width float64) {
	l := small.bolder()
	name := l.fit(s.words(), width)
	p.text(x, y, left, l, name)
	if !finite(s.Middle) {
		return
	}
	room := width - l.width(name) - 14
	long := fmt.Sprintf("drilled %s (%s–%s)", dayMonth(s.Middle), dayMonth(s.From), dayMonth(s.To))
	for _, said := range []string{long, "drilled " + dayMonth(s.Middle)} {
		if s.From == s.To && said == long {
			continue
		}
		if tick.width(said) <= room {
			p.text(x+width, y, right, tick, said)
			return
		}
	}
}

// monthNames writes the months over the first strip and tells where it begins.
func (f *Calendar) monthNames(p *paper, m *months, y float64) float64 {
	year := f.Seasons[0].HarvestYear
	base := y + smallSize*inkAscent
	letters := 3
	if 31/(m.hi-m.lo)*m.area.width() < tick.width("May")+4 { // as wide as any
		letters = 1
	}
	for k := -11; k <= 24; k++ {
		from, to := january(year, k)-january(year, 1), january(year, k+1)-january(year, 1)
		if from < m.lo || to > m.hi {
			continue
		}
		name := time.Month((k+23)%12 + 1).String()[:letters]
		p.text((m.x(from)+m.x(to))/2, base, middle, tick, name)
	}
	return base + smallSize*inkDrop + 8
}

// season draws one strip.
func (p *paper) season(s *CalendarSeason, m *months, area box) {
	origin := s.origin()
	at := func(d float64) float64 { return m.x(d - origin) }
	p.rect(box{at(s.Open), area.y0, at(s.Harvest), area.y1}, shade)
	for k := -11; k <= 24; k++ {
		d := january(s.HarvestYear, k)
		if x := at(d); d >= s.Open && d <= s.Harvest {
			c, w := grid, 1.0
			if k == 1 { // New Year
				c, w = rule, 1.2
			}
			p.line(c, w, nil, dot{x, area.y0}, dot{x, area.y1})
		}
	}
	lane := func(k int) box {
		return box{0, area.y0 + float64(k)*laneHeight + 2, 0, area.y0 + float64(k+1)*laneHeight - 2}
	}
	grows := lane(2)
	if finite(s.Sown) && finite(s.Destroyed) {
		b := box{at(s.Sown), grows.y0, at(s.Destroyed), grows.y1}
		if s.CoverSeldom == "" {
			p.cover(b)
		} else {
			p.paleNumber(b, Olive, s.CoverSeldom)
		}
	}
	p.growing(s, at, grows)
	p.works(s, at, lane)
}

// works marks the jobs, pale with its number what is seldom done. A number that would
// run into a mark or a number is left to the words.
func (p *paper) works(s *CalendarSeason, at func(float64) float64, lane func(int) box) {
	var taken []box
	middleOf := func(j *Job) dot {
		l := lane(jobs[j.Kind].lane)
		return dot{at(j.On), (l.y0 + l.y1) / 2}
	}
	for i := range s.Jobs {
		j := &s.Jobs[i]
		if !finite(j.On) {
			continue
		}
		k, d := jobs[j.Kind], middleOf(j)
		c := k.hue.colour()
		if j.Seldom != "" {
			c = k.hue.inner()
		}
		p.mark(k.mark, d, c)
		taken = append(taken, box{d.x - 7, d.y - 7, d.x + 7, d.y + 7})
	}
	for i := range s.Jobs {
		j := &s.Jobs[i]
		if !finite(j.On) || j.Seldom == "" {
			continue
		}
		d := middleOf(j)
		for _, a := range []anchor{left, right} {
			x := d.x + 8 - 16*float64(a)/float64(right)
			b := textBoxAt(x, d.y+4, a, tick, j.Seldom)
			if b.x0 < edge || b.x1 > p.width-edge || overlapsAny(taken, b) {
				continue
			}
			p.text(x, d.y+4, a, tick, j.Seldom)
			taken = append(taken, b)
			break
		}
	}
}

func overlapsAny(taken []box, b box) bool {
	return slices.ContainsFunc(taken, b.overlaps)
}

// cover is a hatched bar, so that it is told from the crop by more than colour.
func (p *paper) cover(b box) {
	p.rect(b, Olive.outer())
	h := b.y1 - b.y0
	for x := b.x0 - h + 5; x < b.x1; x += 6 {
		// the part of the stroke from (x, y1) to (x+h, y0) inside the bar
		from, to := math.Max(x, b.x0), math.Min(x+h, b.x1)
		p.line(Olive.colour(), 1, nil, dot{from, b.y1 - (from - x)}, dot{to, b.y1 - (to - x)})
	}
	p.outline(b, Olive.colour())
}

// paleNumber is the bar of what seldom grows, with its number.
func (p *paper) paleNumber(b box, hue Hue, said string) {
	p.rect(b, hue.outer())
	p.outline(b, hue.colour())
	if tick.width(said)+6 < b.width() {
		p.text((b.x0+b.x1)/2, (b.y0+b.y1)/2+4, middle, tick, said)
	}
}

// outline strokes the edge of a box.
func (p *paper) outline(b box, c color.RGBA) {
	p.line(c, 1.2, nil, dot{b.x0, b.y0}, dot{b.x1, b.y0}, dot{b.x1, b.y1}, dot{b.x0, b.y1}, dot{b.x0, b.y0})
}

// growing is the bar of the crop, from its median drilling to harvest, with
// the days between which nine runs in ten drilled it and the latest allowed.
func (p *paper) growing(s *CalendarSeason, at func(float64) float64, b box) {
	if s.Bare {
		p.line(rule, 1.2, []float64{2, 4}, dot{at(s.Open), (b.y0 + b.y1) / 2}, dot{at(s.Harvest), (b.y0 + b.y1) / 2})
		return
	}
	from := s.Middle
	if !finite(from) {
		from = s.Planned
	}
	if !finite(from) { // nothing is drilled: it stands all season
		from = s.Open
	}
	if grown := (box{at(from), b.y0, at(s.Harvest), b.y1}); s.CropSeldom == "" {
		p.rect(grown, Green.colour())
	} else {
		p.paleNumber(grown, Green, s.CropSeldom)
	}
	if finite(s.From) && s.To > s.From {
		spread := box{at(s.From), b.y0 - 1, at(s.To), b.y1 + 1}
		p.rect(spread, white)
		p.rect(spread, Green.outer())
		p.outline(spread, Green.colour())
		p.line(Green.colour(), 2.6, nil, dot{at(s.Middle), spread.y0}, dot{at(s.Middle), spread.y1})
	}
	if finite(s.Latest) {
		x := at(s.Latest)
		p.line(ink, 1.6, nil, dot{x, b.y0 - 4}, dot{x, b.y1 + 2})
		p.line(ink, 1.6, nil, dot{x - 4, b.y0 - 4}, dot{x, b.y0 - 4})
	}
	if !s.StandsOn {
		x := at(s.Harvest)
		p.line(ink, 2, nil, dot{x, b.y0 - 6}, dot{x, b.y1 + 2})
		p.polygon([]dot{{x, b.y0 - 6}, {x - 9, b.y0 - 2.5}, {x, b.y0 + 1}}, ink)
	}
}

// jobSpots name each piece of work where it stands.
func (p *paper) jobSpots(s *CalendarSeason, m *months, area box) {
	for _, j := range s.Jobs {
		if !finite(j.On) {
			continue
		}
		x, y := m.x(j.On-s.origin()), area.y0+(float64(jobs[j.Kind].lane)+0.5)*laneHeight
		done := ""
		if j.Seldom != "" {
			done = ", done in " + j.Seldom + " of 100 runs that grew the crop"
		}
		p.says(box{x - 8, y - 8, x + 8, y + 8}, j.When+": "+j.Name+" ("+jobs[j.Kind].name+")"+done+".")
		p.spots[len(p.spots)-1].minor = true
	}
}

// key names the marks that occur.
func (f *Calendar) key(p *paper, y float64) float64 {
	seldom := false
	used, cover, drilled, latest, crop, harvest := map[JobKind]bool{}, false, false, false, false, false
	for i := range f.Seasons {
		s := &f.Seasons[i]
		for _, j := range s.Jobs {
			used[j.Kind] = true
			seldom = seldom || j.Seldom != ""
		}
		seldom = seldom || s.CoverSeldom != "" || s.CropSeldom != ""
		crop, harvest = crop || !s.Bare, harvest || !s.Bare && !s.StandsOn
		cover, drilled, latest = cover || finite(s.Sown), drilled || finite(s.Middle) && s.To > s.From, latest || finite(s.Latest)
	}
	base, x := y+smallSize*inkAscent, edge
	item := func(name string, swatch float64, draw func(d dot)) {
		if x > edge && x+swatch+6+small.width(name) > p.width-edge {
			x, base = edge, base+1.45*small.lead()
		}
		draw(dot{x + swatch/2, base - smallSize*0.36})
		x = p.after(x+swatch+6, base, name)
	}
	for k := range jobKinds {
		if used[k] {
			item(jobs[k].name, 13, func(d dot) { p.mark(jobs[k].mark, d, jobs[k].hue.colour()) })
		}
	}
	if cover {
		item("cover", 22, func(d dot) { p.cover(box{d.x - 11, d.y - 6, d.x + 11, d.y + 6}) })
	}
	if crop {
		item("crop", 22, func(d dot) { p.rect(box{d.x - 11, d.y - 6, d.x + 11, d.y + 6}, Green.colour()) })
	}
	if seldom {
		item("pale: done in so many of 100 runs", 13, func(d dot) { p.mark(0, d, Slate.inner()) })
	}
	if drilled {
		item("drilled, 9 in 10 runs", 22, func(d dot) {
			b := box{d.x - 11, d.y - 6, d.x + 11, d.y + 6}
			p.rect(b, Green.outer())
			p.outline(b, Green.colour())
			p.line(Green.colour(), 2.6, nil, dot{d.x - 3, b.y0}, dot{d.x - 3, b.y1})
		})
	}
	if latest {
		item("latest day to drill", 8, func(d dot) {
			p.line(ink, 1.6, nil, dot{d.x + 2, d.y - 7}, dot{d.x + 2, d.y + 7})
			p.line(ink, 1.6, nil, dot{d.x - 2, d.y - 7}, dot{d.x + 2, d.y - 7})
		})
	}
	if harvest {
		item("harvest", 10, func(d dot) {
			p.line(ink, 2, nil, dot{d.x + 4, d.y - 7}, dot{d.x + 4, d.y + 7})
			p.polygon([]dot{{d.x + 4, d.y - 7}, {d.x - 5, d.y - 3.5}, {d.x + 4, d.y}}, ink)
		})
	}
	return base + smallSize*inkDrop + 9
}
