package study

import (
	"context"

	"rundown/sim"
	"rundown/sim/counts"
	particles "rundown/sim/update"
)

// What callers of studies know of counts and of the histories that they leave.
type (
	Misread   = particles.Misread   // what is wrong at a place of a file of them
	Posterior = particles.Posterior // a field's histories as its counts left them
	Origin    = particles.Origin    // what they were made from
	Count     = particles.Count     // quadrats of one date and kind
	Quadrat   = counts.Quadrat
	Chain     = particles.Result // what the counts made of the histories
)

// What a file of histories may hold.
const (
	PosteriorBytes = particles.MaxBytes
	MostHistories  = particles.MaxParticles
)

// ReadPosterior reads a file of histories.
func ReadPosterior(data []byte) (*Posterior, error) { return particles.Read(data) }

// HistoryBytes is about how much a history of so many values and counts takes in a file.
func HistoryBytes(values, counts int) int { return particles.Size(values, counts) }

// LetIn lets the counts in, one by one. How far it is, 0 to 1, is told to progress,
// which may be nil. A model that cannot be made is a Refused.
func (q *UpdateRequest) LetIn(ctx context.Context, jobs int, progress func(share float64)) (*Chain, error) {
	model, err := sim.New(q.Calendar)
	if err != nil {
		return nil, &Refused{Err: err}
	}
	return particles.Run(ctx, model, q.Counts, particles.Options{Particles: q.Replicates, Seed: q.Seed, Jobs: jobs, Progress: progress})
}
