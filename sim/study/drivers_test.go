package study_test

import (
	"context"
	"errors"
	"reflect"
	"testing"

	"rundown/sim"
	"rundown/sim/ensemble"
	"rundown/sim/simtest"
	"rundown/sim/study"
)

func moving(t *testing.T) *study.DriversRequest {
	return &study.DriversRequest{Calendar: simtest.Calendar(t, simtest.Library(t), decemberPlough), Metric: sim.Heads, Season: 1, Rows: 8, Own: 3, Seed: 2}
}

// An analysis is the same whether its runs are made at once or in ranges, the last first:
// the design of the second round hangs on all of the first, and no run on another.
func TestDriversInRanges(t *testing.T) {
	q := moving(t)
	given, runs, err := study.Answer(context.Background(), q, 0)
	if err != nil {
		t.Fatal(err)
	}
	want, err := q.Find(given)
	if err != nil {
		t.Fatal(err)
	}
	if screening, indices, err := q.Cost(); err != nil || runs != screening+indices || want.Runs != runs {
		t.Errorf("%d runs made, %d told, %d + %d announced (%v)", runs, want.Runs, screening, indices, err)
	}
	var inRanges []study.Outcomes
	other := moving(t)
	for {
		rounds, err := other.Runs(inRanges)
		if err != nil {
			t.Fatal(err)
		}
		if len(rounds) == 0 {
			break
		}
		r, err := rounds[0].Ready()
		if err != nil {
			t.Fatal(err)
		}
		var all []study.Outcomes
		for _, p := range []study.Part{{First: 50, Count: r.Replicates - 50}, {First: 7, Count: 43}, {Count: 7, Jobs: 1}} {
			out, err := r.Make(context.Background(), p)
			if err != nil {
				t.Fatal(err)
			}
			all = append(all, out)
		}
		joined, err := ensemble.JoinAll(all[0], all[1], all[2])
		if err != nil {
			t.Fatal(err)
		}
		inRanges = append(inRanges, joined)
	}
	got, err := other.Find(inRanges)
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(got.Seasons, want.Seasons) || !reflect.DeepEqual(got.Effects, want.Effects) || !reflect.DeepEqual(got.Splits, want.Splits) {
		t.Error("runs made in ranges give another analysis")
	}
}

// What is interrupted gives its error and no outcomes.
func TestInterrupted(t *testing.T) {
	rounds, err := moving(t).Runs(nil)
	if err != nil {
		t.Fatal(err)
	}
	r, err := rounds[0].Ready()
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	p := study.Part{Count: r.Replicates, Jobs: 1, Progress: func(done, _ int) { cancel() }}
	if out, err := r.Make(ctx, p); out != nil || !errors.Is(err, context.Canceled) {
		t.Errorf("outcomes %v, error %v", out != nil, err)
	}
}

// A split adds up to 1, brought there by what the estimates added up to; the verdict
// follows the interval of luck.
func TestSplitAddsUp(t *testing.T) {
	q := moving(t)
	given, _, err := study.Answer(context.Background(), q, 0)
	if err != nil {
		t.Fatal(err)
	}
	f, err := q.Find(given)
	if err != nil {
		t.Fatal(err)
	}
	for i, s := range f.Splits {
		sum := s.Together
		for k, b := range f.Kinds() {
			sum += s.Kinds[k]
			if raw := f.Seasons[i].First[b].Value; raw > 0 && !near(s.Kinds[k]*s.All, raw) {
				t.Errorf("season %d, kind %d: %v of %v, estimated %v", i, k, s.Kinds[k], s.All, raw)
			}
		}
		if !near(sum, 1) {
			t.Errorf("season %d: the parts add up to %v", i, sum)
		}
	}
	luck := f.Answer.Luck
	want := study.NeitherMost
	if luck.Low > 0.5 {
		want = study.MostlyLuck
	} else if luck.High < 0.5 {
		want = study.MostlyValues
	}
	if f.Answer.Verdict != want {
		t.Errorf("luck %v: verdict %s", luck, f.Answer.Verdict)
	}
}

func near(a, b float64) bool { return a-b < 1e-9 && b-a < 1e-9 }
