package sim

import (
	"slices"

	"rundown/params"
	"rundown/sim/biotype"
	"rundown/sim/fieldwork"
	"rundown/sim/herbicide"
)

// Programmes are the herbicides, as the plan names them, whose kill is told by season where
// resistance evolves: the first that it sprays, at most MostProgrammes.
func (m *Model) Programmes() (all []*params.Entry) {
	for _, h := range m.programmes {
		all = append(all, m.tables.herbicides[h])
	}
	return all
}

// listProgrammes finds what the plan sprays in the crops that it plans, not in those grown instead.
func (m *Model) listProgrammes() {
	if !m.evolves() {
		return
	}
	for i := range m.seasons {
		c := &m.seasons[i].courses[0]
		for _, jobs := range [][]fieldwork.Job{c.before, c.after} {
			for _, j := range jobs {
				if sprays := j.Kind == fieldwork.Herbicide || j.Kind == fieldwork.SprayOff; sprays && !slices.Contains(m.programmes, j.With) &&
					len(m.programmes) < MostProgrammes {
					m.programmes = append(m.programmes, j.With)
				}
			}
		}
	}
}

// noteKills writes down, where something evolves, how many of the season's seedlings carry
// resistance, and what each programme would kill of them in a reference season: what it is stated
// to kill, less what they bear. A season without seedlings keeps what the one before had.
func (w *Worker) noteKills(v *[MetricCount]float64) {
	if !w.u.genes.On {
		return
	}
	var kin biotype.Kin
	var n int64
	for _, s := range w.spots {
		came := s.came.Kin()
		kin.Merge(n, &came, s.came.N, w.u.genes.Traits)
		n += s.came.N
	}
	if n == 0 {
		if w.season > 0 {
			before := &w.out.Seasons[w.season-1]
			v[Carriers1], v[Carriers2] = before[Carriers1], before[Carriers2]
			copy(v[KillFirst:], before[KillFirst:])
			return
		}
		n, kin = w.startSeed()
	}
	var carry [biotype.Loci]float64
	for c := 1; c < biotype.Classes; c++ {
		for l := range carry {
			if biotype.Copies(c, l) > 0 {
				carry[l] += float64(kin.By[c]) / float64(n)
			}
		}
	}
	for l, m := range [biotype.Loci]Metric{Carriers1, Carriers2} {
		if w.u.genes.Followed[l] {
			v[m] = carry[l]
		}
	}
	for i, parts := range w.stated() {
		v[KillFirst+Metric(i)] = w.spots[0].killOf(parts, n, &kin)
	}
}

// stated are the parts of every programme whose kill is told, worked out once a replicate.
func (w *Worker) stated() [][]biotype.Part {
	u := &w.u.genes
	if !u.stated {
		u.stated = true
		u.programmes = slices.Grow(u.programmes[:0], len(w.m.programmes))[:len(w.m.programmes)]
		for i, h := range w.m.programmes {
			u.programmes[i] = w.statedParts(&w.u.herbicides[h], u.programmes[i][:0])
		}
	}
	return u.programmes
}

// StatedKill is what a programme kills, in a reference season and at central values, of the
// model's weed where none of it resists.
func (m *Model) StatedKill(e *params.Entry) float64 {
	if e.Text["role"] == "programme" {
		live := 1.0
		for _, name := range e.Lists["actives"] {
			if a := m.calendar.Library.Find("herbicides", name); a != nil {
				live *= 1 - m.StatedKill(a)
			}
		}
		return 1 - live
	}
	key, moved := "kill_two_leaves_to_six_tillers", 0.0
	if e.Text["role"] == "residual" {
		key = "season_control"
	}
	if v := e.OnWeed(m.calendar.Weed); v != nil {
		moved = v.Central
	}
	return herbicide.Moved(e.Value(key).Central, moved)
}

// startSeed stands for a first season in which nothing came up: a million seeds of the start.
func (w *Worker) startSeed() (n int64, kin biotype.Kin) {
	const million = 1_000_000
	g := &w.u.genes
	kin.Traits = g.start.traits
	for c := 1; c < biotype.Classes; c++ {
		kin.By[c] = int64(million * g.start.inside[c])
	}
	return million, kin
}

// statedParts are the actives of a programme with what they kill of the unselected weed in
// a reference season: of plants of two leaves to six tillers, or as they come up.
func (w *Worker) statedParts(u *herbicideUnit, parts []biotype.Part) []biotype.Part {
	if u.role != "programme" {
		return append(parts, w.u.genes.part(u.kin, herbicide.Moved(u.Contact.KillMain, u.onWeed)))
	}
	for i := range u.Actives {
		a := &u.Actives[i]
		parts = append(parts, w.u.genes.part(u.kins[i], herbicide.Moved(a.SeasonControl, a.OnWeed)))
	}
	for _, c := range u.Contacts {
		parts = w.statedParts(&w.u.herbicides[c], parts)
	}
	return parts
}
