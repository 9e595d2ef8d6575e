package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"rundown/cmd/internal/findings"
	"rundown/params"
	"rundown/params/date"
	"rundown/params/sheet"
	"rundown/sim"
	"rundown/sim/study"
)

// metricFlag is a flag that names a metric.
type metricFlag sim.Metric

// metricName is a metric's name on the command line: that of JSON without its unit.
func metricName(m sim.Metric) string {
	name := sim.Metrics[m].Name
	for _, unit := range []string{"_per_m2", "_fraction", "_t_per_ha", "_per_ha"} {
		name = strings.TrimSuffix(name, unit)
	}
	return strings.ReplaceAll(name, "_", "-")
}

// metricNames are the metrics that can be explained.
func metricNames() []string {
	var out []string
	for m := range sim.MetricCount {
		if sim.Metrics[m].Public {
			out = append(out, metricName(m))
		}
	}
	return out
}

func (m *metricFlag) String() string { return metricName(sim.Metric(*m)) }
func (m *metricFlag) Type() string   { return "metric" }
func (m *metricFlag) Set(s string) error {
	for k := range sim.MetricCount {
		if sim.Metrics[k].Public && (s == metricName(k) || s == sim.Metrics[k].Name) {
			*m = metricFlag(k)
			return nil
		}
	}
	return errors.New(sheet.DidYouMean(s, metricNames()))
}

// sweepFlag is a value to move and the points that it is set to.
type sweepFlag struct {
	path            string
	low, high, step float64
	dated           bool // low and high were given as dates; they are days of a common year
}

func (s *sweepFlag) String() string {
	if s.path == "" {
		return ""
	}
	return fmt.Sprintf("%s=%s:%s:%s", s.path, s.end(s.low), s.end(s.high), sheet.Plain(s.step))
}
func (s *sweepFlag) Type() string { return "sweep" }
func (s *sweepFlag) Set(text string) error {
	path, span, ok := strings.Cut(text, "=")
	parts := strings.Split(span, ":")
	if !ok || path == "" || len(parts) != 3 {
		return errors.New("expected PATH=LOW:HIGH:STEP, as weeds/black-grass/seeds_per_head=60:150:10")
	}
	var x [3]float64
	dated := 0
	for i, p := range parts {
		if day, err := date.ParseAnnual(strings.ReplaceAll(p, "-", " ")); err == nil && i < 2 {
			x[i] = float64(day.YearDay())
			dated++
			continue
		}
		v, err := strconv.ParseFloat(p, 64)
		if err != nil || math.IsNaN(v) || math.IsInf(v, 0) || strings.ContainsAny(p, "xX_") {
			return fmt.Errorf("%q is not a number; expected PATH=LOW:HIGH:STEP", p)
		}
		x[i] = v
	}
	if dated == 1 {
		return errors.New("expected two dates, or none: PATH=20-May:10-Jun:3, the step in days")
	}
	*s = sweepFlag{path, x[0], x[1], x[2], dated == 2}
	if s.step <= 0 || s.high <= s.low {
		return errors.New("expected a low end below the high end and a step above 0")
	}
	if n := len(s.points()); n < 2 || n > mostPoints {
		return fmt.Errorf("that makes %d points; 2 to %d can be swept", n, mostPoints)
	}
	return nil
}

const mostPoints = 60

// end writes one end as it is given: 20-May needs no quotes in a shell.
func (s *sweepFlag) end(x float64) string {
	if s.dated {
		return dashed(x)
	}
	return sheet.Plain(x)
}

// dashed is a day of a common year as 20-May.
func dashed(yearDay float64) string {
	return strings.ReplaceAll(date.AnnualOf(int(math.Round(yearDay))).String(), " ", "-")
}

// points are what the value is set to; the high end belongs to them when a step
// falls on it.
func (s *sweepFlag) points() []float64 {
	var out []float64
	for k := 0; k <= mostPoints; k++ {
		x := s.low + float64(k)*s.step
		if x > s.high+s.step*1e-9 {
			break
		}
		out = append(out, min(x, s.high))
	}
	return out
}

