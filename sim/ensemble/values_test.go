package ensemble_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rundown/params"
	"rundown/params/date"
	"rundown/params/sheet"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/ensemble"
	"rundown/sim/simtest"
)

// With every uncertain value at one of its far ends (one in a million), in any
// mixture, random plans still run: ledgers balance to the seed and nothing is
// negative or infinite.
func TestFarEndsOfParameters(t *testing.T) {
	p := newPlanner(61)
	for k := range plansToTry(12) {
		area := []float64{0.001, 1, 400}[k%3]
		text := p.plan(3, area)
		m := model(t, text)
		values := m.Calendar().Space.Values
		o := runAll(t, ensemble.Options{Replicates: 30, Seed: 5, Case: func(_ *sim.Worker, index int, r *sim.Replicate) {
			ends := rand.New(rand.NewPCG(uint64(index), uint64(k)))
			for i, v := range values {
				r.Theta[i] = v.Quantile([2]float64{1e-6, 1 - 1e-6}[ends.IntN(2)])
			}
		}}, m)[0]
		for s := range 3 {
			balance(t, o, s, area*10000, text)
		}
	}
}

// Every value of the library at the lowest and the highest that a user's own
// library may give it, one at a time: it is refused, or the model runs as above.
// RUNDOWN_SLOW=1 tries all of them, otherwise one in 100.
func TestLimitsOfLibraryValues(t *testing.T) {
	every := 100
	if os.Getenv("RUNDOWN_SLOW") != "" {
		every = 1
	} else if testing.Short() {
		every = 400
	}
	lib := simtest.Library(t)
	seen, tried, refused := 0, 0, 0
	for _, kind := range params.Kinds {
		for _, name := range lib.Names(kind) {
			e := lib.Find(kind, name)
			plan := plansWith(e)
			for _, key := range e.Keys {
				v := e.Values[key]
				if len(v.Row) > 0 || plan == "" {
					continue
				}
				if seen++; seen%every != 0 {
					continue
				}
				for _, x := range []float64{v.Low, v.High} {
					tried++
					if !tryLimit(t, e, key, x, plan) {
						refused++
					}
				}
			}
		}
	}
	t.Logf("%d of %d values, %d ends tried, %d refused", tried/2, seen, tried, refused)
	if refused == tried {
		t.Error("nothing was run")
	}
}

// tryLimit runs a plan with a library in which one value of an entry is
// another; it is not ok when library or plan are refused.
func tryLimit(t *testing.T, e *params.Entry, key string, x float64, plan string) (ok bool) {
	t.Helper()
	what := fmt.Sprintf("%s/%s/%s at %v", e.Kind, e.Name, key, x)
	defer func() {
		if r := recover(); r != nil {
			t.Errorf("%s: the program stops: %v", what, r)
		}
	}()
	lib, dir := ownLibrary(t, e, key, x)
	var m sheet.Mistakes
	lib.Overlay(dir, &m)
	p := rotations.Read("plan.yaml", []byte(plan), &m)
	if m.Len() > 0 {
		if !strings.Contains(m.Error(), e.Name) {
			t.Errorf("%s: %s", what, m.Error())
		}
		return false
	}
	c := p.Resolve(lib, &m)
	if c == nil {
		return false // a rule of plans that no longer holds, and said so
	}
	model, err := sim.New(c)
	if err != nil {
		t.Errorf("%s: no model: %v", what, err)
		return false
	}
	w, err := model.NewWorker() // in this goroutine, so that a panic can be told
	if err != nil {
		t.Errorf("%s: no worker: %v", what, err)
		return false
	}
	sky, rec, theta := model.NewSky(), model.NewRecord(0), c.Space.Central()
	for r := range uint32(3) {
		w.DrawTheta(1, r, theta)
		sky.Fill(model, 1, r)
		if err := w.Run(sim.Replicate{Seed: 1, Streams: sim.StreamsOf(r), Theta: theta}, sky, nil, rec); err != nil { // a broken ledger, too
			t.Errorf("%s: %v", what, err)
			return false
		}
		for s := range rec.Seasons {
			for k, v := range rec.Seasons[s] {
				if v < 0 && sim.Metric(k) != sim.Margin || math.IsInf(v, 0) {
					t.Errorf("%s: season %d: %s is %v", what, s, sim.Metrics[k].Name, v)
				}
			}
		}
	}
	return true
}

// ownLibrary writes a user's library that gives one value of an entry, and loads
// the program's, over which it is to be laid.
func ownLibrary(t *testing.T, e *params.Entry, key string, x float64) (lib *params.Library, dir string) {
	t.Helper()
	if math.IsInf(x, 0) {
		x = math.Copysign(1e6, x)
	}
	number := fmt.Sprint(x)
	if e.Values[key].Unit == "date" {
		number = date.AnnualOf(int(x)).String()
	}
	file := filepath.Join(t.TempDir(), e.Kind, e.Name+".yaml")
	if err := os.MkdirAll(filepath.Dir(file), 0o777); err != nil {
		t.Fatal(err)
	}
	text := fmt.Sprintf("name: %s\nvalues:\n  %s: {value: %s, spread: fixed, grade: assumed, source: own}\n", e.Name, key, number)
	if err := os.WriteFile(file, []byte(text), 0o666); err != nil {
		t.Fatal(err)
	}
	return simtest.Library(t), filepath.Dir(filepath.Dir(file))
}

// plansWith is a plan that uses an entry; none for entries that others stand for.
func plansWith(e *params.Entry) string {
	soil, climate, weed, crop, tillage, extra := "clay", "east-lowland", "black-grass", "winter-wheat", "shallow-disc", ""
	switch e.Kind {
	case "soils":
		soil = e.Name
	case "climates":
		climate = e.Name
	case "weeds":
		weed = e.Name
	case "crops":
		crop = e.Name
	case "covers":
		crop, extra = "spring-barley", fmt.Sprintf("cover: {mix: %s, sow: 20 Sep, destroy: 25 Jan}", e.Name)
	case "implements":
		switch e.Text["role"] {
		case "cultivator":
			tillage = e.Name
		case "drill":
			extra = "drill: {date: 1 Oct, with: " + e.Name + "}"
		case "in-crop":
			extra = "in_crop: [{with: " + e.Name + ", date: 5 May}]"
		default:
			return ""
		}
	case "herbicides":
		switch e.Text["role"] {
		case "programme":
			extra = "herbicides: [{programme: " + e.Name + ", days_after_drilling: 2}]"
		case "contact":
			extra = "herbicides: [{programme: " + e.Name + ", date: 10 Mar}]"
		case "non-selective":
			extra = "spray_off: [20 Sep]"
		default:
			extra = "herbicides: [{programme: autumn-residual-stack, days_after_drilling: 2}]"
		}
	}
	cultivate := ""
	if crop == "winter-wheat" {
		cultivate = "    cultivate: [{date: 10 Sep, with: " + tillage + "}]\n"
	}
	if extra != "" {
		extra = "    " + extra + "\n"
	}
	return fmt.Sprintf("field: {area_ha: 1, soil: %s, climate: %s}\nweed: {species: %s, start: 2026-08-01, heads_per_m2: 20}\nseasons:\n  - crop: "+
		"%s\n%s%s  - crop: winter-wheat\n", soil, climate, weed, crop, cultivate, extra)
}
