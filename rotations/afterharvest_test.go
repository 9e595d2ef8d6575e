package rotations_test

import (
	"fmt"
	"strings"
	"testing"
)

// What is counted from the harvest follows the crop before, where a date breaks: 15 July
// is before winter wheat is cut, and falls out of the season after it.
func TestDaysAfterHarvestFollowTheCropBefore(t *testing.T) {
	const counted = "[{crop: %s}, {crop: spring-barley, cultivate: [{days_after_harvest: 3, with: shallow-disc}], spray_off: [{days_after_harvest: " +
		"30}], cover: {mix: mustard, days_after_harvest: 5, destroy: 20 Jan}}]\n"
	for before, want := range map[string]string{ // harvests 25 July, 12 August, 22 August; worked out by hand
		"winter-oilseed-rape": "shallow-disc 3 after harvest, 2027-07-28–2027-08-11; spray-off 30 after harvest, 2027-08-24–2027-09-03; cover 2027-07-30–2027-08-13",
		"winter-wheat":        "shallow-disc 3 after harvest, 2027-08-15–2027-08-29; spray-off 30 after harvest, 2027-09-11–2027-09-21; cover 2027-08-17–2027-08-31",
		"spring-barley":       "shallow-disc 3 after harvest, 2027-08-25–2027-09-08; spray-off 30 after harvest, 2027-09-21–2027-10-01; cover 2027-08-27–2027-09-10",
	} {
		s := calendar(t, field+weed+"seasons: "+fmt.Sprintf(counted, before)).Seasons[1]
		got := say(&s.Courses[0]) + fmt.Sprintf("; cover %s–%s", s.Cover.Sow, s.Cover.Latest)
		_, got, _ = strings.Cut(got, "; ")
		got = strings.Replace(got, "; spring-residual +2 (10)", "", 1)
		if got != want {
			t.Errorf("after %s: %s\nwant %s", before, got, want)
		}
	}
	const dated = "[{crop: %s}, {crop: spring-barley, cultivate: [{date: 28 Jul, with: shallow-disc}]}]\n"
	for before, fits := range map[string]bool{"winter-oilseed-rape": true, "winter-wheat": false} {
		c, m := resolve("ok", "plan.yaml", []byte(field+weed+"seasons: "+fmt.Sprintf(dated, before)), library(t))
		if (c != nil) != fits {
			t.Errorf("28 July after %s: accepted %v, %s", before, c != nil, m.Error())
		}
	}
}

// Before the first season stands the crop before the start; what has just gone by is done
// at the start, with a note, and a harvest that is still to come was at the start.
func TestDaysAfterTheHarvestBeforeTheStart(t *testing.T) {
	for start, want := range map[string]string{
		"2026-08-01": "2026-08-04", // off the field by the start
		"2026-08-12": "2026-08-15", // on the day of harvest
		"2026-08-14": "2026-08-15",
		"2026-09-01": "2026-09-01", // 15 August has gone by
	} {
		c := calendar(t, field+strings.Replace(weed, "2026-08-01", start,
			1)+"seasons: [{crop: winter-wheat, cultivate: [{days_after_harvest: 3, with: shallow-disc}]}]\n")
		if got := c.Seasons[0].Courses[0].Operations[0].On.String(); got != want {
			t.Errorf("start %s: on %s, want %s", start, got, want)
		}
		if moved := len(c.Notes) > 0; moved != (start == "2026-09-01") {
			t.Errorf("start %s: notes %v", start, c.Notes)
		}
	}
}
