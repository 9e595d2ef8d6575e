package rotations

import "rundown/params"

// Place is where plans stand, by content: plans of one Place have the same ground,
// weather, weed and values, whatever files they were read from. What stood on it at
// the start and what is done there are no part of it.
type Place struct {
	AreaHa         float64
	Soil           string // as all names here, of an entry of the library; "left out" for none
	Climate        string
	Latitude       float64 // of weather from a file, ° north
	Record, FitTo  string  // sums of the days of the records, "" for none
	Resample       bool    // beyond the record: whole years of it again
	History        string
	Work           string // how it waits, as plans write it
	LastCrop, Weed string
	Resistance     string // as plans write it
	ImportPerM2    float64
	Library        string // SHA-256 of all its files
}

// Place is the calendar's.
func (c *Calendar) Place() Place {
	return Place{
		AreaHa: c.AreaHa, Soil: name(c.Soil), Climate: name(c.Climate), Latitude: c.Latitude,
		Record: daysIn(c.Record), FitTo: daysIn(c.FitTo), Resample: c.Record != nil && c.Resample,
		History: name(c.History), Work: work(c), LastCrop: name(c.LastCrop), Weed: name(c.Weed),
		Resistance: c.groups(), ImportPerM2: c.ImportPerM2, Library: c.Library.SHA256(),
	}
}

// Equal tells whether two places are the same in all but what is done there.
func (p Place) Equal(other Place) bool { return p == other }

// Apart is the place without its library, for those who compare libraries.
func (p Place) Apart() Place {
	p.Library = ""
	return p
}

func daysIn(r *params.Record) string {
	if r == nil {
		return ""
	}
	return r.Days
}
