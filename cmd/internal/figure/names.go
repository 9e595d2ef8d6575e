package figure

import "math"

// named is a point with a name, to be written beside it.
type named struct {
	at   dot
	name string
	hue  Hue
}

// placing keeps what is already on the paper while names are placed.
type placing struct {
	within   box
	inTheWay []box // marks and bars
	taken    []box // names
	leaders  [][2]dot
}

// names writes the name of every point where it collides least with bars,
// other names and their leaders; a name that had to go far gets a leader.
func (p *paper) names(points []named, within box, inTheWay []box) {
	l := plain.bolder()
	place := placing{within: within, inTheWay: inTheWay}
	for i := range points {
		points[i].name = l.fit(clean(points[i].name), max(within.width()/2, min(0.75*within.width(), 200)))
		place.add(points[i], l)
	}
	for i, lead := range place.leaders {
		p.line(points[i].hue.text(), 1.2, nil, lead[0], lead[1])
	}
	for i, b := range place.taken {
		p.rect(b, white)
		p.text(b.x0+nameRim, b.y1-nameRim-l.size*inkDrop, left, l.in(points[i].hue.text()), points[i].name)
	}
}

// nameRim is the white rim around a name.
const nameRim = 2.0

// add finds the place of one more name: the candidates stand left and right of
// the point, further and further away.
func (q *placing) add(n named, l lettering) {
	w, h := l.width(n.name)+2*nameRim, l.size*(inkAscent+inkDrop)+2*nameRim
	best, cost := box{}, math.Inf(1)
	for _, dx := range []float64{6, 22, 44, 70} {
		for _, dy := range []float64{-10, 10, -24, 24, -40, 40, -58, 58, -78, 78, -100, 100} {
			for _, x0 := range []float64{n.at.x + dx, n.at.x - dx - w} {
				mid := n.at.y + dy
				b := box{x0, mid - h/2, x0 + w, mid + h/2}
				if b.x0 < q.within.x0 || b.x1 > q.within.x1 || b.y0 < q.within.y0 || b.y1 > q.within.y1 {
					continue
				}
				if c := q.cost(b, n.at) + 1.5*(dx+math.Abs(dy)); c < cost {
					best, cost = b, c
				}
			}
		}
	}
	if math.IsInf(cost, 1) { // no candidate inside: push the nearest in
		x := math.Min(math.Max(n.at.x+6, q.within.x0), q.within.x1-w)
		y := math.Min(math.Max(n.at.y-10, q.within.y0), q.within.y1-h)
		best = box{x, y, x + w, y + h}
	}
	q.taken = append(q.taken, best)
	end := nearest(best, n.at)
	if math.Hypot(end.x-n.at.x, end.y-n.at.y) < 14 {
		end = n.at // near enough to do without
	}
	q.leaders = append(q.leaders, [2]dot{n.at, end})
}

// cost of a candidate: what it covers, and what its leader crosses.
func (q *placing) cost(b box, at dot) float64 {
	c := 0.0
	for _, o := range q.inTheWay {
		if b.overlaps(o) {
			c += 40 + b.overlap(o)
		}
	}
	for _, o := range q.taken {
		if b.grow(2).overlaps(o) {
			c += 2000 + 10*b.overlap(o)
		}
	}
	end := nearest(b, at)
	for _, o := range q.taken {
		if crosses(at, end, o) {
			c += 800
		}
	}
	for _, lead := range q.leaders {
		if crosses(lead[0], lead[1], b) {
			c += 800
		}
	}
	return c
}

// nearest is the point of a box nearest to another point.
func nearest(b box, d dot) dot {
	return dot{math.Min(math.Max(d.x, b.x0), b.x1), math.Min(math.Max(d.y, b.y0), b.y1)}
}

// crosses tells whether a line runs through a box, sampled every 20th of it.
func crosses(from, to dot, b box) bool {
	for k := range 21 {
		t := float64(k) / 20
		x, y := from.x+t*(to.x-from.x), from.y+t*(to.y-from.y)
		if x > b.x0 && x < b.x1 && y > b.y0 && y < b.y1 {
			return true
		}
	}
	return false
}
