package figure

import (
	"fmt"
	"math"
	"sort"
)

func demoYears(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = 2027 + i
	}
	return out
}

var demoPlanNames = []string{
	"as now", "one more spring crop", "two spring crops", "later drilling", "ley for three years",
	"plough every fourth year", "cover before spring crops", "seed control at harvest",
}

func demoComparison(plans, seasons int) *Comparison {
	f := &Comparison{
		Caption:      Caption{Title: "Only a second spring crop brings the seedbank down for good", Note: invented},
		Quantity:     Panel{Name: "Seedbank", Unit: "seeds per m² after harvest", Kind: Log, Threshold: &Threshold{100, "aim: 100"}},
		HarvestYears: demoYears(seasons),
	}
	for k := range plans {
		q := Plan{Name: demoPlanNames[k%len(demoPlanNames)]}
		b := 2400.0
		for i := range seasons {
			b *= []float64{1.2, 0.8, 0.55, 0.9, 0.5, 0.7, 0.62, 0.4}[k] * []float64{0.9, 1.25}[i%2]
			zero := 0.0
			if k == 7 {
				zero = 0.08 * float64(i)
			}
			q.Bands = append(q.Bands, lognormal(b, 1.5+0.15*float64(i), zero))
		}
		f.Plans = append(f.Plans, q)
	}
	return f
}

func demoMargins() *Comparison {
	f := demoComparison(3, 6)
	f.Title = "The cleaner plans cost about £90 per hectare and year"
	f.Quantity = Panel{Name: "Margin", Unit: "£ per ha", Each: true}
	for k := range f.Plans {
		for i := range f.Plans[k].Bands {
			f.Plans[k].Bands[i] = normal([]float64{640, 550, 480}[k]+120*math.Sin(float64(i)), 150)
		}
	}
	return f
}

func quantile(x []float64, p float64) float64 {
	s := append([]float64(nil), x...)
	sort.Float64s(s)
	return s[int(p*float64(len(s)-1))]
}

func spreadOf(x []float64) Spread {
	return Spread{quantile(x, .05), quantile(x, .25), quantile(x, .5), quantile(x, .75), quantile(x, .95), math.NaN()}
}

func demoDecision(plans int) *Decision {
	f := &Decision{
		Caption: Caption{Title: "Seed control at harvest costs least for what it takes out", Note: invented},
		X:       Scale{"Seedbank after six seasons", "seeds per m²", Log},
		Y:       Scale{"Margin", "£ per ha and year", Linear},
	}
	for k := range plans {
		rng := invent(uint64(k))
		q := Choice{Name: demoPlanNames[k]}
		var xs, ys []float64
		for range 600 {
			e := rng.NormFloat64()
			x := []float64{5200, 1700, 210, 900, 120, 420, 300, 40}[k] * math.Exp(0.9*e)
			if k == 7 && rng.Float64() < 0.2 {
				x = 0
			}
			y := []float64{620, 560, 500, 590, 380, 540, 470, 600}[k] - 25*e + 70*rng.NormFloat64()
			q.Runs = append(q.Runs, [2]float64{x, y})
			xs, ys = append(xs, x), append(ys, y)
		}
		q.X, q.Y = spreadOf(xs), spreadOf(ys)
		f.Choices = append(f.Choices, q)
	}
	return f
}

func demoFront(n int) *Front {
	f := &Front{Caption: Caption{Title: "What a cleaner field costs", Note: invented}, X: Scale{"Margin, mean of the years", "£ per ha and year", Linear},
		Y: Scale{"Seed at the end", "per m²", Log}}
	for i := range n {
		x, y := 700-40*float64(i), 600*math.Exp(-0.35*float64(i))
		f.Points = append(f.Points, FrontPoint{fmt.Sprint(i + 1), x, y, x - 12, x + 12, y / 1.15, y * 1.15, i == 1})
	}
	rng := invent(9)
	for range 4000 {
		x := 250 + 450*rng.Float64()
		f.Cloud = append(f.Cloud, [2]float64{x, 20 * math.Exp((x-250)/130+math.Abs(rng.NormFloat64()))})
	}
	f.Today = &FrontPoint{"today", 520, 3000, 505, 535, 2500, 3600, false}
	return f
}

