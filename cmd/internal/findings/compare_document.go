package findings

import (
	"fmt"
	"io"
	"strconv"

	"rundown/cmd/internal/figure"
	"rundown/cmd/internal/report"
	"rundown/sim"
	"rundown/sim/decide"
	"rundown/sim/study"
)

func compareDocument(x *comparison, warnings []report.Warning) report.Object {
	var plans []report.Object
	for _, c := range x.all {
		year := func(season int) any {
			if season < 0 {
				return nil
			}
			return c.Seasons[season].HarvestYear
		}
		plan := report.Object{
			{"name", c.Name},
			{"plan_sha256", c.Provenance.PlanSHA256},
			{"library_sha256", c.Provenance.LibrarySHA256},
			{"mean_margin_per_ha", band(c.Yearly)},
			{"cumulative_margin_per_ha", band(c.SoFar[x.End])},
			{"mean_margin_difference", report.Object{{"difference", c.PerYear}}},
			{"final_heads_difference", report.Object{{"difference", difference(c.Heads, x.all[0].Heads)}}},
			{"better", chances(c.Better[x.End])},
			{"under_threshold", c.Under.Last},
			{"under_threshold_throughout", c.Under.Throughout},
			{"median_first_under", year(c.Under.First)},
			{"median_under_from", year(c.Under.Stays)},
			{"variance_ratio", ratioValue(c.Ratio)},
			{"variance_ratio_margin", ratioValue(c.RatioMoney)},
			{"costs_per_ha_year", spentObject(c.Costs)},
			{"against_first", extraObject(c.Contender)},
			{"seasons", comparedSeasons(c)},
		}
		if c.Value != nil {
			plan = append(plan, report.Member{"value", worthObject(c.Value)})
		}
		if o := evolvingObject(c.Evolves, c.Seasons); o != nil {
			plan = append(plan, report.Member{"resistance", o})
		}
		plans = append(plans, plan)
	}
	first := x.all[0]
	return first.Past.with(report.Object{
		{"format", CompareFormat},
		{"plan", first.Run.Calendar.Name},
		{"answer", compareAnswer(x).Object()},
		{"seed", first.Run.Seed},
		{"replicates", first.Replicates},
		{"version", first.Provenance.Version},
		{"provenance", first.Provenance.Object()},
		{"units", units(first.Calendar)},
		{"threshold_heads_per_m2", x.Threshold},
		{"compared_to_harvest", first.Seasons[x.End].HarvestYear},
		{"warnings", report.WarningObjects(warnings)},
		{"plans", plans},
	}, first.Outcome)
}

// comparedSeasons are the seasons of a plan, with what differs from the first plan's.
func comparedSeasons(c *contender) []report.Object {
	var seasons []report.Object
	for i, s := range c.Seasons {
		o := seasonObject(s)
		o = append(o, report.Member{"cumulative_margin_per_ha", band(c.SoFar[i])}, report.Member{"control", c.Control[i]},
			report.Member{"control_to_stand_still", c.Needed[i]})
		if i < len(c.Difference) {
			d := report.Object{}
			for k, m := range study.Compared {
				d = append(d, report.Member{sim.Metrics[m].Name, c.Difference[i][k]})
			}
			d = append(d, report.Member{"cumulative_margin_per_ha", c.SumLess[i]})
			o = append(o, report.Member{"difference", d}, report.Member{"better", chances(c.Better[i])})
		}
		seasons = append(seasons, o)
	}
	return seasons
}

// CompareProvenance is provenance.json of a comparison: what each plan was made from.
func CompareProvenance(runs []Run) report.Object {
	plans := []report.Object{}
	for _, r := range runs {
		plans = append(plans, report.Object{{"name", r.Name}, {"plan_sha256", r.Provenance.PlanSHA256}, {"library_sha256", r.Provenance.LibrarySHA256}})
	}
	return append(runs[0].ProvenanceDocument("compare"), report.Member{"plans", plans})
}

func chances(x decide.Chances) report.Object {
	return report.Object{{"fewer_heads", x.Fewer}, {"more_margin", x.More}, {"both", x.Both}}
}

// ratioValue is null where two plans do not differ.
func ratioValue(x float64) any {
	if x == 0 {
		return nil
	}
	return x
}

