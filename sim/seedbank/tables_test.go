package seedbank

import (
	"math"
	"testing"
)

// The tables of the year are the logistics of the model description, day by day, however steep:
// made by recurrence or one by one.
func TestTablesAreTheLogistics(t *testing.T) {
	logistic := func(d, centre, scale float64) float64 { return 1 / (1 + math.Exp(-(d-SeedbankDay(centre))/scale)) }
	for _, scale := range []float64{0.5, 1, 3, 10, 60} {
		for _, date := range []float64{1, 100, 181, 182, 250, 365} {
			r := Rates{P: Params{AutumnRipe: date, AutumnRipeScaleD: scale, SpringRipe: date, SpringRipeScaleD: scale,
				ReturnDate: date, ReturnAutumnDate: 366 - date, ReturnScaleD: scale, ReturnRate: 0.1}}
			r.Tabulate()
			for d := range r.Spring {
				at := float64(d)
				ripe := logistic(at, date, scale)
				old, fresh := ripe, 1/(1+2*math.Exp(min(700, -(at-SeedbankDay(date))/scale)))
				if d >= newYear {
					old, fresh = 1, 1
				}
				for _, x := range []struct {
					what      string
					got, want float64
				}{
					{"old", r.OldRipe[d], old}, {"fresh", r.FreshRipe(d, 2), fresh}, {"spring", r.Spring[d], ripe},
					{"back", r.Back[d], 0.1 * ripe}, {"back in autumn", r.BackAutumn[d], 0.1 * logistic(at, 366-date, scale)},
				} {
					if math.Abs(x.got-x.want) > 1e-11 && (x.want > 1.001e-5 || x.got != 0) {
						t.Fatalf("%s on day %d, date %v, scale %v: %v, expected %v", x.what, d, date, scale, x.got, x.want)
					}
				}
			}
		}
	}
}
