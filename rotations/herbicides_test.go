package rotations_test

import (
	"strings"
	"testing"

	"rundown/rotations"
)

// warned are the warnings of a plan, by code, in a sentence each.
func warned(t *testing.T, seasons string) map[string]string {
	t.Helper()
	c, m := resolve("ok", "plan.yaml", []byte(field+weed+seasons), library(t))
	if c == nil {
		t.Fatal(m.Error())
	}
	out := map[string]string{}
	for _, w := range c.Warnings {
		out[w.Code] += w.Text
	}
	return out
}

// A third spray of one active in a season is warned of, with its place; two are not, and
// three of different actives are not.
func TestThirdSprayOfOneActive(t *testing.T) {
	const stack, single = "{programme: autumn-residual-stack, days_after_drilling: 2}", "{programme: autumn-residual-single, days_after_drilling: 20}"
	season := func(sprays ...string) string {
		return "seasons: [{crop: winter-wheat, herbicides: [" + strings.Join(sprays, ", ") + "]}]\n"
	}
	w := warned(t, season(stack, single, "{programme: autumn-residual-single, days_after_drilling: 40}"))["sprayed-often"]
	if !strings.Contains(w, "third spray of residual-15-oxyacetamide in season 1 (winter-wheat) (") || strings.Contains(w, "phytoene") {
		t.Errorf("three times oxyacetamide: %q", w)
	}
	for _, sprays := range [][]string{{stack, single},
		{stack, single, "{programme: spring-contact, date: 10 Mar}", "{programme: contact-acc-cereals, date: 1 Apr}"}} {
		if w := warned(t, season(sprays...)); len(w) > 0 {
			t.Errorf("%v: %v", sprays, w)
		}
	}
}

// A burn-off that the plan writes between the sowing and the destruction of a cover is warned
// of; one before, one on the day of destruction and none are not, nor is a usual one, which is left out.
func TestBurnOffOfACover(t *testing.T) {
	season := func(sprays string) string {
		return "seasons: [{crop: spring-barley, cover: {mix: mustard, sow: 10 Sep, destroy: 25 Jan}" + sprays + "}]\n"
	}
	for sprays, where := range map[string]string{
		"":                             "",
		", spray_off: [20 Oct]":        "20 Oct 2026 (",
		", spray_off: [1 Sep, 24 Jan]": "24 Jan 2027 (",
		", spray_off: [{days_before_drilling: 60}]": "17 Jan 2027 (",
		", spray_off: [1 Sep]":                      "",
		", spray_off: [25 Jan]":                     "",
		", spray_off: []":                           "",
	} {
		got := warned(t, season(sprays))["cover-sprayed-off"]
		if where == "" && got != "" || !strings.Contains(got, where) {
			t.Errorf("%q: %q, want %q", sprays, got, where)
		}
	}
}

// Usual work that would end a cover is left out, with a note that says why; usual work before
// the sowing and after the destruction stays, and so does what the plan writes itself.
func TestUsualWorkSparesACover(t *testing.T) {
	season := func(cover, own string) string {
		return "seasons: [{crop: spring-barley, cover: {mix: mustard, " + cover + "}" + own + "}]\n"
	}
	for _, x := range []struct {
		cover, own string
		notes      []string
		work       string // of the season, without that after drilling
	}{
		{"sow: 1 Sep, destroy: 15 Feb", "", []string{"spray on 20 Oct 2026"}, "25 Aug 2026 shallow-disc, 17 Mar 2027 spray-off"},
		{"sow: 15 Aug, destroy: 15 Feb", "", []string{"spray on 20 Oct 2026", "cultivation on 25 Aug 2026"}, "17 Mar 2027 spray-off"},
		{"sow: 25 Aug, destroy: 20 Oct", "", nil, "25 Aug 2026 shallow-disc, 20 Oct 2026 spray-off, 17 Mar 2027 spray-off"},
		{"sow: 1 Sep, destroy: 18 Mar", "", []string{"spray on 20 Oct 2026", "spray on 17 Mar 2027"}, "25 Aug 2026 shallow-disc"},
		{"sow: 15 Aug, destroy: 15 Feb", ", spray_off: [20 Oct], cultivate: [{date: 25 Aug, with: tine-10}]", nil,
			"25 Aug 2026 tine-10, 20 Oct 2026 spray-off"},
		{"sow: 21 Oct, destroy: 15 Feb", "", nil, "25 Aug 2026 shallow-disc, 20 Oct 2026 spray-off, 17 Mar 2027 spray-off"},
	} {
		c, m := resolve("ok", "cover", []byte(field+weed+season(x.cover, x.own)), library(t))
		if c == nil {
			t.Fatal(m.Error())
		}
		if len(c.Notes) != len(x.notes) {
			t.Errorf("%s%s: notes %q, want of %q", x.cover, x.own, c.Notes, x.notes)
			continue
		}
		for i, n := range x.notes {
			if !strings.Contains(c.Notes[i], n+" would end the cover") {
				t.Errorf("%s: note %q, want %q", x.cover, c.Notes[i], n)
			}
		}
		var work []string
		for _, o := range c.Seasons[0].Courses[0].Operations {
			if o.Action == rotations.SprayOff || o.Action == rotations.Cultivate {
				work = append(work, o.On.Short()+" "+o.With.Name)
			}
		}
		if got := strings.Join(work, ", "); got != x.work {
			t.Errorf("%s%s: %s, want %s", x.cover, x.own, got, x.work)
		}
	}
}

// What the program brings along warns of nothing.
func TestShippedPlansWarnOfNothing(t *testing.T) {
	lib := library(t)
	for _, name := range rotations.ReadyMade() {
		c, m := resolve("ok", name, []byte(field+weed+"rotation: "+name+"\n"), lib)
		if c == nil {
			t.Fatal(m.Error())
		}
		if len(c.Warnings) > 0 {
			t.Errorf("%s: %v", name, c.Warnings)
		}
	}
}

// The usual practice of every crop sprays what its own table says is used in it, which a
// plan is not asked, since what a crop usually gets is used in it.
func TestUsualHerbicidesFit(t *testing.T) {
	lib := library(t)
	for _, name := range lib.Names("crops") {
		c, m := resolve("ok", name, []byte(field+weed+"seasons: [{crop: "+name+"}]\n"), lib)
		if c == nil {
			t.Fatal(m.Error())
		}
		for _, o := range c.Seasons[0].Courses[0].Operations {
			if o.Action != rotations.Herbicide {
				continue
			}
			crops, _ := lib.CropsOf(o.With)
			if !strings.Contains(" "+strings.Join(crops, " ")+" ", " "+name+" ") {
				t.Errorf("%s is usually sprayed with %s, which is used in %v", name, o.With.Name, crops)
			}
		}
	}
}
