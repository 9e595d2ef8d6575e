package sim_test

import (
	"context"
	"fmt"
	"log"
	"slices"

	"rundown/params"
	"rundown/params/sheet"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/decide"
	"rundown/sim/ensemble"
)

// examplePlan is of an invented field: two seasons, drilled on a day that the examples choose.
const examplePlan = `
field: {name: Kiln Close, area_ha: 12, soil: clay, climate: east-lowland}
weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 20}
seasons:
  - {crop: winter-wheat, drill: {date: %s}}
  - {crop: spring-barley}
`

// modelDrilledOn reads the plan with a date of drilling and makes a model of it.
func modelDrilledOn(date string) *sim.Model {
	lib, err := params.Load()
	if err != nil {
		log.Fatal(err)
	}
	var m sheet.Mistakes // each with its place in the plan
	plan := rotations.Read("plan.yaml", fmt.Appendf(nil, examplePlan, date), &m)
	if m.Len() > 0 {
		log.Fatal(m.Error())
	}
	calendar := plan.Resolve(lib, &m)
	if m.Len() > 0 {
		log.Fatal(m.Error())
	}
	model, err := sim.New(calendar)
	if err != nil {
		log.Fatal(err)
	}
	return model
}

// A plan is read, resolved against the library into a calendar, and made a model.
func ExampleNew() {
	model := modelDrilledOn("20 Oct")
	for _, s := range model.Calendar().Seasons {
		c := s.Courses[0]
		fmt.Printf("%d: %s, drilled from %v on\n", s.HarvestYear, c.Crop.Name, c.Drill.On)
	}
	// Output:
	// 2027: winter-wheat, drilled from 2026-10-20 on
	// 2028: spring-barley, drilled from 2028-03-18 on
}

// An ensemble runs the replicates of a plan; its outcome has a column per metric and season.
func ExampleWorker_Run() {
	model := modelDrilledOn("20 Oct")
	out, err := ensemble.Run(context.Background(), []*sim.Model{model}, ensemble.Options{Replicates: 100, Seed: 1})
	if err != nil {
		log.Fatal(err)
	}
	heads := slices.Sorted(slices.Values(out[0].Column(sim.Heads, 1)))
	fmt.Println(len(heads), "runs; the second harvest has heads in most of them:", heads[len(heads)/4] > 0)

	// Replicate 17 of them is replicate 17 alone.
	w, err := model.NewWorker()
	if err != nil {
		log.Fatal(err)
	}
	r := sim.Replicate{Seed: 1, Streams: sim.StreamsOf(17), Theta: model.Calendar().Space.Central()}
	w.DrawTheta(r.Seed, 17, r.Theta)
	sky, record := model.NewSky(), model.NewRecord(0)
	sky.FillFor(model, &r)
	if err := w.Run(r, sky, nil, record); err != nil {
		log.Fatal(err)
	}
	fmt.Println("the same:", record.Seasons[1][sim.Heads] == out[0].Column(sim.Heads, 1)[17])
	// Output:
	// 100 runs; the second harvest has heads in most of them: true
	// the same: true
}

// Plans that run in one ensemble share weather, years, chance and values, replicate by
// replicate: what differs between them is what the plans do.
func ExampleModel_SharesSky() {
	early, late := modelDrilledOn("20 Sep"), modelDrilledOn("25 Oct")
	fmt.Println("one weather:", early.SharesSky(late))
	out, err := ensemble.Run(context.Background(), []*sim.Model{early, late}, ensemble.Options{Replicates: 100, Seed: 1})
	if err != nil {
		log.Fatal(err)
	}
	a, b := out[0].Column(sim.Plants, 0), out[1].Column(sim.Plants, 0)
	fmt.Println("fewer plants when drilled late, in most runs:", decide.Wins(a, b) > 0.8)
	// Output:
	// one weather: true
	// fewer plants when drilled late, in most runs: true
}
