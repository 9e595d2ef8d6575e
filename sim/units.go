package sim

import (
	"fmt"
	"slices"

	"rundown/params"
	"rundown/sim/crop"
	"rundown/sim/fieldwork"
	"rundown/sim/herbicide"
	"rundown/sim/margin"
	"rundown/sim/seedbank"
	"rundown/sim/soil"
	"rundown/sim/stand"
	"rundown/sim/tabled"
)

// weedUnit is the weed as one replicate has it.
type weedUnit struct {
	Seed  seedbank.Params
	Plant stand.Params
	Site  siteParams
}

// siteParams are departures of this field from the mean of fields, standard
// normal, drawn once per replicate: half of the spread that is quoted for year × site.
type siteParams struct {
	Dormancy float64 `lib:"site_dormancy" unit:"sd"`
	Residual float64 `lib:"site_residual" unit:"sd"`
}

// cropUnit is a crop as one replicate has it.
type cropUnit struct {
	crop.Params
	Money  margin.CropMoney
	Sward  crop.SwardParams
	spring bool // sown in spring, or not sown at all: spring plants meet little competition
	sown   bool
}

type coverUnit struct {
	crop.CoverParams
	Money margin.OperationMoney
}

// implementUnit is an implement as one replicate has it; its role says which
// of the structs is filled.
type implementUnit struct {
	role    string
	Soil    fieldwork.CultivatorParams
	InCrop  fieldwork.InCropParams
	works   stand.Way // of role in-crop
	Pull    fieldwork.PullParams
	Patch   fieldwork.PatchParams
	Control fieldwork.SeedControlParams
	Money   margin.OperationMoney
	move    [seedbank.Layers][seedbank.Layers]float64
	bypass  *[seedbank.Layers][seedbank.Layers]float64 // what the soil that a plough misses gets
	missed  *quantiles                                 // share missed, drawn per pass
	places  bool
}

// herbicideUnit is a spray or a programme as one replicate has it.
type herbicideUnit struct {
	role     string
	Contact  herbicide.ContactParams
	onWeed   float64       // added to the log odds of Contact for the weed of the field
	drawn    [3]*quantiles // kills drawn per spray, small plants first; nil where they are not
	Money    margin.OperationMoney
	Actives  []herbicide.Active
	lost     []float64 // share of each active's efficacy lost to resistance; nil for none
	Contacts []int     // contact sprays in a programme, by index of the herbicide table
	alive    float64   // share of contact efficacy kept in spite of resistance
	cold     bool      // only on cold moist soil
	group    uint64    // HRAC group that keys its season effects
	kin      kinship   // of a contact spray
	kins     []kinship // of each residual active
}

// units are every parameter that a model uses, with the tables that its
// calendar's names point into.
type units struct {
	weed       weedUnit
	start      startUnit
	crops      []cropUnit
	covers     []coverUnit
	implements []implementUnit
	herbicides []herbicideUnit
	soil       soil.Params
	genes      geneUnit
}

// tables are the library entries that a calendar uses, in a fixed order; the
// units of a worker have the same order.
type tables struct {
	crops, covers, implements, herbicides []*params.Entry
}

// index finds an entry in a table, adding it when new.
func index(t *[]*params.Entry, e *params.Entry) int {
	if i := slices.Index(*t, e); i >= 0 {
		return i
	}
	*t = append(*t, e)
	return len(*t) - 1
}

// bindUnits fills the units of a worker and returns the bindings that each
// replicate's theta goes through.
func (m *Model) bindUnits(u *units) ([]binding, error) {
	b := &binder{space: m.calendar.Space}
	b.bind(&u.weed, m.calendar.Weed)
	b.bind(&u.soil, m.calendar.Soil)
	m.bindStart(b, &u.start)
	u.crops = make([]cropUnit, len(m.tables.crops))
	for i, e := range m.tables.crops {
		b.bind(&u.crops[i].Params, e)
		b.bind(&u.crops[i].Money, e)
		if e.Text["perennial"] == "yes" {
			b.bind(&u.crops[i].Sward, e)
		}
		u.crops[i].spring = e.Text["season"] != "autumn"
		u.crops[i].sown = e.Text["season"] != "none"
	}
	u.covers = make([]coverUnit, len(m.tables.covers))
	for i, e := range m.tables.covers {
		b.bind(&u.covers[i], e)
	}
	u.implements = make([]implementUnit, len(m.tables.implements))
	for i, e := range m.tables.implements {
		m.bindImplement(b, &u.implements[i], e)
	}
	u.herbicides = make([]herbicideUnit, len(m.tables.herbicides))
	for i, e := range m.tables.herbicides {
		m.bindHerbicide(b, &u.herbicides[i], e)
	}
	m.bindGenes(b, &u.genes)
	return b.bindings, b.err
}

