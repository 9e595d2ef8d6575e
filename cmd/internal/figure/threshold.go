package figure

import "math"

// threshold draws a level across a frame and names it where the name covers
// least of the band s at the places xs, and no upright line.
func (p *paper) threshold(f *frame, t *Threshold, xs []float64, s []Spread, uprights ...float64) {
	if t == nil {
		return
	}
	y, ok := f.y.at(t.Value)
	if !ok {
		return
	}
	p.line(ink, 1.4, []float64{5, 3}, dot{f.x0, y}, dot{f.x1, y})
	l := small.bolder()
	name := l.fit(t.Name, f.width()-8)
	w := l.width(name)
	best, cost := dot{}, math.Inf(1)
	for _, x := range []float64{f.x1 - w - 4, f.x0 + 4, (f.x0 + f.x1 - w) / 2} {
		for _, base := range []float64{y - 5, y + 5 + smallSize*inkAscent} {
			b := textBoxAt(x, base, left, l, name).grow(2)
			if b.y0 < f.box.y0 || b.y1 > f.box.y1 {
				continue
			}
			c := 0.0
			for _, u := range uprights {
				if b.x0 < u && u < b.x1 {
					c += 2000
				}
			}
			for i := range min(len(xs), len(s)) {
				top, okTop := f.y.at(s[i].P95)
				foot, okFoot := f.y.at(s[i].P05)
				if mid, ok := f.y.at(s[i].P50); ok && b.grow(3).overlaps(box{xs[i] - 12, mid - 1, xs[i] + 12, mid + 1}) {
					c += 400
				}
				if okTop && okFoot {
					c += b.overlap(box{xs[i] - 12, top, xs[i] + 12, foot})
				}
			}
			if c < cost {
				best, cost = dot{x, base}, c
			}
		}
	}
	if !math.IsInf(cost, 1) {
		p.text(best.x, best.y, left, l, name)
	}
}
