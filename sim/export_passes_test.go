package sim

import "rundown/sim/stand"

// PassKills is what a pass of an implement kills by size, at central values.
func (m *Model) PassKills(name string, moist float64) (stand.Sizes, error) {
	var u implementUnit
	b := &binder{central: true}
	m.bindImplement(b, &u, m.calendar.Library.Find("implements", name))
	return u.kills(moist), b.err
}
