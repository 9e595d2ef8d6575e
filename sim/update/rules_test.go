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

// The same of plants, for work: a spray that hangs on plants of the very day that was counted.
func TestWhatWasCountedDecidesOnWork(t *testing.T) {
	const counted = 29 / 1.5 // plants per m² of 12 April 2027
	for _, c := range []struct {
		above float64
		never sim.Reason
	}{{counted - 0.01, sim.NotAsked}, {counted + 0.01, sim.Made}} {
		m := model(t, fmt.Sprintf(`field: {name: Far Piece, area_ha: 2, soil: clay, climate: east-lowland}
weed: {species: black-grass, start: 2026-08-01, heads_per_m2: {low: 5, high: 200}}
counting: {quadrats: 6, quadrat_m2: 0.25}
seasons:
  - {crop: winter-wheat, herbicides: [{programme: spring-contact, date: 20 Apr, if: {plants_per_m2: {above: %v}, seen: 12 Apr}}]}
`, c.above))
		p := shortUpdate(t, m, 60, 2).Posterior
		o := p.Options(60, m)
		o.Work = true
		out, looked := replayed(t, m, o), 0
		for id, x := range m.Work() {
			if x.Is != sim.Operation || x.Course != 0 || m.Calendar().Seasons[0].Courses[0].Operations[x.Index].If == nil {
				continue
			}
			for k := range 60 {
				looked++
				if why := out.Done(id, k).Why; why == c.never {
					t.Fatalf("%.2f plants were counted, the rule asks for more than %.2f: in run %d the spray is %v", counted, c.above, k+1, why)
				}
			}
		}
		if looked != 60 {
			t.Errorf("%d sprays were looked at, there are 60", looked)
		}
	}
}
