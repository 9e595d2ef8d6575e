package study

import (
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"rundown/params"
	"rundown/rotations"
	"rundown/sim"
	particles "rundown/sim/update"
)

// Learnt is what counts changed of what is known of resistance that evolves. A count sees plants and not
// what they carry: it speaks of resistance only as far as sprays decide how many are left.
type Learnt struct {
	Season     int // whose seedlings are spoken of: that of the last count
	Programmes []LearntKill
	Genes      []LearntGene
	Values     []particles.Moved // how much there was and how far it is inherited, those that moved most first
	Error      float64           // standard error of a shift, in standard deviations of what was known
	Bar        float64           // standard errors from which on a shift is told from noise
}

// LearntKill is the kill of a programme before and after the counts.
type LearntKill struct {
	Programme
	Before, After Band
	Shift         float64 // of the mean, in standard deviations of before
	Narrowed      float64 // 1 − standard deviation after over before; below 0 where it widened
	Told          bool    // shift or narrowing is told from noise
}

// LearntGene is one HRAC group to which resistance may come by one gene.
type LearntGene struct {
	Group                   string
	ShareBefore, ShareAfter float64 // of runs in which it does
	CarryBefore, CarryAfter Band    // share of the season's seedlings that carry it, in those runs
}

// noise is the two-sided chance of noise below which a programme's kill is said to have moved: of ten
// programmes that did not, one is named in a hundred updates.
const noise = 1e-3

// learn finds what the counts say of resistance; nil where it is held still.
func (u *Update) learn(c *rotations.Calendar) *Learnt {
	before, after := u.Before.Evolves, u.After.Evolves
	if before == nil || after == nil {
		return nil
	}
	last := u.Result.Posterior.Last
	l := &Learnt{Season: u.Ahead, Bar: errorsFor(noise, u.Result.Families), Error: usualError(u.Result.Moved)}
	if at := slices.IndexFunc(u.After.Seasons, func(s Season) bool { return s.Open <= last && last <= s.End }); at >= 0 {
		l.Season = at
	}
	for k, p := range after.Programmes {
		m := sim.KillFirst + sim.Metric(k)
		x := LearntKill{Programme: p, Before: before.Programmes[k].Kill[l.Season], After: p.Kill[l.Season]}
		x.Shift, x.Narrowed = shifted(u.Before.Outcome.Column(m, l.Season), u.After.Outcome.Column(m, l.Season))
		left := (1 - x.Narrowed) * (1 - x.Narrowed)
		x.Told = math.Abs(x.Shift) > l.Bar*l.Error || left < leastVariance(u.Result.Families)
		l.Programmes = append(l.Programmes, x)
	}
	for k, g := range after.Genes {
		b := before.Genes[k]
		l.Genes = append(l.Genes, LearntGene{g.Group, b.Share, g.Share, b.Carriers[l.Season], g.Carriers[l.Season]})
	}
	for _, m := range u.Result.Moved {
		if ofResistance(c, m.Value) {
			l.Values = append(l.Values, m)
		}
	}
	return l
}

// Most is the programme whose kill the counts moved most, of those that are meant for the weed and whose
// shift is told from noise; nil for none.
func (l *Learnt) Most() (most *LearntKill) {
	for i := range l.Programmes {
		if p := &l.Programmes[i]; p.Told && p.Meant() && (most == nil || math.Abs(p.Shift) > math.Abs(most.Shift)) {
			most = p
		}
	}
	return most
}

// Open is the programme of which least is known, of those that are meant for the weed; nil for none.
func (l *Learnt) Open() (most *LearntKill) {
	for i := range l.Programmes {
		if p := &l.Programmes[i]; p.Meant() && p.After.N > 0 && (most == nil || p.After.P95-p.After.P05 > most.After.P95-most.After.P05) {
			most = p
		}
	}
	return most
}

// usualError is the standard error of a shift that is usual among the values of an update. All
// are of the same histories, and differ by their luck.
func usualError(moved []particles.Moved) float64 {
	var all []float64
	for _, m := range moved {
		all = append(all, m.Error)
	}
	if len(all) == 0 {
		return math.Inf(1)
	}
	slices.Sort(all)
	return stat.Quantile(0.5, stat.Empirical, all, nil)
}

// shifted is by how much the mean moved, in standard deviations of before, and by how much those
// shrank; 0 where all was one.
func shifted(before, after []float64) (shift, narrowed float64) {
	mean, sd := stat.MeanStdDev(before, nil)
	if !(sd > 1e-12) {
		return 0, 0
	}
	now, left := stat.MeanStdDev(after, nil)
	return (now - mean) / sd, 1 - left/sd
}

// leastVariance is the share of a variance that so many histories of one law keep by chance, but for once
// in 1/noise times.
func leastVariance(families int) float64 {
	n := float64(max(1, families-1))
	return distuv.ChiSquared{K: n}.Quantile(noise) / n
}

// ofResistance tells whether an uncertain value says how much resistance there was, or how much of it
// is inherited: what a plan says of a group, or else what the library has.
func ofResistance(c *rotations.Calendar, v *params.Value) bool {
	for _, s := range c.Resistant {
		if s.Value == v {
			return true
		}
	}
	for _, k := range c.Genes.Keys {
		if c.Genes.Values[k] == v {
			group, start := strings.CutPrefix(k, "start_share_")
			return start && c.Resistant[group] == nil || strings.HasPrefix(k, "heritability_")
		}
	}
	return false
}
