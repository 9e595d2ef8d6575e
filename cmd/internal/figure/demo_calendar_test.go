package figure

import "math"

// demoCalendar is n invented seasons by turns: barley after a cover, wheat, a
// ley that stands on, a fallow that nothing is done to.
func demoCalendar(n int) *Calendar {
	none := math.NaN()
	f := &Calendar{Caption: Caption{Title: "Far Piece: the plan, season by season", Note: invented}}
	for i := range n {
		year := 2027 + i
		d := func(month, day int) float64 { return january(year-1, month) + float64(day-1) } // months run on past December
		s := CalendarSeason{Season: Season{HarvestYear: year}, Open: d(8, 20), Harvest: d(20, 15),
			Sown: none, Destroyed: none, Planned: none, Latest: none, From: none, Middle: none, To: none}
		switch i % 4 {
		case 0:
			s.Crop, s.Cover, s.Sown, s.Destroyed = "spring barley", "oat bean pea", d(9, 1), d(13, 25)
			s.Planned, s.Latest, s.From, s.Middle, s.To, s.Share = d(15, 18), d(16, 20), d(15, 18), d(15, 30), d(16, 17), 0.72
			s.CoverSeldom, s.CropSeldom = "64", "72"
			s.Jobs = []Job{{SoilWork, "shallow disc", d(8, 25), "25 Aug", ""}, {SprayOff, "spray off", d(15, 17), "17 Mar", ""},
				{Spray, "spring residual", d(16, 1), "2 days after drilling", "61"}}
			s.Otherwise = "fallow in 28 of 100 runs"
		case 1:
			s.Crop, s.Planned, s.Latest, s.From, s.Middle, s.To, s.Share = "winter wheat", d(10, 10), d(11, 10), d(10, 10), d(10, 10), d(10, 10), 1
			s.Jobs = []Job{{SoilWork, "plough", d(9, 5), "5 Sep", "6"}, {InCrop, "inter-row hoe", d(17, 5), "5 May", ""},
				{Spray, "never sprayed", none, "2 days after drilling", ""}}
		case 2:
			s.Crop, s.StandsOn = "grass ley", true
		default:
			s.Crop, s.Bare = "fallow", true
		}
		f.Seasons = append(f.Seasons, s)
	}
	return f
}
