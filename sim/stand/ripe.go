package stand

import "math"

// Ripe is how far the heads of a year have come on a day. Each share is normal in
// the date, so that work of one day and of the next differ by little.
type Ripe struct {
	Up      float64 // heads that are out, 0..1
	Tall    float64 // shoots whose growing point stands above a cut, 0..1
	Set     float64 // seed that killing the plant no longer spoils, 0..1
	Regrows float64 // of lost shoots, what a plant makes good before the harvest, 0..1
	Room    float64 // of the room of a plant that dies, what the others leave unused, 0..1
}

// farOff is how many days before their date nothing is to be seen of heads.
const farOff = 80

// RipeOn is the state at the end of a day, so many days after the date by which half
// of the heads are out. room is the share of the room that is settled by then.
func (p *Params) RipeOn(days, room float64) Ripe {
	if days < -farOff {
		return Ripe{Regrows: 1}
	}
	days += 0.5
	return Ripe{
		Up:      normal(days / p.HeadsSDD),
		Tall:    normal((days + p.StemsBeforeD) / p.HeadsSDD),
		Set:     normal((days - p.SetAfterD) / p.HeadsSDD),
		Regrows: normal(-(days + p.RegrowthBeforeD) / p.RegrowthSDD),
		Room:    room,
	}
}

// normal is the standard normal's distribution function.
func normal(x float64) float64 { return 0.5 * math.Erfc(-x/math.Sqrt2) }
