package findings

import (
	"fmt"
	"rundown/cmd/internal/report"
	"rundown/sim/study"
	"strings"

	"rundown/params"
	"rundown/rotations"
	"rundown/sim"
	"rundown/sim/margin"
)

// account is what the margin of a planned crop is made of, per ha, at central
// values and with every planned pass done. The runs book what was really done.
type account struct {
	crop                                  string
	price, variable, work, cover, harvest float64
}

func accountOf(s *study.Season) account {
	course := &s.Courses[0]
	a := account{crop: spoken(s.Crop), price: central(course.Price), variable: central(course.VariableCost) + seedBeyond(course), work: workCost(course),
		cover: coverCost(s.Cover), harvest: central(course.Crop.Value("harvest_cost"))}
	if course.HarvestWith != nil {
		a.harvest += cost(course.HarvestWith)
	}
	return a
}

// accounts are the accounts of a plan, those of seasons that have the same only
// once, with their harvest years and median yields.
func accounts(seasons []study.Season) (list []account, years map[account][]int, yields map[account][]float64) {
	years, yields = map[account][]int{}, map[account][]float64{}
	for i := range seasons {
		a := accountOf(&seasons[i])
		if _, seen := years[a]; !seen {
			list = append(list, a)
		}
		years[a] = append(years[a], seasons[i].HarvestYear)
		if b := seasons[i].Bands[sim.Yield]; b.N > 0 {
			yields[a] = append(yields[a], b.P50)
		}
	}
	return list, years, yields
}

// costTable shows the accounts of plans; a single plan needs no name.
func costTable(c *rotations.Calendar, names []string, plans ...[]study.Season) report.Table {
	perHa, of := perArea(c), c.Area
	t := report.Table{Title: "What the margin is made of, as planned", Keys: 1,
		Columns: []report.Column{{Head: "Crop"}, {Head: "Harvests"}, {Head: "Yield", Unit: tonnesPer(of), Right: true},
			{Head: "Price", Unit: c.Currency + "/t", Right: true},
			{Head: "Output", Unit: perHa, Right: true}, {Head: "Crop inputs", Unit: perHa, Right: true},
			{Head: "Work, weed sprays", Unit: perHa, Right: true}, {Head: "Cover", Unit: perHa, Right: true}, {Head: "Harvest", Unit: perHa, Right: true},
			{Head: "Left", Unit: perHa, Right: true}},
		Legend: "At central prices and costs and the mean of the seasons' yields in the middle run, every planned pass done once. Crop inputs are seed, fertiliser " +
			"and sprays other than those against the weed. The bands count what was really done in each run, so that they differ.",
	}
	if len(plans) > 1 {
		t.Columns, t.Keys = append([]report.Column{{Head: "Plan"}}, t.Columns...), 2
	}
	whole := report.Form{Digits: 9, Least: 1}.Value
	per := func(x float64) string { return whole(of.Per(x)) }
	for p, seasons := range plans {
		list, years, yields := accounts(seasons)
		for _, a := range list {
			yield, output := "–", 0.0
			if len(yields[a]) > 0 {
				yield, output = perYield(of, mean(yields[a])), mean(yields[a])*a.price
			}
			cells := []string{a.crop, yearRanges(years[a]), yield, whole(a.price), per(output),
				per(a.variable), per(a.work), per(a.cover), per(a.harvest), per(output - a.variable - a.work - a.cover - a.harvest)}
			if len(plans) > 1 {
				cells = append([]string{names[p]}, cells...)
			}
			t.Rows = append(t.Rows, report.Row{Cells: cells})
		}
	}
	return t
}

// yearRanges writes ascending years: 2027–2029, 2031.
func yearRanges(years []int) string {
	var out []string
	for i := 0; i < len(years); {
		j := i
		for j+1 < len(years) && years[j+1] == years[j]+1 {
			j++
		}
		if j > i+1 {
			out = append(out, fmt.Sprintf("%d–%d", years[i], years[j]))
			i = j + 1
			continue
		}
		out = append(out, fmt.Sprint(years[i]))
		i++
	}
	return strings.Join(out, ", ")
}

// workCost is the passes and weed sprays of a course, drilling included.
func workCost(c *rotations.Course) float64 {
	sum := 0.0
	if c.Drill != nil {
		sum = cost(c.Drill.With)
	}
	for i := range c.Operations {
		sum += cost(c.Operations[i].With)
	}
	return sum
}

// seedBeyond is what the planned seed costs beyond the usual rate, which the
// variable cost pays for.
func seedBeyond(c *rotations.Course) float64 {
	if c.Drill == nil {
		return 0
	}
	m := margin.CropMoney{SeedsPerM2: central(c.Crop.Value("seed_rate")), ThousandG: central(c.Crop.Value("thousand_seed_weight")),
		SeedPerKg: central(c.Crop.Value("seed_price"))}
	return m.SeedBeyondUsual(c.Drill.SeedsPerM2)
}

func coverCost(k *rotations.Cover) float64 {
	if k == nil {
		return 0
	}
	return cost(k.Mix) + cost(k.DestroyWith)
}

// cost is one pass of an entry, per ha.
func cost(e *params.Entry) float64 {
	if e == nil {
		return 0
	}
	return central(e.Value("cost"))
}

func central(v *params.Value) float64 {
	if v == nil {
		return 0
	}
	return v.Central
}
