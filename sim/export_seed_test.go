package sim

import "rundown/params/date"

// Opens begins a run and goes on to the end of the day on which a season opens.
func (w *Worker) Opens(season int, r Replicate, sky *Sky, out *Record) error {
	w.begin(r, sky, nil, out)
	for w.season < season || w.stage != growing {
		if err := w.runTo(w.m.first + date.Day(w.i)); err != nil {
			return err
		}
	}
	return nil
}

// MultiplySeed makes the seed in the soil so many times as much; of 0 the ground is made clean,
// of plants too. The season has just opened: its ledger begins with what is left.
func (w *Worker) MultiplySeed(by int64) {
	for _, s := range w.spots {
		s.countAll()
		for i := range s.bank.Lots {
			s.bank.Lots[i].N *= by
		}
		if by == 0 {
			s.bank.Reset()
			s.stand.Cohorts, s.seedSet, s.competing = s.stand.Cohorts[:0], false, 0
		}
		held := s.held * by
		s.ledger = ledger{held: held, atStart: s.bank.Total(), plantsAt: s.stand.Plants()}
	}
}