// CompareCSV writes every plan's bands, and the differences from the first, tidily.
func CompareCSV(w io.Writer, run CompareRun) error {
	out := report.NewCSV(w)
	_ = out.Write([]string{"plan", "season", "metric", "unit", "comparison", "quantile", "estimate"}) // errors come at Error below
	x := newComparison(run)
	first := x.all[0]
	for _, r := range x.all {
		for i := range r.Seasons {
			year := strconv.Itoa(r.Seasons[i].HarvestYear)
			for k, m := range study.Compared {
				bandRows(out, []string{r.Name, year, sim.Metrics[m].Name, unit(r.Run.Calendar, m), "band"}, r.Seasons[i].Bands[m])
				if i < len(first.Seasons) {
					bandRows(out, []string{r.Name, year, sim.Metrics[m].Name, unit(r.Run.Calendar, m), "difference"}, r.Difference[i][k])
				}
			}
			lead := []string{r.Name, year, "cumulative_margin_per_ha", unit(r.Run.Calendar, sim.Margin)}
			bandRows(out, append(lead, "band"), band(r.SoFar[i]))
			if i < len(first.Seasons) {
				bandRows(out, append(lead, "difference"), r.SumLess[i])
			}
		}
	}
	out.Flush()
	return out.Error()
}

// bandRows writes one row per quantile behind some leading cells.
func bandRows(out *report.CsvWriter, lead []string, b report.Band) {
	for _, q := range []struct {
		name string
		x    float64
	}{{"mean", b.Mean}, {"p05", b.P05}, {"p25", b.P25}, {"p50", b.P50}, {"p75", b.P75}, {"p95", b.P95}} {
		value := ""
		if b.N > 0 {
			value = report.Cell(q.x)
		}
		_ = out.Write(append(append([]string{}, lead...), q.name, value))
	}
}

func comparePictures(x *comparison) []report.Picture {
	first := x.all[0]
	caption := figure.Caption{Subtitle: forecastSubtitle(first.Run), Note: noPromise, Provenance: provenanceLine(first.Run)}
	if x.Unequal {
		caption.Note = fmt.Sprintf("The number at the end of a curve is of that plan's last harvest; the plans are set against each other %s. %s",
			atTheEnd(x), noPromise)
	}
	titled := func(title string) figure.Caption {
		c := caption
		c.Title = title
		return c
	}
	var years []int
	for _, s := range x.all[x.Longest].Seasons {
		years = append(years, s.HarvestYear)
	}
	act := &figure.Threshold{Value: x.Threshold, Name: "act above " + report.Shortest(x.Threshold)}
	money := perArea(first.Calendar)
	var pictures []report.Picture
	for _, q := range []struct {
		name  string
		m     sim.Metric
		panel figure.Panel
	}{
		{"heads", sim.Heads, figure.Panel{Name: "Weed heads", Unit: "per m²", Kind: axis(sim.Heads), Threshold: act}},
		{"seedbank", sim.SeedbankJune, figure.Panel{Name: juneBank, Unit: "per m²", Kind: axis(sim.SeedbankJune)}},
		{"margin", sim.Margin, figure.Panel{Name: "Margin", Unit: money, Kind: figure.Linear, Each: true}},
	} {
		f := &figure.Comparison{Caption: titled(fmt.Sprintf("%s: %s under %d plans", first.Calendar.Name, lower(q.panel.Name), len(x.all))),
			Quantity: q.panel, HarvestYears: years}
		for _, c := range x.all {
			f.Plans = append(f.Plans, figure.Plan{Name: spoken(c.Name), Bands: spreads(x.area(), c.Seasons, q.m)})
		}
		pictures = append(pictures, report.Picture{Name: q.name, Figure: f})
	}
	cost := titled(first.Calendar.Name + ": what a cleaner field costs")
	cost.Note = "Down is cleaner, right earns more. " + noPromise
	year := first.Seasons[x.End].HarvestYear
	d := &figure.Decision{Caption: cost,
		X: figure.Scale{Name: fmt.Sprintf("Margin, mean of the seasons to harvest %d", year), Unit: yearly(x), Kind: figure.Linear},
		Y: figure.Scale{Name: fmt.Sprintf("Seed at harvest %d, new seed included", year), Unit: "per m²", Kind: figure.Log}}
	for _, c := range x.all {
		earned := perAll(x.area(), c.Yearly)
		choice := figure.Choice{Name: spoken(c.Name), X: spreadOf(earned), Y: spreadOf(c.Contender.Seed)}
		for k := range earned {
			choice.Runs = append(choice.Runs, [2]float64{earned[k], c.Contender.Seed[k]})
		}
		d.Choices = append(d.Choices, choice)
	}
	return append(pictures, report.Picture{Name: "decision", Figure: d})
}

func lower(s string) string { return string(s[0]|0x20) + s[1:] }
