package rotations

import (
	"strings"

	"rundown/params"
	"rundown/params/date"
	"rundown/params/sheet"
)

// What those need who draw a plan and change it where it is written.

// Written says where a season of a calendar is written.
type Written struct {
	Path        string // seasons[1], or of a ready-made rotation rotation.seasons[1]
	Entry       int    // its place in the list when that is written out as often as it is repeated
	Year, Years int    // of a ley; else 1 and 1
}

// Written says where a season is written.
func (c *Calendar) Written(season int) Written {
	w := c.written[season]
	entry := -1
	for _, x := range c.written[:season+1] {
		if x.year == 1 {
			entry++
		}
	}
	return Written{w.season.Path, entry, w.year, w.years}
}

// Filled is a season of a calendar with its usual practice under what is written. What is
// written has a path that begins with Written's; usual practice has "usual".
func (c *Calendar) Filled(season int) *sheet.Mapping {
	s := c.written[season].season
	return sheet.Over(s, usualPracticeOf(c.Library.Find("crops", s.Text("crop"))))
}

// FilledEntry is an entry of the plan's own list of seasons, likewise; nil where there is none.
func (p *Plan) FilledEntry(lib *params.Library, entry int) *sheet.Mapping {
	list := p.Root.List("seasons")
	if entry < 0 || entry >= len(list) || list[entry].Map == nil {
		return nil
	}
	s := list[entry].Map
	return sheet.Over(s, usualPracticeOf(lib.Find("crops", s.Text("crop"))))
}

// usualPracticeOf is the usual practice of a crop; nil for none. Who made the calendar has
// noted what is wrong with it.
func usualPracticeOf(crop *params.Entry) *sheet.Mapping {
	if crop == nil {
		return nil
	}
	n, _ := crop.Usual.(*sheet.Node)
	return sheet.ReadAt(n, seasonTable(false), "usual", new(sheet.Mistakes))
}

// HarvestBefore is the median harvest before a season opens, from which days after harvest
// are counted.
func (c *Calendar) HarvestBefore(season int) date.Day {
	if season > 0 {
		return c.Seasons[season].Open - 1
	}
	r := resolver{c: c}
	return r.harvestBefore()
}

// SeasonKeys, and those of the plan, are the keys in the order in which they are written.
func SeasonKeys() []string { return seasonTable(true).Names() }

// PlanKeys are the keys of a plan, or of its field or weed, in that order.
func PlanKeys(section string) []string {
	t := planTable()
	if section == "" {
		return t.Names()
	}
	if k := t.Key(section); k != nil && k.Kind == sheet.Nested {
		return k.Table.Names()
	}
	return nil
}

// ReadyMadeSeasons is the list of a ready-made rotation as it is written, from the key seasons
// on, with how often it is repeated; "" where there is none of that name.
func ReadyMadeSeasons(name string) (text string, repeat int) {
	data, err := files.ReadFile(name + ".yaml")
	r := readRotation(name, new(sheet.Mistakes))
	if err != nil || r == nil || name+".yaml" == starterFile {
		return "", 0
	}
	return fromKey(string(data), "seasons:"), int(r.Number("repeat", 1))
}

// fromKey is a text from the line that begins with a key to the end of what belongs to it.
func fromKey(text, key string) string {
	out, in := "", false
	for line := range strings.Lines(text) {
		switch {
		case strings.HasPrefix(line, key):
			in = true
		case in && line[0] != ' ' && line[0] != '\n' && line[0] != '#' && line[0] != '-':
			return out
		}
		if in {
			out += line
		}
	}
	return out
}
