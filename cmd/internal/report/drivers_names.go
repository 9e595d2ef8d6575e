package report

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

// longestName is the longest name that a table shows in full: what a terminal
// of 80 columns has room for.
const longestName = 28

// shortNames are names cut to what a table has room for. Where two come out alike,
// what they do not share is kept instead.
func shortNames(names []string) []string {
	out := make([]string, len(names))
	times := map[string]int{}
	for i, n := range names {
		out[i] = shortened(n)
		times[out[i]]++
	}
	for i, n := range names {
		if times[out[i]] < 2 {
			continue
		}
		var others []string
		for k, o := range names {
			if k != i && shortened(o) == shortened(n) {
				others = append(others, o)
			}
		}
		out[i] = apartFrom(n, others)
	}
	return out
}

// apartFrom is the first word of a name and those of its words that another name
// lacks, cut to what a table has room for.
func apartFrom(name string, others []string) string {
	words := strings.Fields(name)
	var own []string
	for _, w := range words[1:] {
		w = strings.Trim(w, "(),")
		for _, o := range others {
			if !strings.Contains(" "+strings.NewReplacer("(", "", ")", "", ",", "").Replace(o)+" ", " "+w+" ") {
				own = append(own, w)
				break
			}
		}
	}
	short := strings.TrimRight(words[0], ",") + "…"
	for i, w := range own {
		if longer := short + " " + w; i == 0 || len([]rune(longer)) <= longestName {
			short = longer
		}
	}
	return string([]rune(short)[:min(longestName, len([]rune(short)))])
}

// shortened is a name with its middle left out where it is long: how it begins
// and ends tells it from others. What it is of, in brackets, is left out first.
func shortened(name string) string {
	if len([]rune(name)) <= longestName {
		return name
	}
	if at := strings.LastIndex(name, " ("); at > 0 {
		name = name[:at]
	}
	words := strings.Fields(name)
	length := func(head, tail int) int {
		return len([]rune(strings.Join(words[:head], " "))) + 2 + len([]rune(strings.Join(words[len(words)-tail:], " ")))
	}
	if len([]rune(name)) <= longestName || len(words) < 3 {
		return string([]rune(name)[:min(longestName, len([]rune(name)))])
	}
	head, tail := 1, 1
	for {
		switch { // the end says more: it grows first
		case head+tail+1 < len(words) && length(head, tail+1) <= longestName:
			tail++
		case head+tail+1 < len(words) && length(head+1, tail) <= longestName:
			head++
		default:
			short := strings.TrimRight(strings.Join(words[:head], " "), ",") + "… " + strings.Join(words[len(words)-tail:], " ")
			return string([]rune(short)[:min(longestName, len([]rune(short)))])
		}
	}
}
