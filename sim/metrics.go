package sim

// Metric numbers the quantities recorded for every season; Metrics describes
// them. One table feeds JSON, CSV, figures, --metric and the documentation: a
// new process adds its rows here.
type Metric uint8

// MostProgrammes is how many programmes the fall of a kill is told for.
const MostProgrammes = 8

// The metrics of a season, in the order of the table. Densities are per m² of
// the field.
const (
	Plants       Metric = iota // standing on 1 April, or 30 days after drilling in a crop drilled after 1 January
	Heads                      // standing in mid-June, or just before an earlier harvest
	SeedReturn                 // viable seed set on the heads; what the combine carries off or a mill kills is still in it
	SeedbankJune               // viable seed in all layers on 30 June, before this year's rain
	Seedbank                   // the day after harvest
	YieldLoss                  // by weeds; only where the planned crop was grown
	Yield                      // only where the planned crop was grown
	Margin
	Extinct     // 1 when no seed and no plant is left the day after harvest, else 0
	Course      // index of the course grown: 0 planned, then the alternatives
	DrilledOn   // date.Day of drilling; absent where nothing was drilled
	WaitedDays  // days that operations waited for the ground or a harvest
	LedgerStart // the ledger, in seeds per m²: start + shed + brought in =
	LedgerShed  // end + died + eaten + fatal germination + emerged + carried off
	LedgerBroughtIn
	LedgerDied
	LedgerEaten
	LedgerFatal
	LedgerEmerged
	LedgerCarriedOff
	LedgerEnd
	PlantsEmerged // plants that came up in the season, per m²
	PlantsKilled  // of those, killed by people (sprays, residues, cultivations)
	PlantsHeading // alive when the heads are counted; absent where no heads were formed
	PlantsFound   // by those who pull weeds, most of the season's passes; absent where nothing is pulled
	TooMany       // 1 when those were too many: not half was pulled of what would be of few, else 0; absent likewise
	SeedBefore    // seed of the year before: in the soil on 30 June, and its rain less what was carried off
	SeedAfter     // the same of the season's own year; seed as it lies falls by the day, this does not
	Looking       // what was spent on looking before deciding, which the margin bears
	Branch        // index of the branch that was chosen; 0 where nothing is chosen
	TakenByWeeds  // what the weed took of the crop that was grown, planned or not: yield lost to it, at its price

	// Where resistance evolves; else absent.
	Carriers1   // share of the season's seedlings that carry a gene of large effect against HRAC group 1
	Carriers2   // the same of group 2
	KillFirst   // share of plants as they came up this season that a programme kills in a reference season: the model's Programmes in order
	MetricCount = KillFirst + MostProgrammes
)

// Axis is the scale on which a metric is drawn and its spread shared out.
type Axis uint8

// Axes.
const (
	AxisPlain Axis = iota
	AxisLog        // by powers of ten
	AxisShare      // a fraction, told in per cent
)

// Form says how a metric is written for people, and drawn.
type Form struct {
	Digits int     // significant digits worth printing
	Least  float64 // nothing finer is written; of a share, in per cent
	Even   bool    // all numbers of a band are rounded to one step
	Axis   Axis
}

// Forms of metrics.
var (
	perM2   = Form{2, 0.01, false, AxisLog}
	bankM2  = Form{2, 0.1, false, AxisLog}
	share   = Form{2, 0.1, true, AxisShare}
	tonnes  = Form{2, 0.1, true, AxisPlain}
	whole   = Form{2, 1, true, AxisPlain} // money, days
	plain   = Form{2, 0.01, false, AxisPlain}
	ofWhich = Form{1, 0.01, false, AxisPlain} // an index
	aDate   = Form{5, 0.01, false, AxisPlain}
	booked  = Form{3, 0.01, false, AxisPlain} // a row of the ledger
)

// MetricInfo says what a metric is.
type MetricInfo struct {
	Name   string // key in JSON and CSV
	Unit   string
	Label  string // in words, for tables and pictures
	Short  string // for a table heading
	Form   Form   // how it is written and drawn
	Public bool   // has its own Q in forecast.json
	Ledger bool   // a row of the seed ledger
}