// sweep moves one value.
func (in *analysis) sweep(ctx context.Context, season int) error {
	o, f := in.o, in.asked.f
	if o.round == 2 {
		return f.wrong("a sweep has one round", "leave --round out")
	}
	value, err := swept(f, in.Run, &o.sweep)
	if err != nil {
		return err
	}
	q := &study.SweepRequest{Calendar: in.Calendar, Metric: sim.Metric(o.metric), Season: season, Path: o.sweep.path, At: o.sweep.points(),
		Replicates: o.replicates, Seed: o.seed}
	few := *q
	few.Replicates = pilotReplicates
	if err := in.announce(ctx, [2]int{len(q.At) * q.Replicates}, fmt.Sprintf("%d at each of %d points", o.replicates, len(q.At)), &few); err != nil {
		return notReady(err, nil, nil)
	}
	given, err := in.env.answer(ctx, q, nil, nil, &o.runOptions, in.asked)
	if err != nil || given == nil {
		return err
	}
	result, err := q.Find(given)
	if err != nil {
		return err
	}
	found := findings.SweepRun{Run: in.Run, Sweep: result, Value: value}
	return in.env.publish(ctx, findings.Sweep(found), &o.runOptions, "drivers", in.ProvenanceDocument("drivers"), map[string]func(io.Writer) error{
		"sweep.csv": func(w io.Writer) error { return findings.SweepCSV(w, found) },
	})
}

// whyNot says why a value of the library is not drawn; "" where the library has none of that path.
func whyNot(library *params.Library, path string) string {
	parts := strings.Split(path, "/")
	if len(parts) != 3 || !slices.Contains(params.Kinds, parts[0]) {
		return ""
	}
	e := library.Find(parts[0], parts[1])
	if e == nil || e.Value(parts[2]) == nil {
		return ""
	}
	switch v := e.Value(parts[2]); {
	case v.Spread.PerEvent:
		return ": it is drawn anew with every pass or spray"
	case v.Spread.Kind == params.Fixed:
		return ": the library holds it fixed; a library of your own can give it a spread"
	}
	return ": nothing in this plan uses it"
}

// swept is the value that is to be moved, if it can be.
func swept(f *flagSet, run findings.Run, s *sweepFlag) (*params.Value, error) {
	space := run.Calendar.Space
	at := space.Index(s.path)
	if at < 0 {
		var paths []string
		for _, v := range space.Values {
			paths = append(paths, v.Path)
		}
		hint := fmt.Sprintf("the %d values that can be swept are listed, with --out, in screening.csv", len(paths))
		key := slices.IndexFunc(paths, func(p string) bool { return strings.HasSuffix(p, "/"+s.path) })
		switch near := sheet.Nearest(s.path, paths); {
		case strings.HasPrefix(s.path, "constraint/"):
			hint = fmt.Sprintf("it is known of many values together; to move it, give return_target or old_share_target of weeds/%s in a library of your own "+
				"(--library), each with value, spread, grade and source", run.Calendar.Weed.Name)
		case key >= 0:
			hint = fmt.Sprintf("did you mean %s?", paths[key])
		case near != "":
			hint = fmt.Sprintf("did you mean %s?", near)
		}
		return nil, f.wrong(fmt.Sprintf("--sweep %s: it is not among the values that this plan draws once for each run%s", s.path,
			whyNot(run.Calendar.Library, s.path)), hint)
	}
	v := space.Values[at]
	switch {
	case v.Unit == "date" && !s.dated:
		return nil, f.wrong("--sweep "+s.path+": it is a date, so its ends are dates and the step is days", dateHint(s, v))
	case v.Unit != "date" && s.dated:
		return nil, f.wrong("--sweep "+s.path+": it is no date",
			fmt.Sprintf("it is a number, %s in the middle", strings.TrimSpace(sheet.Plain(v.Central)+" "+v.Unit)))
	case s.low < v.Low || s.high > v.High:
		return nil, f.wrong(fmt.Sprintf("--sweep %s: it can be %s to %s (%s), not %s to %s", s.path, sheet.Plain(v.Low), sheet.Plain(v.High), v.Unit,
			sheet.Plain(s.low), sheet.Plain(s.high)), "end the sweep within that")
	}
	return v, nil
}

// dateHint is how to write a sweep of a date.
func dateHint(s *sweepFlag, v *params.Value) string {
	as := *s
	as.dated, as.step = true, max(1, math.Round(s.step))
	if s.low < 1 || s.high > 365 {
		as.low, as.high, as.step = max(1, v.Central-10), min(365, v.Central+10), 5
	}
	return "write --sweep " + as.String()
}
