package planner

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"rundown/params"
	"rundown/params/sheet"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/bands"
	"rundown/sim/ensemble"
	"rundown/sim/simtest"
	"rundown/sim/study"
)

const short = `field: {name: Far Piece, area_ha: 8, soil: clay, climate: east-lowland}
weed: {species: black-grass, start: 2026-08-01, heads_per_m2: 25}
seasons:
  - {crop: winter-wheat, drill: {date: 25 Sep, latest: 15 Nov}}
  - crop: spring-barley
`

func asks(text string) map[string]any {
	return map[string]any{"Page": "p", "Name": "plan.yaml", "Text": text, "Width": 420}
}

// The stream: the plan, 200 runs, then 2,000, of which those are the first.
func TestTheStream(t *testing.T) {
	inFull(t)
	v := serve(t, nil)
	v.enter()
	var names []string
	var looks []look
	err := v.stream(context.Background(), asks(short), func(e event) {
		names = append(names, e.name)
		if e.name == "look" {
			var l look
			if err := json.Unmarshal(e.data, &l); err != nil {
				t.Error(err)
			}
			looks = append(looks, l)
		}
	})
	if err != nil || !slices.Equal(names, []string{"plan", "look", "look", "end"}) {
		t.Fatalf("events %v, %v", names, err)
	}
	if looks[0].Runs != firstLook || looks[0].Sure || looks[1].Runs != SureLook || !looks[1].Sure {
		t.Errorf("looks at %d and %d runs", looks[0].Runs, looks[1].Runs)
	}
	if n := v.made.Load(); n != 208+1808 { // 13 chunks of 200, 113 of 1,800
		t.Errorf("%d runs were made, want %d: the first are not made again", n, SureLook)
	}
	for _, l := range looks {
		if len(l.Sentences) == 0 || !strings.HasPrefix(l.Picture, "<svg") || strings.Contains(l.Picture, " style=") || l.Style == "" || len(l.Seasons) != 2 {
			t.Errorf("a look lacks something: %+v", l)
		}
	}
}

// Where resistance evolves, the sure look says what its growth costs, as the forecast command does: from
// the same runs with it held still.
func TestTheCostOfResistance(t *testing.T) {
	inFull(t)
	v := serve(t, nil)
	v.enter()
	text := strings.Replace(short, "heads_per_m2: 25", "heads_per_m2: 25, evolve: yes, resistance: {2: {survived: 0.4, by: many-genes}}", 1)
	text = strings.Replace(text, "latest: 15 Nov}", "latest: 15 Nov}, herbicides: [{programme: spring-contact, date: 15 Mar}]", 1)
	text += "repeat: 3\n"
	var last look
	if err := v.stream(context.Background(), asks(text), func(e event) {
		if e.name == "look" {
			last = look{}
			if err := json.Unmarshal(e.data, &last); err != nil {
				t.Error(err)
			}
		}
	}); err != nil {
		t.Fatal(err)
	}
	c := calendarOf(t, text)
	q := &study.ForecastRequest{Calendar: c, Replicates: SureLook, Seed: seed}
	given, _, err := study.Answer(context.Background(), q, 1)
	if err != nil {
		t.Fatal(err)
	}
	if want := inWords(&Plan{Calendar: c}, q.Find(given)).Answer.Sentences; !slices.Equal(last.Sentences, want) {
		t.Errorf("the page says %q, the command %q", last.Sentences, want)
	}
	if said := strings.Join(last.Sentences, " "); !strings.Contains(said, "Growing resistance costs about") {
		t.Errorf("no cost of resistance in %q", said)
	}
}

func calendarOf(t testing.TB, text string) *rotations.Calendar {
	t.Helper()
	lib, err := params.Load()
	if err != nil {
		t.Fatal(err)
	}
	var m sheet.Mistakes
	p := rotations.Read("plan.yaml", []byte(text), &m)
	if p == nil || m.Len() > 0 {
		t.Fatal(m.Error())
	}
	c := p.Resolve(lib, &m)
	if c == nil {
		t.Fatal(m.Error())
	}
	return c
}

// The first look is of the first of the sure one's runs, column by column; and the medians of
// 2,000 lie inside the order-statistic intervals of the 200: at 99.9 % each, 12 of them, one
// false alarm in 80 seeds, and the seed is fixed.
func TestTheFirstLookIsTheBeginningOfTheSecond(t *testing.T) {
	simtest.Stage(t, "long")
	c := calendarOf(t, short)
	m, err := sim.New(c)
	if err != nil {
		t.Fatal(err)
	}
	run := func(first, n int) *ensemble.Outcome {
		out, err := ensemble.Run(context.Background(), []*sim.Model{m}, ensemble.Options{Seed: seed, First: first, Replicates: n, Work: true})
		if err != nil {
			t.Fatal(err)
		}
		return out[0]
	}
	few := run(0, firstLook)
	joined, err := ensemble.Join(few, run(firstLook, SureLook-firstLook))
	if err != nil {
		t.Fatal(err)
	}
	whole := run(0, SureLook)
	for k, column := range joined.Columns() {
		same := func(a, b float64) bool { return a == b || a != a && b != b }
		if !slices.EqualFunc(column, whole.Columns()[k], same) || !slices.EqualFunc(column[:firstLook], few.Columns()[k], same) {
			t.Fatalf("column %d of the joined runs is not that of the whole", k)
		}
	}
	for _, metric := range []sim.Metric{sim.Heads, sim.SeedbankJune, sim.Margin} {
		for i := range c.Seasons {
			x := slices.Clone(few.Column(metric, i))
			slices.Sort(x)
			middle := bands.Summarise(whole.Column(metric, i)).P50
			// Ranks 77 and 124 of 200: 100 ± 3.29 · √50.
			if middle < x[76] || middle > x[123] {
				t.Errorf("metric %d of season %d: the median of 2,000 is %g, outside %g to %g", metric, i, middle, x[76], x[123])
			}
		}
	}
}

