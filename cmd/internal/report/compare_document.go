package report

import (
	"fmt"
	"io"
	"strconv"

	"rundown/cmd/internal/figure"
	"rundown/sim"
	"rundown/sim/decide"
)

func compareDocument(all []*contender, threshold float64, warnings []Warning) Object {
	var plans []Object
	for _, c := range all {
		var seasons []Object
		for i, s := range c.seasons {
			o := seasonObject(s)
			o = append(o, Member{"cumulative_margin_per_ha", band(c.soFar[i])}, Member{"control", c.control[i]}, Member{"control_to_stand_still", c.needed[i]})
			if i < len(c.difference) {
				d := Object{}
				for k, m := range compared {
					d = append(d, Member{sim.Metrics[m].Name, c.difference[i][k]})
				}
				d = append(d, Member{"cumulative_margin_per_ha", c.sumLess[i]})
				o = append(o, Member{"difference", d}, Member{"better", chances(c.better[i])})
			}
			seasons = append(seasons, o)
		}
		year := func(season int) any {
			if season < 0 {
				return nil
			}
			return c.seasons[season].HarvestYear
		}
		plans = append(plans, Object{
			{"name", c.Name},
			{"plan_sha256", c.Provenance.PlanSHA256},
			{"library_sha256", c.Provenance.LibrarySHA256},
			{"mean_margin_per_ha", band(c.margin)},
			{"cumulative_margin_per_ha", band(c.soFar[c.end])},
			{"mean_margin_difference", Object{{"difference", c.perYear}}},
			{"final_heads_difference", Object{{"difference", difference(c.last, all[0].last)}}},
			{"better", chances(c.better[c.end])},
			{"under_threshold", c.under.Last},
			{"under_threshold_throughout", c.under.Throughout},
			{"median_first_under", year(c.under.First)},
			{"median_under_from", year(c.under.Stays)},
			{"variance_ratio", ratioValue(c.ratio)},
			{"variance_ratio_margin", ratioValue(c.ratioMoney)},
			{"seasons", seasons},
		})
	}
	first := all[0]
	return first.Past.with(Object{
		{"format", CompareFormat},
		{"plan", first.Calendar.Name},
		{"seed", first.Seed},
		{"replicates", first.Replicates},
		{"version", first.Provenance.Version},
		{"provenance", first.Provenance.Object()},
		{"units", units(first.Calendar)},
		{"threshold_heads_per_m2", threshold},
		{"compared_to_harvest", first.seasons[first.end].HarvestYear},
		{"warnings", warningObjects(warnings)},
		{"plans", plans},
	}, first.Outcome)
}

// CompareProvenance is provenance.json of a comparison: what each plan was made from.
func CompareProvenance(runs []Run) Object {
	plans := []Object{}
	for _, r := range runs {
		plans = append(plans, Object{{"name", r.Name}, {"plan_sha256", r.Provenance.PlanSHA256}, {"library_sha256", r.Provenance.LibrarySHA256}})
	}
	return append(runs[0].ProvenanceDocument("compare"), Member{"plans", plans})
}

func chances(x decide.Chances) Object {
	return Object{{"fewer_heads", x.Fewer}, {"more_margin", x.More}, {"both", x.Both}}
}

// ratioValue is null where two plans do not differ.
func ratioValue(x float64) any {
	if x == 0 {
		return nil
	}
	return x
}

func scaled(x []float64, by float64) []float64 {
	out := make([]float64, len(x))
	for i := range x {
		out[i] = x[i] * by
	}
	return out
}

