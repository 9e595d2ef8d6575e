package planner

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"sync"

	"rundown/sim/study"
)

// kept are outcomes that were made lately, by what they are of, so that a plan that others
// are set against is run once, and one that comes back by undo not again.
type kept struct {
	mu   sync.Mutex
	list []keptRuns // the latest last
}

type keptRuns struct {
	of       string
	runs     int
	seasons  int
	outcomes study.Outcomes
}

// mostKept bounds what is kept, in seasons times runs: a plan of six seasons at 2,000 runs
// takes 4 MB.
const mostKept = 400_000

func (k *kept) get(of string, runs int) study.Outcomes {
	k.mu.Lock()
	defer k.mu.Unlock()
	for i, x := range k.list {
		if x.of == of && x.runs == runs {
			k.list = append(slices.Delete(k.list, i, i+1), x)
			return x.outcomes
		}
	}
	return nil
}

func (k *kept) put(x keptRuns) {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.list = append(k.list, x)
	size := 0
	for i := len(k.list) - 1; i >= 0; i-- {
		if size += k.list[i].seasons * k.list[i].runs; size > mostKept && i < len(k.list)-1 {
			k.list = slices.Clone(k.list[i+1:])
			return
		}
	}
}

// identity is what the outcomes of a plan hang on: its text, its library and its weather.
func (p *Plan) identity() string {
	place := p.Calendar.Place()
	return fmt.Sprint(p.SHA256(), place.Library, place.Record, place.FitTo)
}

// given gives all that a forecast of so many runs is made of: the runs of the plan and, where
// resistance evolves, the same with it held still, by which its cost is told. A first look does without.
func (s *Server) given(ctx context.Context, p *Plan, runs int) (all []study.Outcomes, err error) {
	rounds := 1
	if p.Calendar.Genes != nil && runs > firstLook {
		rounds = 2
	}
	for round := range rounds {
		out, err := s.round(ctx, p, runs, round)
		if err != nil {
			return nil, err
		}
		all = append(all, out)
	}
	return all, nil
}

// outcomes gives so many runs of a plan.
func (s *Server) outcomes(ctx context.Context, p *Plan, runs int) (study.Outcomes, error) {
	return s.round(ctx, p, runs, 0)
}

// round gives so many runs of one round of a plan's forecast. Those that were made before are not made again.
func (s *Server) round(ctx context.Context, p *Plan, runs, round int) (study.Outcomes, error) {
	of := fmt.Sprint(p.identity(), round)
	if x := s.kept.get(of, runs); x != nil {
		return x, nil
	}
	select {
	case s.turns <- struct{}{}:
		defer func() { <-s.turns }()
	case <-ctx.Done():
		return nil, ctx.Err()
	}
	var before study.Outcomes
	if runs > firstLook {
		before = s.kept.get(of, firstLook)
	}
	out, err := s.runs(ctx, &study.ForecastRequest{Calendar: p.Calendar, Replicates: runs, Seed: seed}, round, before)
	if err != nil {
		return nil, err
	}
	s.kept.put(keptRuns{of, runs, len(p.Calendar.Seasons), out})
	return out, nil
}

// runs makes the runs of one round of a forecast, on from those that were made before. A panic in them is
// an error of this one question.
func (s *Server) runs(ctx context.Context, q *study.ForecastRequest, round int, before study.Outcomes) (out study.Outcomes, err error) {
	defer func() {
		if fault := recover(); fault != nil {
			first, _, _ := strings.Cut(fmt.Sprint(fault), "\n")
			s.say("a fault of the program, please report it with the plan: " + first)
			out, err = nil, fmt.Errorf("a fault of the program: %s", first)
		}
	}()
	asked, err := q.Runs(nil)
	if err != nil {
		return nil, err
	}
	ready, err := asked[round].Ready()
	if err != nil {
		return nil, err
	}
	part := ready.All()
	part.Progress = s.told
	if before != nil {
		part.First = before[0].Replicates
		part.Count -= part.First
	}
	made, err := ready.Make(ctx, part)
	if err != nil || before == nil {
		return made, err
	}
	return study.Join(before, made)
}
