package study_test

import (
	"context"
	"math"
	"os"
	"testing"

	"rundown/params/sheet"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/ensemble"
	"rundown/sim/random"
	"rundown/sim/simtest"
	"rundown/sim/study"
)

// exampleFarm runs a plan on every field of the example farm.
func exampleFarm(t *testing.T, plan string, with ensemble.Options) *study.Farm {
	t.Helper()
	table, err := os.ReadFile("../../examples/fields.csv")
	if err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile("../../examples/" + plan)
	if err != nil {
		t.Fatal(err)
	}
	var m sheet.Mistakes
	rows := rotations.ReadFields("fields.csv", table, &m)
	parsed := sheet.Parse(plan, text, &m)
	farm := study.NewFarm([]string{plan}, with.Replicates)
	with.Keep = study.FarmMetrics(false)
	for _, row := range rows {
		c := rotations.ReadOn(plan, parsed, row, &m).Resolve(simtest.Library(t), &m)
		if m.Len() > 0 {
			t.Fatal(&m)
		}
		c.Among = row.Name
		x, err := sim.New(c)
		if err != nil {
			t.Fatal(err)
		}
		out, err := ensemble.Run(context.Background(), []*sim.Model{x}, with)
		if err != nil {
			t.Fatal(err)
		}
		q := study.FieldRequest{Calendars: []*rotations.Calendar{c}, Replicates: with.Replicates, Seed: with.Seed}
		farm.Add(q.Find(row.Name, out))
	}
	return farm.Close()
}

// With every kind of luck frozen but chance the variance of the farm's money is the sum of
// those of its fields, within its error: the ratio of the two has a standard error of some
// √(2/n) for n runs, and 4.5 of them are passed once in 150,000 seeds. With all luck it lies
// clearly above, since fields share their years, and below what it would be if all went as
// one.
func TestSpreadOfAFarm(t *testing.T) {
	simtest.Stage(t, "long")
	const n = 300
	error := math.Sqrt(2.0 / n)
	for _, plan := range []string{"early-wheat.yaml", "two-springs.yaml"} {
		chance := exampleFarm(t, plan, ensemble.Options{Replicates: n, Seed: 8,
			Freeze: [random.Kinds]bool{random.Weather: true, random.Season: true, random.Parameters: true}}).Chosen
		all := exampleFarm(t, plan, ensemble.Options{Replicates: n, Seed: 8}).Chosen
		alone := chance.SD * chance.SD / (chance.Apart * chance.Apart)
		shared := all.SD * all.SD / (all.Apart * all.Apart)
		t.Logf("%s: variance over the sum of the fields' %.2f by chance alone, %.1f with all luck, of %.1f at most; %.0f GBP a year by chance alone, %.0f with all",
			plan, alone, shared, all.Together*all.Together/(all.Apart*all.Apart), chance.SD, all.SD)
		if math.Abs(alone-1) > 4.5*error || chance.SD == 0 {
			t.Errorf("%s: by chance alone the farm's variance is %.2f times the sum of its fields', expected 1 within %.2f", plan, alone, 4.5*error)
		}
		if shared < 1+4.5*error || all.SD > all.Together {
			t.Errorf("%s: with all luck the farm's variance is %.2f times the sum of its fields', expected well above 1; sd %.0f, at most %.0f", plan, shared,
				all.SD, all.Together)
		}
	}
}
