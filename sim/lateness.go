package sim

import (
	"fmt"
	"math"
	"time"

	"rundown/params/date"
	"rundown/sim/crop"
	"rundown/sim/seedbank"
	"rundown/sim/weather"
)

// seasonKind is a kind of season by when its crop is sown. A weed costs less the
// later it comes up after the crop, and what the average plant costs is known
// for the average plant of a crop of one kind: where autumn-sown wheat carries
// plants that came up over half a year, the plants of a spring crop come up
// with it. So each kind is held against a reference crop of its own.
type seasonKind int

const (
	autumnSown seasonKind = iota
	springSown
	seasonKinds
)

func kindOf(u *cropUnit) seasonKind {
	if u.spring {
		return springSown
	}
	return autumnSown
}

// lateness is how the plants of a steady rain of seed come up after a reference
// crop, at central values.
type lateness []late

// late is the share of plants that come up some days after the crop (0: with it or before).
type late struct{ days, share float64 }

// weight is the mean weight of these plants in the yield loss, exp(−rate·days).
func (l lateness) weight(rate float64) float64 {
	var sum float64
	for i := range l {
		sum += l[i].share * math.Exp(-rate*l[i].days)
	}
	return sum
}

// latenessOf runs the cycle under a reference crop's work and keeps when its
// plants come up.
func (r *Reference) latenessOf(work *refWork, weed *weedUnit) lateness {
	var c cycle
	var rates seedbank.Rates
	rates.Set(&weed.Seed)
	c.run(r, work, weed, &rates)
	bank := c.steady()
	var l lateness
	var all float64
	for i := range r.steps {
		n := c.emerged[i][0]
		for k, old := range bank {
			n += old * c.emerged[i][1+k]
		}
		n *= c.live[i]
		all += n
		l = append(l, late{float64(max(0, r.steps[i].middle()-work.up)), n})
	}
	for i := range l {
		l[i].share /= all
	}
	return l
}

// refSpring is the reference spring crop, sprayed off the day before drilling.
var refSpring = struct{ spray, drill date.Annual }{
	date.Annual{Month: time.March, Day: 19}, date.Annual{Month: time.March, Day: 20},
}

// layLateness holds the plants of both kinds of season against their crops.
func (m *Model) layLateness(r *Reference, u *units) error {
	disc, tine := m.calendar.Library.Find("implements", usualTillage), m.calendar.Library.Find("implements", "tine-drill")
	b := &binder{central: true}
	till, drill := new(implementUnit), new(implementUnit)
	m.bindImplement(b, till, disc)
	m.bindImplement(b, drill, tine)
	if b.err != nil {
		return b.err
	}
	spring := r.table.work(r, refSpring.drill, till, drill)
	spring.spray, spring.up = r.after(refSpring.spray), r.table.springUp
	spring.sprayedOn = r.steps[spring.spray].end
	r.late = [seasonKinds]lateness{autumnSown: r.latenessOf(&r.usual, &u.weed), springSown: r.latenessOf(spring, &u.weed)}
	for k, l := range r.late {
		if w := l.weight(u.weed.Plant.LatenessRate); !(w > 0) {
			return fmt.Errorf("no plant of %s would come up in the reference season %d of this climate: check the climate or the weed", m.calendar.Weed.Name, k)
		}
	}
	return nil
}

// emergence is the day on which a crop drilled on a day comes up.
func emergence(p *crop.Params, drilled date.Day, d *weather.Days) date.Day {
	c := crop.Drill(drilled, p, 300)
	day := drilled
	for c.Up == 0 && day < drilled+200 {
		day++
		c.Grow(p, d.MeanC[day-d.Start], day)
	}
	return day
}
