package findings

import (
	"fmt"
	"rundown/cmd/internal/report"
	"rundown/sim/study"
	"strings"

	"rundown/cmd/internal/figure"
	"rundown/params"
	"rundown/rotations"
	"rundown/sim"
)

// axis is the scale on which a metric is drawn, as the table of metrics has it.
func axis(m sim.Metric) figure.AxisKind {
	return map[sim.Axis]figure.AxisKind{sim.AxisPlain: figure.Linear, sim.AxisLog: figure.Log, sim.AxisShare: figure.Percent}[sim.Metrics[m].Form.Axis]
}

func forecastCaption(r Run) figure.Caption {
	c := figure.Caption{
		Title:      forecastTitle(r),
		Subtitle:   forecastSubtitle(r),
		Note:       "A forecast is a spread, not a promise.",
		Provenance: provenanceLine(r),
	}
	if r.Starter {
		c.Note = "The field is invented. " + c.Note
	}
	return c
}

func budgetCaption(r Run) figure.Caption {
	c := forecastCaption(r)
	c.Title = fmt.Sprintf("%s: where the %s seeds of each season went", r.Calendar.Name, weedName(r.Calendar))
	c.Subtitle += " Means over the runs."
	return c
}

func forecastPictures(r Run, seasons []study.Season) []report.Picture {
	caption := forecastCaption(r)
	return append([]report.Picture{
		{Name: "bands", Figure: &figure.Bands{Caption: caption, Seasons: strip(seasons), Panels: panels(r, seasons)}},
		{Name: "seed-budget", Figure: &figure.Budget{Caption: budgetCaption(r), Seasons: budgetSeasons(seasons)}},
	}, branchPictures(r, seasons)...)
}

func provenanceLine(r Run) string {
	return fmt.Sprintf("%s, seed %d, %d replicates", builtLine(r.Provenance), r.Seed, r.Replicates)
}

// builtLine is the provenance in one line, for the metadata of a picture.
func builtLine(p report.Provenance) string {
	parts := []string{"rundown " + p.Version}
	add := func(name, value string) {
		if value != "" {
			parts = append(parts, name+" "+value)
		}
	}
	add("commit", p.Commit)
	add("plan sha256", p.PlanSHA256)
	add("library sha256", p.LibrarySHA256)
	for _, x := range p.Inputs {
		add(x.Name+" sha256", x.SHA256)
	}
	add("with", p.Go)
	for _, m := range p.Modules {
		add(m.Path, m.Version)
	}
	return strings.Join(parts, ", ")
}

// strip is what was done, for the foot of the season axis.
func strip(seasons []study.Season) []figure.Season {
	out := make([]figure.Season, len(seasons))
	for i, s := range seasons {
		out[i] = figure.Season{HarvestYear: s.HarvestYear, Crop: spoken(s.Crop)}
		if s.Parts != nil {
			out[i].Crop = "as chosen"
			continue
		}
		if s.Cover != nil {
			out[i].Cover = spoken(s.Cover.Mix.Name)
		}
		if s.Drilled != nil && s.Drilled.Share > 0 {
			out[i].Drilled = dayOfYear(s.Drilled.P50)
		}
	}
	return out
}

func panels(r Run, seasons []study.Season) []figure.Panel {
	c := r.Calendar
	heads := figure.Panel{Name: "Weed heads", Unit: "per m²", Kind: axis(sim.Heads), Hue: figure.Vermilion, Bands: spreads(c.Area, seasons, sim.Heads)}
	if c.Heads != nil && r.Past == nil { // the histories of counts know better
		heads.Start = started(c.Heads)
	}
	if c.ThresholdPer > 0 {
		heads.Threshold = &figure.Threshold{Value: c.ThresholdPer, Name: "act above " + report.Shortest(c.ThresholdPer)}
	}
	return []figure.Panel{
		heads,
		{Name: juneBank, Unit: "per m²", Kind: axis(sim.SeedbankJune), Hue: figure.Blue, Bands: spreads(c.Area, seasons, sim.SeedbankJune)},
		{Name: "Margin", Unit: perArea(c), Kind: figure.Linear, Hue: figure.Green, Bands: spreads(c.Area, seasons, sim.Margin), Each: true},
	}
}

// started is what was counted before the first season.
func started(v *params.Value) *figure.Spread {
	return &figure.Spread{P05: v.Quantile(0.05), P25: v.Quantile(0.25), P50: v.Quantile(0.5), P75: v.Quantile(0.75), P95: v.Quantile(0.95)}
}

func spreads(a rotations.Area, seasons []study.Season, m sim.Metric) []figure.Spread {
	out := make([]figure.Spread, len(seasons))
	for i, s := range seasons {
		b := shown(a, m, s.Bands[m])
		out[i] = figure.None()
		if b.N > 0 {
			out[i] = figure.Spread{P05: b.P05, P25: b.P25, P50: b.P50, P75: b.P75, P95: b.P95, Zero: b.Zero}
		}
	}
	return out
}

func budgetSeasons(seasons []study.Season) []figure.BudgetSeason {
	out := make([]figure.BudgetSeason, len(seasons))
	for i, s := range strip(seasons) {
		l := seasons[i].Ledger
		out[i] = figure.BudgetSeason{Season: s,
			Start: l[sim.LedgerStart], Shed: l[sim.LedgerShed], BroughtIn: l[sim.LedgerBroughtIn],
			End: l[sim.LedgerEnd], Emerged: l[sim.LedgerEmerged], SproutedTooDeep: l[sim.LedgerFatal],
			Died: l[sim.LedgerDied], Eaten: l[sim.LedgerEaten], CarriedOff: l[sim.LedgerCarriedOff]}
	}
	return out
}