// Metrics describes every metric, by its number.
var Metrics = [MetricCount]MetricInfo{
	Plants:           {"plants_per_m2", "plants/m²", "weed plants in the crop", "plants/m²", perM2, true, false},
	Heads:            {"heads_per_m2", "heads/m²", "weed heads", "heads/m²", perM2, true, false},
	SeedReturn:       {"seed_return_per_m2", "seeds/m²", "viable seed set", "seed set/m²", perM2, true, false},
	SeedbankJune:     {"seedbank_june_per_m2", "seeds/m²", "seedbank on 30 June", "June bank/m²", bankM2, true, false},
	Seedbank:         {"seedbank_per_m2", "seeds/m²", "seedbank after harvest", "bank/m²", perM2, true, false},
	YieldLoss:        {"yield_loss_fraction", "fraction", "yield lost to the weed", "loss", share, true, false},
	Yield:            {"yield_t_per_ha", "t/ha", "yield", "t/ha", tonnes, true, false},
	Margin:           {"margin_per_ha", "money/ha", "margin", "margin/ha", whole, true, false},
	Extinct:          {"extinct", "0 or 1", "died out", "extinct", plain, false, false},
	Course:           {"course", "index", "course grown", "course", ofWhich, false, false},
	DrilledOn:        {"drilled_on", "date", "drilled on", "drilled", aDate, false, false},
	WaitedDays:       {"waited_days", "d", "days waited for the ground", "waited", whole, true, false},
	LedgerStart:      {"start", "seeds/m²", "in the soil at the start", "start", booked, false, true},
	LedgerShed:       {"shed", "seeds/m²", "shed", "shed", booked, false, true},
	LedgerBroughtIn:  {"brought_in", "seeds/m²", "brought in", "brought in", booked, false, true},
	LedgerDied:       {"died", "seeds/m²", "died", "died", booked, false, true},
	LedgerEaten:      {"eaten", "seeds/m²", "eaten", "eaten", booked, false, true},
	LedgerFatal:      {"fatal_germination", "seeds/m²", "sprouted too deep", "fatal", booked, false, true},
	LedgerEmerged:    {"emerged", "seeds/m²", "emerged", "emerged", booked, false, true},
	LedgerCarriedOff: {"carried_off", "seeds/m²", "carried off", "carried off", booked, false, true},
	LedgerEnd:        {"end", "seeds/m²", "in the soil at the end", "end", booked, false, true},
	PlantsEmerged:    {"plants_emerged_per_m2", "plants/m²", "weed plants that came up", "emerged", perM2, false, false},
	PlantsKilled:     {"plants_killed_per_m2", "plants/m²", "weed plants killed by work and sprays", "killed", perM2, false, false},
	PlantsHeading:    {"plants_heading_per_m2", "plants/m²", "weed plants that came to head", "heading", perM2, false, false},
	PlantsFound:      {"plants_found_per_m2", "plants/m²", "weed plants found by those who pull them", "found", perM2, false, false},
	TooMany:          {"too_many_to_pull", "0 or 1", "too many to pull", "too many", plain, false, false},
	SeedBefore:       {"seed_before_per_m2", "seeds/m²", "seed of the year before, new seed included", "seed before", perM2, false, false},
	Looking:          {"looking_cost_per_ha", "money/ha", "spent on counting before deciding", "looking", whole, false, false},
	Branch:           {"branch", "index", "branch chosen", "branch", ofWhich, false, false},
	SeedAfter:        {"seed_after_per_m2", "seeds/m²", "seed of the year, new seed included", "seed after", perM2, false, false},
	TakenByWeeds:     {"taken_by_weeds_per_ha", "money/ha", "yield lost to the weed, at its price", "taken", whole, false, false},
	Carriers1:        {"carriers_group_1", "fraction", "plants that carry resistance to group 1", "carry 1", share, false, false},
	Carriers2:        {"carriers_group_2", "fraction", "plants that carry resistance to group 2", "carry 2", share, false, false},
	KillFirst:        {"kill_programme_1", "fraction", "kill of the first programme", "kill 1", share, false, false},
	KillFirst + 1:    {"kill_programme_2", "fraction", "kill of the second programme", "kill 2", share, false, false},
	KillFirst + 2:    {"kill_programme_3", "fraction", "kill of the third programme", "kill 3", share, false, false},
	KillFirst + 3:    {"kill_programme_4", "fraction", "kill of the fourth programme", "kill 4", share, false, false},
	KillFirst + 4:    {"kill_programme_5", "fraction", "kill of the fifth programme", "kill 5", share, false, false},
	KillFirst + 5:    {"kill_programme_6", "fraction", "kill of the sixth programme", "kill 6", share, false, false},
	KillFirst + 6:    {"kill_programme_7", "fraction", "kill of the seventh programme", "kill 7", share, false, false},
	KillFirst + 7:    {"kill_programme_8", "fraction", "kill of the eighth programme", "kill 8", share, false, false},
}
