package findings

import (
	"fmt"
	"io"
	"rundown/cmd/internal/report"
	"strconv"

	"rundown/sim"
	"rundown/sim/study"
)

// shortFields is the table of the usual text: fields by how much the choice is worth.
func shortFields(r FarmRun) report.Table {
	if r.alone() != nil {
		t := onFieldTable(r)
		t.Title, t.Tight = "", true
		for i, spare := range []int{0, 2, 3, 0, 0, 1, 0, 0} {
			t.Columns[i].Spare = spare
		}
		return t
	}
	f := r.Found
	money := r.Currency
	t := report.Table{Keys: 1, Tight: true, Apart: true,
		Columns: []report.Column{{Head: "Field"}, {Head: "Area", Unit: r.Area.Name, Right: true, Spare: 2}, {Head: "Earns most"},
			{Head: "of 100", Unit: "runs", Said: "how often it does", Right: true, Spare: 3}, {Head: "Margin", Unit: r.perArea() + " a year", Band: true},
			{Head: "Worth", Unit: money + " a year", Right: true}, {Head: "Seed", Unit: "end / start", Right: true, Spare: 1}},
		Legend: "Worth: what the plan that earns most brings more than the one that earns least, for the field. Margins are averages, with nine runs in ten " +
			"in brackets; seed is of the middle run."}
	if len(f.Names) == 1 {
		t.Columns[2].Head, t.Columns[3] = "Plan", report.Column{Head: "Lower", Unit: "of 100", Right: true}
		t.Columns[5] = report.Column{Head: "In all", Unit: money + " a year", Right: true}
		t.Legend = "Lower: in how many of 100 runs the seed ends lower than it began. Margins are averages, with nine runs in ten in brackets."
	}
	for _, x := range f.ByStake() {
		p := &x.Plans[x.Best]
		often, worth := few100(p.Most), fieldMoney(x.Stake)
		if len(f.Names) == 1 {
			often, worth = few100(p.Change.Lower), fieldMoney(p.Field)
		}
		name := f.Names[x.Best]
		if x.Next >= 0 && !x.Settled {
			name += " or " + f.Names[x.Next]
		}
		t.Rows = append(t.Rows, report.Row{Cells: []string{x.Name, r.sizeAlone(x.AreaHa), name, often, averaged(r.Area, p.Margin), worth,
			ratioTimes(p.Change.Ratio.P50)}})
	}
	return t
}

func seedRatio(c *study.SeedChange) string {
	return report.Form{Digits: 2, Least: 0.01}.Band(c.Ratio)
}

// farmTables are everything in words.
func farmTables(r FarmRun) []report.Table {
	if r.alone() != nil {
		return []report.Table{onFieldTable(r), aloneTable(r)}
	}
	return []report.Table{fieldsTable(r, r.Found.ByStake(), false), plansTable(r), aloneTable(r)}
}

// fieldsTable sets all plans of every field beside each other; with a line of heads on a
// page.
func fieldsTable(r FarmRun, fields []*study.Field, sparks bool) report.Table {
	f := r.Found
	t := report.Table{Title: "Which plan suits which field", Keys: 1, Apart: true,
		Columns: []report.Column{{Head: "Field"}, {Head: "Area", Unit: r.Area.Name, Right: true}, {Head: "Soil"}, {Head: "Earns most"},
			{Head: "of 100", Unit: "runs", Right: true}, {Head: "Seed", Unit: "end / start", Right: true}, {Head: "Least seed"},
			{Head: "Choice is worth", Unit: r.Currency + " a year", Right: true}},
		Legend: "Margins are averages a year. Of 100 runs: in so many it earns most. Seed: of the plan that earns most, by the middle run. " +
			"\"or\": these runs cannot tell the two apart by what they earn."}
	for _, name := range f.Names {
		t.Columns = append(t.Columns, report.Column{Head: name, Unit: r.perArea(), Right: true})
	}
	if sparks {
		t.Columns = append(t.Columns, report.Column{Head: "Heads", Right: true, Unit: fmt.Sprintf("%d to %d", f.Fields[0].First, f.Fields[0].EndYear)})
		t.Legend += " Heads: the middle run of the plan that earns most, a column a season, by powers of ten on one scale for all fields; · for none."
	}
	lines := headLines(fields)
	for i, x := range fields {
		name := f.Names[x.Best]
		if x.Next >= 0 && !x.Settled {
			name += " or " + f.Names[x.Next]
		}
		best := &x.Plans[x.Best]
		cells := []string{x.Name, r.sizeAlone(x.AreaHa), spoken(x.Soil), name, few100(best.Most), ratioTimes(best.Change.Ratio.P50), f.Names[x.Cleanest],
			fieldMoney(x.Stake)}
		for k := range x.Plans {
			cells = append(cells, perMargin(r.Area, x.Plans[k].Year))
		}
		if sparks {
			cells = append(cells, lines[i])
		}
		t.Rows = append(t.Rows, report.Row{Cells: cells})
	}
	return t
}

