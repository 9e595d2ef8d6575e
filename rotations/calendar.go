// Package rotations reads what is to be done in a field, season by season. A
// Plan is a plan as written, with the place of everything in it; Resolve turns
// it into a Calendar, in which every name is an entry of the library, every date
// has its year and every default is filled in. It knows no engine.
//
// A plan comes from a file (Read) or from values (Build), for whoever makes plans up:
//
//	plan, err := rotations.Build("menu", sheet.Fields{
//		{"field", sheet.Fields{{"area_ha", 12.0}, {"soil", "clay"}, {"climate", "east-lowland"}}},
//		{"weed", weed}, // a *sheet.Node of another file is taken as it stands there
//		{"seasons", []*sheet.Node{wheat, barley, wheat}},
//	}, &mistakes)
//	calendar := plan.Resolve(library, &mistakes)
//
// Both are read by the same tables and give the same mistakes; Calendar.Write makes a
// file of either.
//
// A season opens at the start, or the day after the median harvest of the crop
// planned before it, and ends at the median harvest of its own crop; both are
// fixed when the plan is read. A date without a year is the first on or after
// the opening. What a season leaves out is taken from its crop's usual practice
// in the library: a mapping key by key, a list whole. Where the crop could not
// be drilled by its latest day another is grown, or the field lies fallow.
package rotations

import (
	"rundown/params"
	"rundown/params/date"
)

// Calendar is a plan as resolved: every name looked up, every date given its
// year, every default filled in. It is immutable.
type Calendar struct {
	Name         string // the field's name
	Among        string // its name among the fields of a farm, by which its own luck is told from theirs; "" for a field alone
	PlanFile     string // as given by the user; "" for the embedded plan
	AreaHa       float64
	Currency     string // a label, e.g. GBP
	Area         Area   // in which results are shown; the zero value is of no plan
	Soil         *params.Entry
	WorkOnItsDay bool           // work waits for nothing, as in trials
	Climate      *params.Entry  // nil when weather comes from a record alone, or FitTo is set
	Record       *params.Record // nil when weather is generated
	Resample     bool           // beyond the record: resample whole years of it (else the climate's generator)
	FitTo        *params.Record // the climate is to be fitted to this record; Climate is then nil
	Latitude     float64        // of weather from a file, ° north; a climate of the library has its own
	History      *params.Entry  // usual implement before the start
	LastCrop     *params.Entry  // the crop standing before the start
	Weed         *params.Entry
	Start        date.Day
	// The infestation at the start: exactly one of Heads and Seedbank is set.
	Heads        *params.Value    // heads per m² counted in the last June
	ByOwnHeads   bool             // what is decided in the first season hangs on them; it was when the plan was read
	Trend        *params.Value    // rain of one year over that of the year before; nil: drawn
	Seedbank     [5]*params.Value // old seed per m² by layer; nil entries are zero
	HasSeedbank  bool
	FreshPerM2   *params.Value         // this year's rain on the surface, with Seedbank; may be nil
	Resistance   map[string]float64    // HRAC group → share of efficacy lost, 0..1
	Resistant    map[string]*Resistant // what is said of them
	Genes        *params.Entry         // how the weed inherits resistance; nil: it is held still
	Still        bool                  // with Genes: it is inherited as at the start, whatever was sprayed (HeldStill)
	SaidEvolve   bool                  // the plan says whether it evolves
	Sprayed      []string              // the HRAC groups that the calendar sprays; only where Genes is set
	SpraysDims   bool                  // some herbicide of the calendar is stated to be a cyclohexanedione of group 1; only where Genes is set
	ImportPerM2  float64               // viable seed brought in each season
	ThresholdPer float64               // action threshold, heads per m²
	Seasons      []Season
	Rules        *Rules  // what is decided on the way; nil: nothing is
	After        int     // so many of the last seasons come after the plan: its Afterwards, in a calendar that is Continued
	Discount     float64 // by how much less money counts for each year that it comes later, 0..1 a year
	Library      *params.Library
	Space        *params.Space // every uncertain value the plan uses, in order of path
	Notes        []string      // what of a usual practice did not fit the plan and was moved or left out
	Warnings     []Warning     // what can be done as written, but hardly as meant

	plan    *Plan           // as written
	written []written       // the seasons as written, one per season
	entries []*params.Entry // everything that can be used, by kind and name
	money   []tariff        // overrides of the plan's economics, then of each season's
	by      *resolver       // that made it, to go on from
}

