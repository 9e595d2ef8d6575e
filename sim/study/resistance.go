package study

import (
	"math"
	"slices"

	"rundown/params"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/ensemble"
)

// Evolving is what becomes of resistance that evolves.
type Evolving struct {
	Genes      []Gene
	Programmes []Programme
	Cost       Band // per ha and year: margin with resistance held still less margin as it evolves, run by run; N 0: not asked
	Field      float64
}

// Gene is one HRAC group to which resistance may come by one gene of large effect.
type Gene struct {
	Group    string
	Share    float64 // of runs in which it does; in the others it comes by many
	Carriers []Band  // by season: share of the season's seedlings that carry it, in those runs
}

// Programme is a herbicide that the plan sprays.
type Programme struct {
	Entry  *params.Entry
	Groups []string // HRAC, of its actives
	Stated float64  // share that it kills in a reference season of a weed that resists nothing, at central values
	Kill   []Band   // by season: share of plants as they then are that it kills in a reference season
	Fall   int      // the first season in which the median is below half of the first season's; −1: none
	Never  float64  // share of runs in which it never is below half of their own first
}

// hardly is the kill of a weed that resists nothing below which a spray is not meant for it, and what
// it loses no answer's matter.
const hardly = 0.2

// Meant tells whether a programme kills enough of the weed where it resists nothing to be told of.
func (p *Programme) Meant() bool { return p.Stated >= hardly }

// Found tells whether a programme's kill falls to half.
func (p *Programme) Found() bool { return p.Fall >= 0 }

// evolving finds what becomes of resistance; nil where it does not evolve.
func evolving(c *rotations.Calendar, o *ensemble.Outcome) *Evolving {
	if c.Genes == nil {
		return nil
	}
	out := &Evolving{}
	seasons := len(c.Seasons)
	for k, m := range []sim.Metric{sim.Carriers1, sim.Carriers2} {
		group := params.GeneGroups[k]
		if !slices.Contains(c.Sprayed, group) {
			continue
		}
		g := Gene{Group: group}
		for i := range seasons {
			g.Carriers = append(g.Carriers, band(o.Column(m, i)))
		}
		g.Share = float64(g.Carriers[0].N) / float64(o.Replicates)
		out.Genes = append(out.Genes, g)
	}
	for k, e := range o.Model.Programmes() {
		out.Programmes = append(out.Programmes, programme(c, e, o, sim.KillFirst+sim.Metric(k)))
	}
	return out
}

// setCost adds what resistance costs; still are the same runs with it held still.
func (r *Evolving) setCost(f *Forecast, still *ensemble.Outcome) {
	r.Cost = meanMarginLost(f.Outcome, still)
	r.Field = r.Cost.Mean * f.Calendar.AreaHa
}

func programme(c *rotations.Calendar, e *params.Entry, o *ensemble.Outcome, m sim.Metric) Programme {
	p := Programme{Entry: e, Groups: hracOf(c.Library, e), Stated: o.Model.StatedKill(e), Fall: -1}
	first := o.Column(m, 0)
	never := make([]bool, o.Replicates)
	for k := range never {
		never[k] = true
	}
	for i := range c.Seasons {
		column := o.Column(m, i)
		p.Kill = append(p.Kill, band(column))
		if p.Fall < 0 && p.Kill[i].P50 < p.Kill[0].P50/2 {
			p.Fall = i
		}
		for k, x := range column {
			never[k] = never[k] && !(x < first[k]/2)
		}
	}
	p.Never = share(len(never), func(k int) bool { return never[k] })
	return p
}

// hracOf are the HRAC groups of a herbicide or of a programme's actives, each once.
func hracOf(lib *params.Library, e *params.Entry) (groups []string) {
	if g := e.Text["hrac"]; g != "" {
		return []string{g}
	}
	for _, name := range e.Lists["actives"] {
		if a := lib.Find("herbicides", name); a != nil && !slices.Contains(groups, a.Text["hrac"]) {
			groups = append(groups, a.Text["hrac"])
		}
	}
	return groups
}

// meanMarginLost is the margin a year that resistance takes, run by run.
func meanMarginLost(o, still *ensemble.Outcome) Band {
	lost := make([]float64, o.Replicates)
	n := float64(o.Seasons())
	for i := range o.Seasons() {
		a, b := o.Column(sim.Margin, i), still.Column(sim.Margin, i)
		for k := range lost {
			lost[k] += (b[k] - a[k]) / n
		}
	}
	return band(lost)
}

// Worst is the programme whose kill falls to half first, nil where none does; of several, the one
// that falls in most runs.
func (r *Evolving) Worst() *Programme {
	var worst *Programme
	for k := range r.Programmes {
		p := &r.Programmes[k]
		if p.Meant() && p.Found() && (worst == nil || p.Fall < worst.Fall || p.Fall == worst.Fall && p.Never < worst.Never) {
			worst = p
		}
	}
	return worst
}

// Most is the programme that fewest runs keep, nil where every run keeps all.
func (r *Evolving) Most() *Programme {
	least, most := 1.0, (*Programme)(nil)
	for k := range r.Programmes {
		if p := &r.Programmes[k]; p.Meant() && p.Never < least && !math.IsNaN(p.Kill[0].P50) {
			least, most = p.Never, p
		}
	}
	return most
}
