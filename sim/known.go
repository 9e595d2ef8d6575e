package sim

import (
	"fmt"

	"rundown/sim/soil"
	"rundown/sim/weather"
)

// What is known of a weed's yearly cycle and of a herbicide's control was seen on heavy land
// in a lowland climate. So both are held against the reference year of one place, whatever
// the plan's own soil and weather: a field of dry autumns has no stronger herbicide and no
// hardier weed for being dry.
const (
	knownClimate = "east-lowland"
	knownSoil    = "clay"
	knownWeed    = "black-grass" // on which the control by residual herbicides was measured
)

// knownPlace is the model with the place of what is known in place of its own, or the model
// itself where it lies there.
func (m *Model) knownPlace() (*Model, error) {
	lib, c := m.calendar.Library, m.calendar
	climate, ground := lib.Find("climates", knownClimate), lib.Find("soils", knownSoil)
	if climate == nil || ground == nil {
		return nil, fmt.Errorf("the library lacks climates/%s or soils/%s, against which the weed's cycle is held", knownClimate, knownSoil)
	}
	if c.Climate == climate && c.Soil == ground && c.Record == nil && c.FitTo == nil {
		return m, nil
	}
	var of weather.Climate
	var u soil.Params
	b := &binder{central: true}
	b.bind(&of, climate)
	b.bind(&u, ground)
	if b.err != nil {
		return nil, b.err
	}
	known := *m
	known.soil, known.et0 = soil.New(u), 1
	if of.ET0Factor > 0 {
		known.et0 = of.ET0Factor
	}
	known.madeOf = *knownWeather(of)
	var err error
	known.weather, err = known.madeOf.source(nil)
	return &known, err
}

// layReferences lays the reference years: that of the plan's own place, under the field's usual
// tillage, from which the start is made; and that of the known place, for the weed's cycle.
func (m *Model) layReferences(u *units) error {
	known, err := m.knownPlace()
	if err != nil {
		return err
	}
	m.referencesAhead(known, u)
	if m.reference, err = newReference(m, u); err != nil {
		return err
	}
	m.known = m.reference
	if known != m {
		if m.known, err = newReference(known, u); err != nil {
			return err
		}
		known.known = m.known
	}
	return m.solveResiduals(known, u)
}

// solveResiduals finds, for each residual active at its central values, the
// efficacy just after spraying that gives its published control over the
// reference season of the known place and weed: seedlings of a steady rain that emerge after spraying.
func (m *Model) solveResiduals(known *Model, u *units) error {
	m.base = make([][]float64, len(u.herbicides))
	residual := false
	for h := range u.herbicides {
		residual = residual || len(u.herbicides[h].Actives) > 0
	}
	if !residual {
		return nil
	}
	r, weed, err := known.residualReference(u)
	if err != nil {
		return err
	}
	bank := weed.steady()
	first := r.after(refSprayed) + 1
	dry, straw := r.dryAfter(refSprayed), r.usual.ground[r.after(refSprayed)].Cover
	for h := range u.herbicides {
		for a := range u.herbicides[h].Actives {
			x := u.herbicides[h].Actives[a]
			x.Set(0)
			x.Solve(r.met(first, weed, bank, &x), dry)
			m.base[h] = append(m.base[h], x.Base-logit(x.SeasonControl)-x.Straw(straw))
		}
	}
	return nil
}

// residualReference is the reference year of the weed on which control by residual herbicides
// was measured, and its cycle there at central values.
func (m *Model) residualReference(u *units) (*Reference, *cycle, error) {
	of, r := u.weed, m.known
	if m.calendar.Weed.Name != knownWeed {
		e := m.calendar.Library.Find("weeds", knownWeed)
		if e == nil {
			return nil, nil, fmt.Errorf("the library lacks weeds/%s, on which residual herbicides are measured", knownWeed)
		}
		b := &binder{central: true}
		b.bind(&of, e)
		if b.err != nil {
			return nil, nil, b.err
		}
		other := *u
		other.weed = of
		var err error
		if r, err = newReference(m, &other); err != nil {
			return nil, nil, err
		}
	}
	return r, cycleOf(r, &of), nil
}
