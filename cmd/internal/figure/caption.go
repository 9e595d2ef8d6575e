package figure

import "math"

// margin left free around a picture.
const edge = 10.0

// or fills in what the caller left out.
func (c Caption) or(title, desc string) Caption {
	if c.Title == "" {
		c.Title = title
	}
	if c.Desc == "" {
		c.Desc = desc
	}
	return c
}

// head writes title and subtitle and tells where the picture may begin.
func (p *paper) head(c Caption) float64 {
	if p.bare {
		return 4
	}
	y := edge + titleSize*inkAscent
	y = p.lines(edge, y, left, titling, titling.balanced(c.Title, p.width-2*edge, 4))
	y -= titling.lead() - titleSize*inkDrop
	if c.Subtitle != "" {
		y += 5 + textSize*inkAscent
		y = p.lines(edge, y, left, quiet, quiet.wrap(c.Subtitle, p.width-2*edge, 3))
		y -= quiet.lead() - textSize*inkDrop
	}
	return y + 10
}

// foot writes the note under a picture that ends at y and tells the height of
// the whole.
func (p *paper) foot(c Caption, y float64) float64 {
	if p.bare {
		return math.Ceil(y + 4)
	}
	if c.Note != "" {
		y += 8 + smallSize*inkAscent
		y = p.lines(edge, y, left, tick, tick.wrap(c.Note, p.width-2*edge, 4))
		y -= tick.lead() - smallSize*inkDrop
	}
	return math.Ceil(y + edge)
}

// nothing says in the place of a picture why it is empty.
func (p *paper) nothing(y float64, why string) float64 {
	b := box{edge, y, p.width - edge, y + 90}
	p.rect(b, shade)
	p.text(p.width/2, y+50, middle, quiet, quiet.fit(why, p.width-4*edge))
	return b.y1
}