// Codes of warnings.
const (
	SprayedOften    = "sprayed-often"     // a third spray with one active in a season
	CoverSprayedOff = "cover-sprayed-off" // a burn-off while the cover is to stand
	SeenBeforeWork  = "seen-before-work"  // plants are counted before work that kills them, and decided on after it
)

// Warning is something in a plan to think over before acting on it.
type Warning struct {
	Code   string // stable word
	Season int    // 1 for the first
	Text   string // complete sentence
	Lead   string // several of one code are told in one note: the lead and every detail
	Detail string
}

// Season is one season of a calendar. It opens at the start or the day after
// the median harvest of the crop planned before it, and ends at the median
// harvest of its own crop.
type Season struct {
	HarvestYear int
	Open, End   date.Day
	Place       string // file:line:column of the season in the plan
	Cover       *Cover // nil: none
	OwnFallback bool   // the plan itself says what becomes of it where its crop cannot be drilled, be it fallow
	StandsOn    bool   // a ley after its first year: what the season before established stands on
	// Courses[0] is what was planned; the next is grown when it could not be
	// drilled, and so on; the last is always fallow, which needs no drilling
	// (unless the planned crop already needs none and is not a ley that stands on).
	Courses []Course
}

// Cover is a cover crop sown between two crops.
type Cover struct {
	Mix          *params.Entry
	Sow          date.Day
	AfterHarvest int           // days after the actual harvest of the crop before, of which Sow is then the median; 0: on a date
	Latest       date.Day      // sowing lapses after it
	Destroy      date.Day      // wished day of destruction; waits for the ground
	DestroyWith  *params.Entry // a herbicide (spray) or an implement; nil: the non-selective spray
	If           *Condition    // it is sown only if this holds; nil: it is
}

// Course is a crop and the work that belongs to it.
type Course struct {
	Crop                *params.Entry
	Drill               *Drilling     // nil: the crop is not drilled (fallow, a ley's later years)
	Operations          []Operation   // in order; operations of a season never overtake one another
	HarvestWith         *params.Entry // harvest weed-seed control; nil: none
	HarvestIf           *Condition    // of HarvestWith: only if this holds
	StrawChopped        bool
	CultivarFactor      float64       // multiplier on heads; 1 typical
	Price, VariableCost *params.Value // resolved economics of this season
}

// Drilling is the sowing of a crop.
type Drilling struct {
	On, Latest date.Day
	With       *params.Entry
	SeedsPerM2 float64
}

// Action is what an operation does.
type Action uint8

// Actions, in the order in which they are done on one day.
const (
	SprayOff  Action = iota // non-selective herbicide
	Cultivate               // any implement that moves soil
	Herbicide               // a selective programme
	InCrop                  // hoeing, roguing, patch spraying, whole-crop cutting
)

// Operation is one thing to be done.
type Operation struct {
	Action      Action
	With        *params.Entry // implement or herbicide programme
	Timing      Timing
	On          date.Day // OnDate: the day wished; BeforeDrilling: counted from the planned drilling
	Days        int      // AfterDrilling and AfterHarvest, and BeforeDrilling
	Latest      date.Day // lapses after it (AfterDrilling, AfterHarvest: days after the due day are in LatestAfter)
	LatestAfter int
	GoodPlough  bool       // quality: good
	Place       string     // file:line:column in the plan, or "usual practice"
	If          *Condition // it is done only if this holds; nil: it is
	Path        string     // of its entry: seasons[1].herbicides[0]; of usual practice usual.herbicides[0]
}

// Timing says what an operation's day is counted from.
type Timing uint8

// Timings.
const (
	OnDate         Timing = iota
	AfterDrilling         // Days after the actual drilling
	WithDrilling          // on the day of drilling, just before the drill (days_before_drilling: 0)
	BeforeDrilling        // On, Days before the planned drilling; a spray goes with the drilling when that slips
	AfterHarvest          // Days after the actual harvest of the crop before; On is that of its median
)
