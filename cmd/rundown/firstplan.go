package main

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"

	"rundown/params/sheet"
)

// firstSeasons is how many seasons a first plan looks ahead, at least.
const firstSeasons = 6

// evolveComment stands beside the line that lets resistance evolve.
const evolveComment = "resistance grows under the plan; no: it is held still"

// seasonHints show what a season can say, as comments of a first plan.
var seasonHints = []string{
	"cultivate: [{date: 25 Aug, with: shallow-disc}]",
	"cover: {mix: mustard, sow: 3 Sep, destroy: 5 Feb}",
	"spray_off: [7 Oct]",
	"drill: {date: 10 Oct, latest: 10 Nov, with: tine-drill}",
	"herbicides: [{programme: spring-contact, date: 10 Mar}]",
	"otherwise: spring-barley",
}

// plan writes the answers as a plan with comments.
func (a *answers) plan() []byte {
	var b strings.Builder
	line := func(indent int, text, comment string) {
		text = strings.Repeat("  ", indent) + text
		if comment != "" {
			text = fmt.Sprintf("%-38s # %s", text, comment)
		}
		b.WriteString(text + "\n")
	}
	line(0, "# A plan for one field, from your answers. What a season leaves out is filled in from the\n"+
		"# crop's usual practice; see all of it with: rundown check --full PLAN", "")
	line(0, "# Names are listed by: rundown library\n", "")
	line(0, "field:", "")
	line(1, "name: "+yamlText(a.field), "")
	line(1, "area_ha: "+sheet.Plain(a.areaHa), "weeds are counted in whole plants on this area")
	line(1, "soil: "+a.soil, "")
	line(1, "climate: east-lowland", "rundown library climates; or your own record:  weather: weather.csv")
	line(1, "last_crop: "+a.lastCrop, "in which the heads were counted")
	line(0, "", "")
	line(0, "weed:", "")
	line(1, "species: "+a.weed, "")
	line(1, "start: "+a.start.String(), "the projection begins on this day")
	line(1, "heads_per_m2: "+a.heads, "counted last June; a range is its 5 % and 95 % points")
	text, comment := a.resistance()
	line(1, text, comment)
	line(1, "evolve: yes", evolveComment)
	line(1, "# threshold_heads_per_m2: 10", "at how many heads you would act; drawn in the pictures")
	line(0, "", "")
	a.sayUnits(line)
	if a.rotation != "" {
		line(0, "rotation: "+a.rotation, "a ready-made list of seasons; write your own as seasons:")
		return []byte(b.String())
	}
	line(0, "seasons:", "each ends at its crop's harvest")
	for _, crop := range a.crops {
		line(1, "- crop: "+crop, "")
	}
	line(0, "# What a season can say, of itself or instead of usual practice:", "")
	for _, s := range seasonHints {
		line(0, "#     "+s, "")
	}
	line(0, fmt.Sprintf("repeat: %d", (firstSeasons+len(a.crops)-1)/len(a.crops)), "the list of seasons, so many times")
	return []byte(b.String())
}

// sayUnits writes the unit of land in which the field was said, where that is not the hectare.
func (a *answers) sayUnits(line func(indent int, text, comment string)) {
	if a.area.Ha != 1 && a.area.Name != "" {
		line(0, "units: {area: "+a.area.Name+"}", "results in acres and per acre; area_ha and costs stay per ha")
		line(0, "", "")
	}
}

// yamlText is a name as YAML reads it back: plain where that is safe, else
// between double quotes, in which YAML knows all of Go's escapes.
func yamlText(s string) string {
	for i, r := range s {
		if !unicode.IsLetter(r) && (i == 0 || !strings.ContainsRune("0123456789 -", r)) {
			return strconv.Quote(s)
		}
	}
	switch strings.ToLower(s) {
	case "yes", "no", "true", "false", "on", "off", "null", "y", "n":
		return strconv.Quote(s)
	}
	return s
}