// A change gives the runs of the one before up: none goes on. And the stream that is left
// ends its runs.
func TestStaleWorkIsGivenUp(t *testing.T) {
	v := serve(t, nil)
	v.enter()
	began := make(chan struct{}, 1)
	v.beginning = func() {
		select {
		case began <- struct{}{}:
		default:
		}
	}
	ctx, leave := context.WithCancel(context.Background())
	var left sync.WaitGroup
	left.Go(func() { _ = v.stream(ctx, asks(starter), func(event) {}) })
	<-began
	leave()
	left.Wait()
	still(t, v)
	if n := v.made.Load(); n >= SureLook {
		t.Errorf("%d runs were made of a stream that was left", n)
	}
	// The same page asks again without leaving: the server gives the first up by itself.
	var first []string
	heard := make(chan struct{})
	left.Go(func() {
		_ = v.stream(context.Background(), asks(strings.Replace(starter, "area_ha: 9", "area_ha: 8", 1)), func(e event) {
			if first = append(first, e.name); len(first) == 1 {
				close(heard)
			}
		})
	})
	<-heard // its plan was told
	var second []string
	if err := v.stream(context.Background(), asks(short), func(e event) { second = append(second, e.name) }); err != nil || second[len(second)-1] != "end" {
		t.Errorf("the newer one: %v, %v", second, err)
	}
	left.Wait()
	if slices.Contains(first, "end") {
		t.Errorf("the older one went on to its end: %v", first)
	}
	still(t, v)
}

// still waits until no run is made any more, and fails where they go on.
func still(t *testing.T, v *served) {
	t.Helper()
	for deadline := time.Now().Add(5 * time.Second); ; {
		v.s.mu.Lock()
		running := v.s.running
		v.s.mu.Unlock()
		if running == 0 {
			break
		}
		if time.Now().After(deadline) {
			t.Fatalf("%d still run", running)
		}
		time.Sleep(time.Millisecond)
	}
	n := v.made.Load()
	time.Sleep(30 * time.Millisecond)
	if now := v.made.Load(); now != n {
		t.Errorf("runs go on: %d, then %d", n, now)
	}
}

// Seven pages at once: all are answered, and the program answers besides.
func TestSevenTabs(t *testing.T) {
	simtest.Stage(t, "long")
	v := serve(t, nil)
	v.enter()
	var wait sync.WaitGroup
	for k := range 7 {
		wait.Go(func() {
			in := asks(strings.Replace(short, "heads_per_m2: 25", fmt.Sprintf("heads_per_m2: %d", 20+k), 1))
			in["Page"] = fmt.Sprint(k)
			last := ""
			if err := v.stream(context.Background(), in, func(e event) { last = e.name }); err != nil || last != "end" {
				t.Errorf("page %d: %v, the last event %q", k, err, last)
			}
		})
	}
	if code, _ := v.status(v.request("GET", "/ping", "")); code != 200 {
		t.Errorf("while they run it answers %d", code)
	}
	wait.Wait()
}

// A plan with mistakes is answered in the words of check, with the value that each is about.
func TestMistakesHaveTheirPlace(t *testing.T) {
	v := serve(t, nil)
	v.enter()
	bad := strings.Replace(short, "latest: 15 Nov", "latest: 1 Sep", 1)
	var m sheet.Mistakes
	lib, _ := params.Load()
	rotations.Read("plan.yaml", []byte(bad), &m).Resolve(lib, &m)
	var got struct{ Mistakes []Mistake }
	var names []string
	if err := v.stream(context.Background(), asks(bad), func(e event) {
		names = append(names, e.name)
		_ = json.Unmarshal(e.data, &got)
	}); err != nil {
		t.Fatal(err)
	}
	if len(names) != 1 || len(got.Mistakes) != 1 || got.Mistakes[0].Text != m.Sorted()[0].Text || got.Mistakes[0].Path != "seasons[0].drill.latest" ||
		got.Mistakes[0].Line != 4 {
		t.Errorf("events %v, mistakes %+v", names, got.Mistakes)
	}
}