func (m *Model) bindImplement(b *binder, u *implementUnit, e *params.Entry) {
	u.role = e.Text["role"]
	b.bind(&u.Money, e)
	switch u.role {
	case "in-crop":
		b.bind(&u.InCrop, e)
		switch u.works = stand.Ways[e.Text["works"]]; u.works {
		case stand.Pull:
			b.bind(&u.Pull, e)
		case stand.Patch:
			b.bind(&u.Patch, e)
		}
		return
	case "harvest":
		b.bind(&u.Control, e)
		return
	}
	b.bind(&u.Soil, e)
	u.places = e.Text["low_disturbance"] == "yes"
	move, err := movement(e)
	if err != nil {
		b.fail("%v", err)
		return
	}
	u.move = *move
	if v := e.Value("inversion_bypass"); v != nil && v.Spread.PerEvent {
		u.missed = tabulate(v)
	}
	if as := e.Text["bypass_as"]; as != "" {
		other := m.calendar.Library.Find("implements", as)
		if other == nil {
			b.fail("implements/%s: bypass_as names no implement: %q", e.Name, as)
			return
		}
		if u.bypass, err = movement(other); err != nil {
			b.fail("%v", err)
		}
	}
}

// movement is an implement's matrix, from layer by to layer.
func movement(e *params.Entry) (*[seedbank.Layers][seedbank.Layers]float64, error) {
	v := e.Value("movement")
	if v == nil || len(v.Row) != seedbank.Layers*seedbank.Layers {
		return nil, fmt.Errorf("%s/%s has no movement matrix of %d × %d", e.Kind, e.Name, seedbank.Layers, seedbank.Layers)
	}
	var move [seedbank.Layers][seedbank.Layers]float64
	for i, x := range v.Row {
		move[i/seedbank.Layers][i%seedbank.Layers] = x
	}
	return &move, nil
}

func (m *Model) bindHerbicide(b *binder, u *herbicideUnit, e *params.Entry) {
	u.role, u.alive, u.kin = e.Text["role"], 1, m.followed(e)
	b.bind(&u.Money, e)
	u.cold = e.Text["cold_soil"] == "yes"
	u.group = groupKey(e.Text["hrac"])
	if u.role == "programme" {
		m.bindActives(b, u, e)
		return
	}
	b.bind(&u.Contact, e)
	m.bindOnWeed(b, &u.onWeed, e)
	u.alive = 1 - m.heldStill(e)
	for i, key := range [...]string{"kill_below_one_leaf", "kill_two_leaves_to_six_tillers", "kill_beyond_six_tillers"} {
		if v := e.Value(key); v != nil && v.Spread.PerEvent {
			u.drawn[i] = tabulate(v)
		}
	}
}

// bindActives fills a programme from its actives: residual ones stay in the
// soil, contact ones are sprayed.
func (m *Model) bindActives(b *binder, u *herbicideUnit, e *params.Entry) {
	names := e.Lists["actives"]
	u.Actives = make([]herbicide.Active, 0, herbicide.MaxActives)
	for _, name := range names {
		a := m.calendar.Library.Find("herbicides", name)
		switch {
		case a == nil:
			b.fail("herbicides/%s names an unknown active: %q", e.Name, name)
			return
		case a.Text["role"] != "residual":
			u.Contacts = append(u.Contacts, index(&m.tables.herbicides, a))
			continue
		case len(u.Actives) == herbicide.MaxActives:
			b.fail("herbicides/%s has more than %d residual actives", e.Name, herbicide.MaxActives)
			return
		}
		u.Actives = append(u.Actives, herbicide.Active{})
		k := len(u.Actives) - 1
		b.bind(&u.Actives[k].ResidualParams, a)
		m.bindOnWeed(b, &u.Actives[k].OnWeed, a)
		if u.group == 0 {
			u.group = groupKey(a.Text["hrac"])
		}
		u.lost = append(u.lost, m.heldStill(a))
		u.kins = append(u.kins, m.followed(a))
	}
	if !slices.ContainsFunc(u.lost, func(x float64) bool { return x > 0 }) {
		u.lost = nil
	}
}

// bindOnWeed fills how much better a herbicide kills the field's weed than black-grass.
func (m *Model) bindOnWeed(b *binder, to *float64, e *params.Entry) {
	if v := e.OnWeed(m.calendar.Weed); v != nil {
		b.value(to, v)
	}
}

// groupKey turns an HRAC group into the number that keys its season effects.
func groupKey(group string) uint64 {
	var k uint64
	for _, c := range []byte(group) {
		k = k<<8 | uint64(c)
	}
	return k
}

// tabulate is the quantile function of a value drawn per event.
func tabulate(v *params.Value) *quantiles {
	q, _ := keptQuantiles.get(quantileOf{v.Spread, v.Central, v.Low, v.High}, func() (*quantiles, error) {
		q, s := new(quantiles), &v.Spread
		tabled.Of(tabled.Key("quantiles", float64(s.Kind), s.A, s.B, s.C, v.Central, v.Low, v.High), q[:], func(to []float64) {
			for i := range to {
				to[i] = v.Quantile(min(max(float64(i)/256, 1e-4), 1-1e-4))
			}
		})
		return q, nil
	})
	return q
}
