package weather

// cambridge is Cambridge NIAB 1991–2020: monthly means and between-year sd from
// the Met Office historic station data; rain days from memory (Cambridge
// Botanic Garden); daily sd and wet shift assumed, the sd so that the
// autoregression alone does not vary the months more than observed.
func cambridge() Climate {
	c := Climate{
		LatitudeDeg: 52.245,
		TmaxC:       [12]float64{7.7, 8.3, 11.0, 14.1, 17.4, 20.4, 23.1, 22.9, 19.6, 15.1, 10.7, 8.0},
		TminC:       [12]float64{1.9, 1.8, 3.1, 4.7, 7.4, 10.5, 12.6, 12.6, 10.5, 7.9, 4.5, 2.2},
		TmaxYearSD:  [12]float64{1.6, 1.9, 1.7, 1.6, 1.4, 1.3, 1.9, 1.4, 1.5, 1.6, 1.4, 1.9},
		TminYearSD:  [12]float64{1.2, 1.5, 1.2, 1.0, 1.0, 0.8, 0.9, 0.9, 1.1, 1.6, 1.4, 1.7},
		TmaxDaySD:   [12]float64{3.4, 3.5, 3.5, 3.7, 3.6, 3.4, 3.8, 3.5, 3.1, 3.0, 3.1, 3.5},
		TminDaySD:   [12]float64{3.0, 3.4, 3.0, 2.5, 2.5, 2.0, 2.2, 2.2, 2.6, 3.4, 3.4, 3.7},
		RainMM:      [12]float64{48.6, 35.7, 32.9, 37.6, 43.2, 49.3, 48.3, 55.9, 50.7, 58.7, 52.6, 49.5},
		RainYearSD:  [12]float64{21, 19, 18, 30, 25, 34, 24, 30, 34, 30, 22, 23},
		WetDays:     [12]float64{10.7, 8.9, 8.1, 7.9, 7.3, 8.7, 8.4, 8.7, 8.1, 9.9, 10.9, 10.5},
	}
	c.WetShiftC = [12]float64{1.0, 0.5, -0.5, -1.5, -2.0, -2.5, -2.5, -2.0, -1.5, -0.5, 0.5, 1.0}
	for m := range 12 {
		c.Persistence[m] = 0.25
	}
	return c
}