// A difference is of the same runs on both sides, and what it says is worked out another way.
func TestTheDifference(t *testing.T) {
	simtest.Stage(t, "long")
	v := serve(t, nil)
	v.enter()
	later := strings.Replace(short, "date: 25 Sep", "date: 18 Oct", 1)
	in := asks(later)
	in["Against"] = map[string]string{"Name": "plan.yaml", "Text": short, "Label": "A"}
	var diffs []told
	if err := v.stream(context.Background(), in, func(e event) {
		if e.name == "difference" {
			var d told
			_ = json.Unmarshal(e.data, &d)
			diffs = append(diffs, d)
		}
	}); err != nil || len(diffs) != 2 {
		t.Fatalf("%d differences, %v", len(diffs), err)
	}
	if diffs[0].Runs != firstLook || diffs[1].Runs != SureLook || !slices.Equal(diffs[1].Changes, []string{"winter wheat drilled 18 Oct instead of 25 Sep"}) {
		t.Errorf("differences %+v", diffs)
	}
	var heads [2][]float64
	for k, text := range []string{short, later} {
		m, err := sim.New(calendarOf(t, text))
		if err != nil {
			t.Fatal(err)
		}
		out, err := ensemble.Run(context.Background(), []*sim.Model{m}, ensemble.Options{Seed: seed, Replicates: SureLook})
		if err != nil {
			t.Fatal(err)
		}
		heads[k] = out[0].Column(sim.Heads, 0)
	}
	var ratios []float64
	for k, x := range heads[0] {
		if x > 0 {
			ratios = append(ratios, heads[1][k]/x)
		}
	}
	slices.Sort(ratios)
	n := len(ratios)
	fewer := 100 * (1 - (ratios[(n-1)/2]+ratios[n/2])/2)
	if want := fmt.Sprintf("Harvest 2027: %.0f %% fewer heads", fewer); !strings.HasPrefix(diffs[1].Sentences[0], want) {
		t.Errorf("it says %q; want %q", diffs[1].Sentences[0], want)
	}
}

// With no page open and nothing running the program ends by itself, and leaves no open port.
func TestItEndsWithoutAPage(t *testing.T) {
	v := serve(t, nil, func(c *Config) { c.Idle = 80 * time.Millisecond })
	select {
	case err := <-v.ended:
		v.ended <- err
		if err != nil || !strings.Contains(v.err.String(), "no page has been open") {
			t.Errorf("it ended with %v and said %q", err, v.err.String())
		}
	case <-time.After(5 * time.Second):
		t.Fatal("it goes on")
	}
	if _, err := v.client.Get("http://" + v.host + "/"); err == nil {
		t.Error("the port is still open")
	}
}

// It ends at once when told to, with runs under way.
func TestItEndsAtOnce(t *testing.T) {
	v := serve(t, nil)
	v.enter()
	began := make(chan struct{}, 1)
	v.beginning = func() {
		select {
		case began <- struct{}{}:
		default:
		}
	}
	done := make(chan error, 1)
	go func() { done <- v.stream(context.Background(), asks(starter), func(event) {}) }()
	<-began
	at := time.Now()
	v.end()
	err := <-v.ended
	v.ended <- err
	if took := time.Since(at); err != nil || took > 2*time.Second {
		t.Errorf("it took %v: %v", took, err)
	}
	<-done
	still(t, v)
}

// BenchmarkFirstLook is the time from a change to the first answer, of 200 runs, on a site that
// is known, over that of those runs alone, by turns: at most 1.5 times as long, by the middle
// of the ratios.
func BenchmarkFirstLook(b *testing.B) {
	s, err := New(Config{Forecast: inWords})
	if err != nil {
		b.Fatal(err)
	}
	var ratios []float64
	for k := 0; b.Loop(); k++ {
		text := strings.Replace(starter, "drill: {date: 20 Oct", fmt.Sprintf("drill: {date: %d Oct", 1+k%28), 1) + strings.Repeat("\n", k/28)
		began := time.Now()
		p, err := s.read("plan.yaml", []byte(text), nil)
		if err != nil || p.Calendar == nil {
			b.Fatal(err, p.Mistakes)
		}
		_, _ = json.Marshal(p.view())
		given, err := s.outcomes(context.Background(), p, firstLook)
		if err != nil {
			b.Fatal(err)
		}
		q := &study.ForecastRequest{Calendar: p.Calendar, Replicates: firstLook, Seed: seed}
		if _, err := json.Marshal(s.look(p, q.Find([]study.Outcomes{given}), 420)); err != nil {
			b.Fatal(err)
		}
		took := time.Since(began)
		began = time.Now()
		if _, err := ensemble.Run(context.Background(), []*sim.Model{given[0].Model}, ensemble.Options{Seed: seed, Replicates: firstLook, Work: true}); err != nil {
			b.Fatal(err)
		}
		ratios = append(ratios, float64(took)/float64(time.Since(began)))
	}
	slices.Sort(ratios)
	middle := ratios[len(ratios)/2]
	b.ReportMetric(middle, "x-of-runs")
	if len(ratios) >= 20 && middle > 1.5 {
		b.Errorf("the first answer takes %.2f times its runs, want at most 1.5", middle)
	}
}