// CompareCSV writes every plan's bands, and the differences from the first, tidily.
func CompareCSV(w io.Writer, runs []Run) error {
	out := newCSV(w)
	_ = out.Write([]string{"plan", "season", "metric", "unit", "kind", "quantile", "value"}) // errors come at Error below
	first := runs[0]
	sums := decide.MarginSoFar(first.Outcome)
	for _, r := range runs {
		soFar := decide.MarginSoFar(r.Outcome)
		for i := range r.Calendar.Seasons {
			year := strconv.Itoa(r.Calendar.Seasons[i].HarvestYear)
			for _, m := range compared {
				bandRows(out, []string{r.Name, year, sim.Metrics[m].Name, unit(r.Calendar, m), "band"}, band(r.Outcome.Column(m, i)))
				if i < len(first.Calendar.Seasons) {
					bandRows(out, []string{r.Name, year, sim.Metrics[m].Name, unit(r.Calendar, m), "difference"}, difference(r.Outcome.Column(m, i), first.Outcome.Column(m, i)))
				}
			}
			lead := []string{r.Name, year, "cumulative_margin_per_ha", unit(r.Calendar, sim.Margin)}
			bandRows(out, append(lead, "band"), band(soFar[i]))
			if i < len(sums) {
				bandRows(out, append(lead, "difference"), difference(soFar[i], sums[i]))
			}
		}
	}
	out.Flush()
	return out.Error()
}

// bandRows writes one row per quantile behind some leading cells.
func bandRows(out *csvWriter, lead []string, b Band) {
	for _, q := range []struct {
		name string
		x    float64
	}{{"mean", b.Mean}, {"p05", b.P05}, {"p25", b.P25}, {"p50", b.P50}, {"p75", b.P75}, {"p95", b.P95}} {
		value := ""
		if b.N > 0 {
			value = cell(q.x)
		}
		_ = out.Write(append(append([]string{}, lead...), q.name, value))
	}
}

func comparePictures(all []*contender, threshold float64) []Picture {
	first := all[0]
	caption := figure.Caption{Subtitle: forecastSubtitle(first.Run), Note: noPromise, Provenance: provenanceLine(first.Run)}
	if unequal(all) {
		caption.Note = fmt.Sprintf("The number at the end of a curve is of that plan's last harvest; the plans are set against each other %s. %s", atTheEnd(all), noPromise)
	}
	titled := func(title string) figure.Caption {
		c := caption
		c.Title = title
		return c
	}
	var years []int
	for _, s := range longestOf(all).seasons {
		years = append(years, s.HarvestYear)
	}
	act := &figure.Threshold{Value: threshold, Name: "act above " + shortest(threshold)}
	money := first.Calendar.Currency + "/ha"
	var pictures []Picture
	for _, q := range []struct {
		name  string
		m     sim.Metric
		panel figure.Panel
	}{
		{"heads", sim.Heads, figure.Panel{Name: "Weed heads", Unit: "per m²", Kind: figure.Log, Threshold: act}},
		{"seedbank", sim.SeedbankJune, figure.Panel{Name: "Seed in the soil, 30 June", Unit: "per m²", Kind: figure.Log}},
		{"margin", sim.Margin, figure.Panel{Name: "Margin", Unit: money, Kind: figure.Linear, Each: true}},
	} {
		f := &figure.Comparison{Caption: titled(fmt.Sprintf("%s: %s under %d plans", first.Calendar.Name, lower(q.panel.Name), len(all))), Quantity: q.panel, HarvestYears: years}
		for _, c := range all {
			f.Plans = append(f.Plans, figure.Plan{Name: spoken(c.Name), Bands: spreads(c.seasons, q.m)})
		}
		pictures = append(pictures, Picture{q.name, f})
	}
	cost := titled(first.Calendar.Name + ": what a cleaner field costs")
	cost.Note = "Down is cleaner, right earns more. " + noPromise
	year := first.seasons[first.end].HarvestYear
	d := &figure.Decision{Caption: cost,
		X: figure.Scale{Name: fmt.Sprintf("Margin, mean of the seasons to harvest %d", year), Unit: yearly(all), Kind: figure.Linear},
		Y: figure.Scale{Name: fmt.Sprintf("Seed in the soil after harvest %d", year), Unit: "per m²", Kind: figure.Log}}
	for _, c := range all {
		choice := figure.Choice{Name: spoken(c.Name), X: spreadOf(c.margin), Y: spreadOf(c.bank)}
		for k := range c.margin {
			choice.Runs = append(choice.Runs, [2]float64{c.margin[k], c.bank[k]})
		}
		d.Choices = append(d.Choices, choice)
	}
	return append(pictures, Picture{"decision", d})
}

func lower(s string) string { return string(s[0]|0x20) + s[1:] }