// onFieldTable sets the plans of a field that stands alone under each other.
func onFieldTable(r FarmRun) report.Table {
	x := r.alone()
	t := report.Table{Title: "The plans on " + x.Name, Keys: 1, Apart: true, Legend: howToRead + " Margins are averages.",
		Columns: []report.Column{{Head: "Plan"}, {Head: "Heads", Unit: fmt.Sprintf("per m², harvest %d", x.EndYear), Band: true}, {Head: "Seed",
			Unit: "per m², new seed too", Band: true},
			{Head: "Seed", Unit: "end / start", Band: true}, {Head: "Margin", Unit: r.perArea() + " a year", Band: true}, {Head: "Field",
				Unit: r.Currency + " a year", Right: true},
			{Head: "Earns most", Unit: "of 100", Right: true}, {Head: "Least seed", Unit: "of 100", Right: true}}}
	if r.Afterwards {
		t.Columns = append(t.Columns, report.Column{Head: "Seed left", Unit: "costs a year, per " + r.Area.Name, Right: true},
			report.Column{Head: "Worth", Unit: r.perArea() + " a year", Right: true})
	}
	for i := range x.Plans {
		p := &x.Plans[i]
		t.Rows = append(t.Rows, report.Row{Cells: []string{r.Found.Names[i], forms[sim.Heads].Band(p.Heads), forms[sim.SeedbankJune].Band(p.Seed),
			seedRatio(p.Change),
			averaged(r.Area, p.Margin), fieldMoney(p.Field), few100(p.Most), few100(p.Least)}})
		if r.Afterwards {
			row := &t.Rows[len(t.Rows)-1]
			row.Cells = append(row.Cells, perMargin(r.Area, p.Left), perMargin(r.Area, p.Value))
		}
	}
	return t
}

// headLines are the heads of the middle run under the plan that earns most, a line for
// each field, all on one scale.
func headLines(fields []*study.Field) []string {
	s := report.Spark{Log: true}
	for _, x := range fields {
		for _, b := range x.Plans[x.Best].ByYear {
			b.P05, b.P95 = b.P50, b.P50
			s.Bands = append(s.Bands, b)
		}
	}
	middle := []rune(s.Lines()[1])
	var out []string
	for _, x := range fields {
		n := len(x.Plans[x.Best].ByYear)
		out, middle = append(out, string(middle[:n])), middle[n:]
	}
	return out
}

// plansTable is what the farm earns with one plan on every field, and with the best of
// each.
func plansTable(r FarmRun) report.Table {
	f := r.Found
	t := report.Table{Title: "The farm's money", Keys: 1, Apart: true,
		Columns: []report.Column{{Head: "On every field"}, {Head: "Money", Unit: r.Currency + " a year", Band: true}, {Head: "Earns most on", Unit: "fields",
			Right: true}, {Head: "Varies by", Unit: "standard deviation", Right: true},
			{Head: "If fields", Unit: "shared nothing", Right: true}, {Head: "If fields", Unit: "went as one", Right: true}},
		Legend: "Averages, with nine runs in ten in brackets. Fields meet the same years, so that the farm varies more than fields that share nothing would " +
			"together, and less than if all went up and down as one."}
	best := bestOn(f)
	row := func(name, fields string, m *study.FarmMoney) {
		b := m.Band
		b.P50 = b.Mean
		t.Rows = append(t.Rows, report.Row{Cells: []string{name, report.Form{Digits: 2, Least: 10, Even: true}.Band(b), fields, fieldMoney(m.SD),
			fieldMoney(m.Apart), fieldMoney(m.Together)}})
	}
	for i, name := range f.Names {
		row(name, strconv.Itoa(best[i]), f.Plans[i])
	}
	if len(f.Names) > 1 && r.alone() == nil {
		row("the best of each", strconv.Itoa(len(f.Fields)), f.Chosen)
	}
	worthColumns(r, &t)
	return t
}

