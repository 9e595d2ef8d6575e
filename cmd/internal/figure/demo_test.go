package figure

import (
	"bytes"
	"flag"
	"image/png"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// look renders the demonstration pictures into a folder, for a person to look
// at, and each once more as a phone shows it:
//
//	go test ./cmd/internal/figure -run Demo -look /tmp/look
var look = flag.String("look", "", "write the demonstration pictures to this `folder`")

// demo is a picture of invented numbers.
type demo struct {
	name string
	fig  Figure
}

const invented = "All figures are invented."

func TestDemoPictures(t *testing.T) {
	if *look != "" {
		if err := os.MkdirAll(*look, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	for i, d := range demos() {
		for _, format := range []Format{PNG, SVG} {
			if testing.Short() && format == PNG && i%5 != 0 && *look == "" {
				continue // a PNG takes a tenth of a second and more
			}
			var out bytes.Buffer
			if err := Write(d.fig, format, &out); err != nil {
				t.Errorf("%s: %v", d.name, err)
				continue
			}
			if out.Len() < 1000 {
				t.Errorf("%s.%s: only %d bytes", d.name, format, out.Len())
			}
			if *look != "" {
				save(t, filepath.Join(*look, d.name+"."+string(format)), out.Bytes())
			}
		}
	}
}

// save writes a picture, and of a PNG a second one as a phone shows it.
func save(t *testing.T, file string, data []byte) {
	t.Helper()
	if err := os.WriteFile(file, data, 0o644); err != nil {
		t.Fatal(err)
	}
	base, isPNG := strings.CutSuffix(file, ".png")
	if !isPNG {
		return
	}
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	var small bytes.Buffer
	if err := png.Encode(&small, onPhone(img)); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(base+"-phone.png", small.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
}

func demos() []demo {
	return []demo{
		{"bands-6", demoBands(6)},
		{"bands-20", demoBands(20)},
		{"bands-1", demoBands(1)},
		{"budget-4", demoBudget(4, 0.9)},
		{"budget-20", demoBudget(20, 0.55)},
		{"compare-8", demoComparison(8, 9)},
		{"compare-3", demoComparison(3, 6)},
		{"compare-1", demoComparison(1, 20)},
		{"compare-margin", demoMargins()},
		{"decision-8", demoDecision(8)},
		{"decision-2", demoDecision(2)},
		{"front-12", demoFront(12)},
		{"front-1", demoFront(1)},
		{"sweep", demoSweep()},
		{"dots", demoDots()},
		{"split-6", demoSplit(6)},
		{"split-20", demoSplit(20)},
		{"counts-3", demoCounts(3, Linear)},
		{"counts-log", demoCounts(2, Log)},
		{"calendar-6", demoCalendar(6)},
		{"calendar-20", demoCalendar(20)},
		{"updated-6", demoUpdated(6)},
		{"updated-16", demoUpdated(16)},
	}
}

var demoSeasons = []Season{
	{Crop: "spring barley", Cover: "oats, beans, peas", Drilled: "18 Mar"},
	{Crop: "winter wheat", Drilled: "10 Oct"},
	{Crop: "spring beans", Cover: "oats", Drilled: "2 Mar"},
	{Crop: "fallow"},
}

func seasonsOf(n int) []Season {
	out := make([]Season, n)
	for i := range out {
		out[i] = demoSeasons[i%len(demoSeasons)]
		out[i].HarvestYear = 2027 + i
	}
	return out
}

// lognormal is an invented spread about a median.
func lognormal(median, gsd, zero float64) Spread {
	at := func(z, p float64) float64 {
		if p < zero {
			return 0
		}
		return median * math.Pow(gsd, z)
	}
	return Spread{at(-1.645, 0.05), at(-0.674, 0.25), at(0, 0.5), at(0.674, 0.75), at(1.645, 0.95), zero}
}

func normal(mean, sd float64) Spread {
	return Spread{mean - 1.645*sd, mean - 0.674*sd, mean, mean + 0.674*sd, mean + 1.645*sd, 0}
}

func demoBands(n int) *Bands {
	heads, bank, money := make([]Spread, n), make([]Spread, n), make([]Spread, n)
	h, b := 40.0, 2400.0
	for i := range n {
		factor := []float64{0.16, 1.9, 0.35, 0.25}[i%4]
		h, b = h*factor, b*math.Sqrt(factor)
		grow := 1.5 + 0.25*float64(min(i, 8))
		heads[i] = lognormal(h, grow+0.4, math.Min(0.07*float64(i), 0.8))
		bank[i] = lognormal(b, grow, math.Max(0, math.Min(0.03*float64(i-3), 0.6)))
		money[i] = normal([]float64{410, 980, 330, -120}[i%4], 190)
	}
	start := lognormal(40, 1.2, 0)
	seeds := lognormal(2400, 1.5, 0)
	return &Bands{
		Caption: Caption{
			Title:    "Two spring crops in three pull the weed down; winter wheat lets it back",
			Subtitle: "Invented Field, 12 ha, clay; 2,000 runs",
			Note:     invented, Provenance: "rundown demo; seed 1",
		},
		Seasons: seasonsOf(n),
		Panels: []Panel{
			{Name: "Weed heads", Unit: "per m² in June", Kind: Log, Hue: Blue, Bands: heads, Start: &start,
				Threshold: &Threshold{2, "act above 2 heads"}},
			{Name: "Seedbank", Unit: "seeds per m² after harvest", Kind: Log, Hue: Vermilion, Bands: bank, Start: &seeds},
			{Name: "Margin", Unit: "£ per ha", Kind: Linear, Hue: Green, Bands: money, Each: true},
		},
	}
}

func demoBudget(n int, run float64) *Budget {
	f := &Budget{Caption: Caption{Note: invented, Title: "Most seed died in the soil; only the wheat years added more than they lost"}}
	start := 2400.0
	for i, s := range seasonsOf(n) {
		shed := start * []float64{0.08, 1.1, 0.2, 0}[i%4] * run
		b := BudgetSeason{Season: s, Start: start, Shed: shed, BroughtIn: 2}
		in := start + shed + 2
		b.Emerged, b.SproutedTooDeep, b.Died = 0.22*in, 0.09*in, 0.19*in
		b.Eaten, b.CarriedOff = 0.08*in, 0.03*shed
		b.End = in - b.Emerged - b.SproutedTooDeep - b.Died - b.Eaten - b.CarriedOff
		f.Seasons, start = append(f.Seasons, b), b.End*run
	}
	return f
}

// invent gives a reproducible source of invented numbers.
func invent(tag uint64) *rand.Rand { return rand.New(rand.NewPCG(20270801, tag)) }