func demoSweep() *Sweep {
	f := &Sweep{
		Caption: Caption{Title: "Each week’s delay in October takes out weed; after the 25th the risk of not drilling grows faster",
			Subtitle: "winter wheat, harvest 2028", Note: invented},
		X:     Scale{"Planned drilling date", "", Dates},
		Marks: []Mark{{20736 - 5, "as planned"}, {20736 + 31, "latest"}},
	}
	var heads, yield, margin, missed []Spread
	for d := 0.0; d <= 63; d += 7 {
		f.At = append(f.At, 20736-20+d) // 20736 is 10 Oct 2026
		heads = append(heads, lognormal(42*math.Exp(-d/22), 1.9, 0))
		yield = append(yield, normal(9.1-d*d/1600, 0.7))
		margin = append(margin, normal(820+4*d-d*d/9, 160))
		missed = append(missed, Exactly(1/(1+math.Exp((52-d)/8))))
	}
	f.Panels = []Panel{
		{Name: "Weed heads", Unit: "per m² in June", Kind: Log, Hue: Blue, Bands: heads, Threshold: &Threshold{10, "act above 10"}},
		{Name: "Yield", Unit: "t per ha, where drilled", Hue: Ochre, Bands: yield},
		{Name: "Margin", Unit: "£ per ha", Hue: Green, Bands: margin},
		{Name: "Not drilled in time", Unit: "share of runs", Kind: Percent, Hue: Vermilion, Bands: missed},
	}
	return f
}

func demoDots() *Dots {
	f := &Dots{
		Caption: Caption{Title: "Three numbers carry most of the doubt about the seedbank in 2032", Note: invented},
		X:       Scale{"Share of the variance", "", Percent},
		Main:    "alone", Also: "with all it acts with",
		Grades: []string{"published", "grey", "derived", "memory", "assumed"},
	}
	names := []string{"seed death in the soil each year", "seeds per head", "spring emergence share", "efficacy of the autumn stack",
		"depth of the shallow disc", "head density at which crowding halves growth", "seed shed before harvest", "rain to wet the soil"}
	for i, n := range names {
		v := 0.31 * math.Exp(-0.5*float64(i))
		t := v*1.25 + 0.03
		f.Rows = append(f.Rows, DotRow{Name: n, Under: "60–150 units", Main: Interval{v, v - 0.03, v + 0.035},
			Also: &Interval{t, t - 0.04, t + 0.05}, Grade: f.Grades[i%len(f.Grades)]})
	}
	f.Bars, f.Weak = true, f.Grades[3:]
	f.Rows = append(f.Rows, DotRow{Name: "all other values", Main: Interval{0.2, 0.17, 0.22}})
	return f
}

func demoSplit(n int) *Split {
	f := &Split{Caption: Caption{Title: "At first the doubt is in the numbers, later in the weather", Note: invented},
		Name: "Spread of the log seedbank", Seasons: seasonsOf(n)}
	parts := []string{"uncertain numbers", "weather", "season effects", "chance", "acting together"}
	for k, name := range parts {
		q := Part{Name: name}
		for i := range n {
			q.Amounts = append(q.Amounts, []float64{4 / (1 + 0.3*float64(i)), 0.6 + 0.25*float64(i), 0.5, 0.05 + 0.02*float64(i), 0.2}[k])
		}
		f.Parts = append(f.Parts, q)
	}
	return f
}

func demoCounts(dates int, kind AxisKind) *Counts {
	f := &Counts{Caption: Caption{Title: "The north half is cleaner in June, and clearly so", Note: invented},
		Y: Scale{"Weed heads", "per m²", kind}}
	for d := range dates {
		for z, zone := range []string{"north", "south"} {
			rng := invent(uint64(100 + 2*d + z))
			g := CountGroup{Date: []string{"14 Nov 2026", "3 Apr 2027", "12 Jun 2027"}[d%3], Zone: zone}
			total := 0.0
			for range 30 {
				patch := math.Exp(rng.NormFloat64())
				v := math.Floor(patch * []float64{2.2, 6.5}[z] * (1 + 0.5*float64(d)) * rng.Float64() * 2)
				g.Counts, total = append(g.Counts, v), total+v
			}
			m := total / 30
			g.Mean = Interval{m, m * 0.66, m * 1.5}
			f.Groups = append(f.Groups, g)
		}
	}
	return f
}
