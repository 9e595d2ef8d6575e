package sim

import (
	"maps"
	"math"
	"slices"

	"rundown/params"
	"rundown/sim/seedbank"
)

// OwnReturn says what a user's own values of the weed do to the return target.
//
// The target is what is known of a product of the program's values. A user who
// knows a factor of it better has changed the product too; were the target kept,
// the draws of the other factors would undo what the user said. So it moves as
// the product does at central values in the reference year, unless the user gives
// the target as well.
type OwnReturn struct {
	Values []*params.Value // the user's, of those that the product hangs on
	Factor float64         // the product with the user's values over that with the program's
	Given  bool            // the user gives return_target, which is kept
	Target float64         // what is taken, seeds per seed
}

// OwnReturn is nil where no value of the user's changes the product or what is known of it.
func (m *Model) OwnReturn() *OwnReturn { return m.own }

// ReturnTarget is the target that draws are held against, seeds per seed.
func (m *Model) ReturnTarget() float64 {
	if m.own != nil {
		return m.own.Target
	}
	return m.calendar.Weed.Value("return_target").Central
}

// aside are weed values that the product is not weighed for: what is known of it,
// and those in which the table of the reference year was made.
var aside = []string{"return_target", "return_target_sd", "old_share_target", "old_share_target_sd",
	"base_temperature", "optimum_temperature", "base_water_potential", "regrowth_dry_below", "regrowth_moist_above"}

// weighOwn finds how a user's values of the weed move the product.
func (m *Model) weighOwn() error {
	weed := m.calendar.Weed
	own, err := m.returned(weed)
	if err != nil {
		return err
	}
	o := &OwnReturn{Factor: 1, Given: weed.Value("return_target").Over != nil, Target: weed.Value("return_target").Central}
	theirs := map[string]*params.Value{}
	for _, key := range weed.Keys {
		v := weed.Value(key)
		if v.Over == nil || slices.Contains(aside, key) {
			continue
		}
		without, err := m.returned(with(weed, map[string]*params.Value{key: v.Over}))
		if err != nil {
			return err
		}
		if math.Abs(without/own-1) > 1e-9 {
			o.Values, theirs[key] = append(o.Values, v), v.Over
		}
	}
	if len(o.Values) == 0 && !o.Given {
		return nil
	}
	program, err := m.returned(with(weed, theirs))
	if err != nil {
		return err
	}
	if own > 0 && program > 0 {
		o.Factor = own / program
	}
	if !o.Given {
		o.Target *= o.Factor
	}
	m.own = o
	return nil
}

// with is an entry with some of its values replaced.
func with(e *params.Entry, values map[string]*params.Value) *params.Entry {
	out := *e
	out.Values = maps.Clone(e.Values)
	maps.Copy(out.Values, values)
	return &out
}

// returned is the seed returned per seed shed at a steady rain, of a weed at
// central values in the reference year.
func (m *Model) returned(e *params.Entry) (float64, error) {
	var weed weedUnit
	b := &binder{central: true}
	b.bind(&weed, e)
	if b.err != nil {
		return 0, b.err
	}
	var rates seedbank.Rates
	rates.Set(&weed.Seed)
	var c cycle
	c.run(m.known, &m.known.usual, &weed, &rates)
	returned, _ := c.yearly()
	return returned, nil
}