// worthColumns are what plans are worth with what the seed that they leave costs.
func worthColumns(r FarmRun, t *report.Table) {
	f := r.Found
	if f.Worth == nil {
		return
	}
	t.Columns = append(t.Columns, report.Column{Head: "Seed left", Unit: "costs a year", Right: true}, report.Column{Head: "Worth", Unit: "a year", Right: true})
	t.Legend += " Worth is the equal yearly sum with the present value of the margins, less what the seed left behind takes of the crops after the plan."
	for i := range t.Rows {
		cells := []string{"–", "–"}
		if i < len(f.Worth) {
			left := 0.0
			for _, x := range f.Fields {
				left += x.Plans[i].Left * x.AreaHa
			}
			cells = []string{fieldMoney(left), fieldMoney(f.Worth[i].Band.Mean)}
		}
		t.Rows[i].Cells = append(t.Rows[i].Cells, cells...)
	}
}

// aloneTable is how each field is run alone.
func aloneTable(r FarmRun) report.Table {
	t := report.Table{Title: "A field alone", Keys: 1, Apart: true, Columns: []report.Column{{Head: "Field"}, {Head: "Command"}},
		Legend: "The same numbers for one field, with a page of its own (--out). Started where the table lies."}
	for _, x := range r.Found.Fields {
		t.Rows = append(t.Rows, report.Row{Cells: []string{x.Name, r.command(x.Name)}})
	}
	return t
}

// farmColumns are those of farm.csv.
var farmColumns = []string{"field", "plan", "area_ha", "season", "verdict", "seed_start_per_m2", "seed_end_per_m2", "ends_lower_share", "under_threshold_share",
	"margin_per_ha_year", "margin_field_year", "earns_most_share", "least_seed_share", "earns_most", "cleanest", "as_good", "stake_field_year",
	"planned_crop_share"}

// FarmCSV writes a row for each field and plan. A row hangs on its field and the plans
// alone.
func FarmCSV(w io.Writer, r FarmRun) error {
	out := report.NewCSV(w)
	head := farmColumns
	for _, b := range []string{"seed_ratio", "heads_per_m2", "seed_per_m2", "margin_per_ha"} {
		for _, q := range []string{"mean", "p05", "p25", "p50", "p75", "p95"} {
			head = append(head[:len(head):len(head)], b+"_"+q)
		}
	}
	if r.Afterwards {
		head = append(head, "left_behind_per_ha_year", "value_per_ha_year", "worth_most")
	}
	_ = out.Write(head) // errors come at Error below
	f := r.Found
	yes := map[bool]string{true: "1", false: "0"}
	for _, x := range f.Fields {
		for i := range x.Plans {
			p := &x.Plans[i]
			row := []string{x.Name, f.Names[i], report.Cell(x.AreaHa), strconv.Itoa(x.EndYear), string(p.Change.Verdict), report.Cell(p.Change.Start),
				report.Cell(p.Change.End), report.Cell(p.Change.Lower),
				report.Cell(p.Under), report.Cell(p.Year), report.Cell(p.Field), report.Cell(p.Most), report.Cell(p.Least), yes[i == x.Best], yes[i == x.Cleanest],
				yes[x.Suited(i)], report.Cell(x.Stake), report.Cell(p.Planned)}
			for _, b := range []report.Band{p.Change.Ratio, p.Heads, p.Seed, p.Margin} {
				for _, q := range []float64{b.Mean, b.P05, b.P25, b.P50, b.P75, b.P95} {
					if b.N == 0 {
						row = append(row, "")
						continue
					}
					row = append(row, report.Cell(q))
				}
			}
			if r.Afterwards {
				row = append(row, report.Cell(p.Left), report.Cell(p.Value), yes[i == x.Worth])
			}
			_ = out.Write(row)
		}
	}
	out.Flush()
	return out.Error()
}

