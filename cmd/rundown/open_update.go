package main

import (
	"context"
	"path/filepath"

	"rundown/cmd/internal/findings"
	"rundown/cmd/internal/planner"
	"rundown/cmd/internal/report"
	"rundown/sim/study"
)

// pageHistories is how many histories the page lets counts in with: as many as update takes.
const pageHistories = 1000

// pageUpdate is what counts make of a plan, as the update command tells it.
func pageUpdate(ctx context.Context, p *planner.Plan, name string, counts []byte, progress func(share float64)) (told *report.Report, err error) {
	err = faultless([]string{"open"}, func() error {
		told, err = updated(ctx, p, name, counts, progress)
		return err
	})
	return told, err
}

func updated(ctx context.Context, p *planner.Plan, name string, counts []byte, progress func(share float64)) (*report.Report, error) {
	rows, err := parseCounts(filepath.Base(name), counts, outsideOf(p.Calendar))
	if err != nil {
		return nil, err
	}
	from := pageProvenance(p)
	from.Arguments = []string{"update", filepath.Base(p.Name), filepath.Base(name)}
	from.Inputs = []report.Input{{Name: filepath.Base(name), SHA256: sha256Of(counts)}}
	run := findings.UpdateRun{CountsFile: report.PlanText{Name: filepath.Base(name), Text: string(counts)},
		Run: findings.Run{Calendar: p.Calendar, Replicates: pageHistories, Seed: 1, Provenance: from}}
	run.Counts, run.Zones, run.LeftOut = study.WatchedOf(rows, "")
	if err := facts(p.Calendar, run.Counts); err != nil {
		return nil, err
	}
	q := &study.UpdateRequest{Calendar: p.Calendar, Replicates: pageHistories, Seed: 1}
	for _, c := range run.Counts {
		q.Counts = append(q.Counts, c.Count)
	}
	chain, err := q.LetIn(ctx, 0, progress)
	if err != nil {
		return nil, err
	}
	var given []study.Outcomes
	for _, r := range q.Runs(chain) {
		ready, err := r.Ready()
		if err != nil {
			return nil, err
		}
		outcomes, err := ready.Make(ctx, ready.All())
		if err != nil {
			return nil, err
		}
		given = append(given, outcomes)
	}
	run.Found = q.Find(chain, given)
	return findings.Update(run), nil
}
