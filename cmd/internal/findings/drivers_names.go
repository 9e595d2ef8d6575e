package findings

import (
	"fmt"
	"math"
	"strings"

	"rundown/sim/drivers"
)

// name is what a block is, in words.
func (f *found) name(block int) string {
	b := f.Analysis.Blocks[block]
	if b.Group == drivers.OneInput {
		return inputName(f.input(block))
	}
	return groupName(b.Group, len(f.Analysis.Inputs.List)-len(f.ranked))
}

// input is the input of a block of one.
func (f *found) input(block int) *drivers.Input {
	return &f.Analysis.Inputs.List[f.Analysis.Blocks[block].Input]
}

// inputName is what an input is, and of what where a plan can have several: it
// has one weed and one soil.
func inputName(x *drivers.Input) string {
	kind, _, _ := strings.Cut(x.Path, "/")
	if x.Value == nil || kind == "weeds" || kind == "soils" {
		return x.Label
	}
	return valueName(x.Value)
}

// shortInput is an input's short name and the entry that it belongs to, "" where a plan has
// one of its kind.
func shortInput(x *drivers.Input) (name, of string) {
	if x.Value == nil {
		return x.Short, ""
	}
	return shortName(x.Value)
}

// short is a block's short name and the entry of an input.
func (f *found) short(block int) (name, of string) {
	if f.Analysis.Blocks[block].Group == drivers.OneInput {
		return shortInput(f.input(block))
	}
	return f.name(block), ""
}

// shortKey is a block's short name with its entry.
func (f *found) shortKey(block int) string { return nameWithEntry(f.short(block)) }

// groupNames are the groups' names in words and as JSON and CSV write them.
var groupNames = map[drivers.Group][2]string{
	drivers.OtherInput: {"the other values", "other_values"},
	drivers.FieldDraws: {"the field's past and yield", "field"},
	drivers.Parameters: {"not knowing", "parameters"},
	drivers.Luck:       {"weather, seasons and chance", "luck"},
	drivers.Weather:    {"weather", "weather"},
	drivers.Seasons:    {"season effects", "season_effects"},
	drivers.Chance:     {"chance in counts", "chance"},
}

func groupName(g drivers.Group, others int) string {
	if g == drivers.OtherInput {
		return fmt.Sprintf("the other %d values", others)
	}
	return groupNames[g][0]
}

// drawnWords is what is drawn of an input: 25 (15–41) seeds/seed.
func drawnWords(x *drivers.Input) string {
	text := fmt.Sprintf("%s (%s)%s", drawnMiddle(x), between(x.Unit, x.P05, x.P95), unitAfter(x.Unit))
	if x.For != nil {
		text += ", drawn in place of " + x.For.Label
	}
	return text
}

func drawnMiddle(x *drivers.Input) string {
	switch {
	case x.Unit == "date":
		return annual(x.Middle)
	case math.Abs(x.Middle) < 1e-9*(x.P95-x.P05): // a departure's middle, but for rounding
		return "0"
	}
	return brief(x.Middle, 3)
}

// unitAfter is a unit as it stands after a number; a share has none worth writing.
func unitAfter(unit string) string {
	switch unit {
	case "", "date", "fraction", "number", "factor":
		return ""
	}
	return " " + unit
}
