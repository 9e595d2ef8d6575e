package update

import (
	"fmt"
	"testing"

	"rundown/sim"
)

// A decision after the last count that hangs on heads of a June, or plants of a day, that were
// counted has what was counted in place of a look that is drawn: just below it every run takes
// one branch, just above it every run the other. Of looks that are drawn, some take each.
func TestWhatWasCountedIsWhatWasSeen(t *testing.T) {
	share := func(p *Posterior, m *sim.Model, season int) float64 {
		o := replayed(t, m, p.Options(60, m))
		if gone := p.Departed(o); gone != 0 {
			t.Fatalf("%v of the histories have another past", gone)
		}
		sum := 0.0
		for _, b := range o.Column(sim.Branch, season) {
			sum += b
		}
		return sum / 60
	}
	heads := func(above float64) string {
		return fmt.Sprintf(`field: {name: Far Piece, area_ha: 2, soil: clay, climate: east-lowland}
weed: {species: black-grass, start: 2026-08-01, heads_per_m2: {low: 5, high: 200}}
counting: {quadrats: 10, quadrat_m2: 0.25}
seasons:
  - {crop: winter-wheat}
  - choose: [{if: {heads_per_m2: {above: %v}}, crop: spring-barley, drill: {date: 20 Mar}}, {crop: winter-wheat}]
`, above)
	}
	const counted = 43 / 1.75 // heads per m² of 15 June 2027
	for _, c := range []struct{ above, want float64 }{{counted - 0.01, 0}, {counted + 0.01, 1}} {
		m := model(t, heads(c.above))
		p := shortUpdate(t, m, 60, 3).Posterior
		if got := share(&p, m, 1); got != c.want {
			t.Errorf("%.2f heads were counted, the rule asks for more than %.2f: %v of the runs take its last branch, not %v", counted, c.above, got, c.want)
		}
		if p.Counted = nil; share(&p, m, 1) == 0 || share(&p, m, 1) == 1 {
			t.Errorf("of looks that are drawn all are on one side of %.2f, so that this test says nothing", c.above)
		}
	}
}