// FarmReplicatesCSV writes what the farm earns a year in every run, with each plan on
// every field and with the best of each.
func FarmReplicatesCSV(w io.Writer, f *study.Farm) error {
	out := report.NewCSV(w)
	_ = out.Write([]string{"replicate", "plan", "money_year"})
	for k := range f.Chosen.ByRun {
		for i, name := range f.Names {
			_ = out.Write([]string{strconv.Itoa(k + 1), name, report.Cell(f.Plans[i].ByRun[k])})
		}
		_ = out.Write([]string{strconv.Itoa(k + 1), "", report.Cell(f.Chosen.ByRun[k])})
	}
	out.Flush()
	return out.Error()
}

// farmDocument is the JSON of a farm.
func farmDocument(r FarmRun, a *report.Answer, warnings []report.Warning) report.Object {
	f := r.Found
	var fields, plans []report.Object
	for _, x := range f.Fields {
		var on []report.Object
		for i := range x.Plans {
			p := &x.Plans[i]
			on = append(on, report.Object{{"name", f.Names[i]}, {"verdict", string(p.Change.Verdict)}, {"seed_start_per_m2", p.Change.Start},
				{"seed_end_per_m2", p.Change.End},
				{"seed_ratio", p.Change.Ratio}, {"ends_lower_share", p.Change.Lower}, {"seed_from_harvest", p.FromYear}, {"seed_to_harvest", p.ToYear},
				{"under_threshold_share", finite(p.Under)}, {"threshold_heads_per_m2", p.Threshold},
				{"margin_per_ha_year", p.Year}, {"margin_field_year", p.Field}, {"earns_most_share", p.Most}, {"least_seed_share", p.Least},
				{"planned_crop_share", p.Planned}, {"heads_per_m2", p.Heads}, {"seed_per_m2", p.Seed}, {"margin_per_ha", p.Margin}})
			if r.Afterwards {
				on[i] = append(on[i], report.Member{"left_behind_per_ha_year", p.Left}, report.Member{"value_per_ha_year", p.Value})
			}
		}
		fields = append(fields, report.Object{{"name", x.Name}, {"area_ha", x.AreaHa}, {"soil", x.Soil}, {"compared_to_harvest", x.EndYear}, {"earns_most",
			f.Names[x.Best]},
			{"cleanest", f.Names[x.Cleanest]}, {"settled", x.Next < 0 || x.Settled}, {"stake_field_year", x.Stake}, {"plans", on}})
		if r.Afterwards {
			fields[len(fields)-1] = append(fields[len(fields)-1], report.Member{"worth_most", f.Names[x.Worth]})
		}
	}
	money := func(name any, m *study.FarmMoney) report.Object {
		return report.Object{{"name", name}, {"money_year", m.Band}, {"sd", m.SD}, {"sd_if_fields_shared_nothing", m.Apart}, {"sd_if_fields_went_as_one", m.Together}}
	}
	for i, m := range f.Plans {
		plans = append(plans, money(f.Names[i], m))
		if f.Worth != nil {
			plans[i] = append(plans[i], report.Member{"value_year", f.Worth[i].Band})
		}
	}
	return report.Object{
		{"format", FarmFormat},
		{"table", r.From[0].Inputs[0].Name},
		{"answer", a.Object()},
		{"seed", r.Seed},
		{"replicates", r.Replicates},
		{"version", r.From[0].Version},
		{"provenance", r.From[0].Object()},
		{"currency", r.Currency},
		{"warnings", report.WarningObjects(warnings)},
		{"farm", report.Object{{"area_ha", f.AreaHa}, {"every_field", plans}, {"best_of_each", money(nil, f.Chosen)}, {"best_of_each_over_best_plan", f.Lead}}},
		{"fields", fields},
	}
}
