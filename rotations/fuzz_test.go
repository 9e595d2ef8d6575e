package rotations_test

import (
	"bytes"
	"io"
	"path/filepath"
	"testing"

	"rundown/params/sheet"
	"rundown/rotations"
)

// FuzzPlan: whatever a plan and the weather record that it may name hold, they
// are a calendar or a list of mistakes. A calendar keeps the rules of plans and,
// written out, is read again.
func FuzzPlan(f *testing.F) {
	weather := contents(f, filepath.Join(plans, "weather.csv"))
	for _, folder := range []string{"ok", "err"} {
		for _, file := range files(f, folder) {
			f.Add(contents(f, file), weather)
		}
	}
	examples, err := filepath.Glob("../examples/*.yaml")
	if err != nil || len(examples) == 0 {
		f.Fatalf("no examples: %v", err)
	}
	for _, file := range examples {
		f.Add(contents(f, file), weather)
	}
	f.Add(rotations.Starter(), []byte(nil))
	lib := library(f)
	f.Fuzz(func(t *testing.T, data, weather []byte) {
		if bytes.Contains(data, []byte("library")) {
			t.Skip() // would read folders of this disk
		}
		var m sheet.Mistakes
		p := rotations.Read("plan.yaml", data, &m)
		if p == nil {
			if m.Len() == 0 {
				t.Fatal("nothing was read and nothing said")
			}
			said(t, &m)
			return
		}
		p.Open = func(string) (io.ReadCloser, error) { return io.NopCloser(bytes.NewReader(weather)), nil }
		c := p.Resolve(lib, &m)
		said(t, &m)
		if (c == nil) == (m.Len() == 0) {
			t.Fatalf("calendar %v, mistakes %q", c != nil, m.Error())
		}
		if c == nil {
			return
		}
		obeys(t, c)
		var text bytes.Buffer
		if err := c.Write(&text); err != nil {
			t.Fatal(err)
		}
		q := rotations.Read("plan.yaml", text.Bytes(), &m)
		if q != nil {
			q.Open = p.Open
		}
		if q == nil || q.Resolve(lib, &m) == nil {
			t.Fatalf("written out, refused:\n%s\n%s", m.Error(), text.String())
		}
	})
}

// obeys checks the rules of plans on a calendar.
func obeys(t *testing.T, c *rotations.Calendar) {
	t.Helper()
	open := c.Start
	for i, s := range c.Seasons {
		if s.Open != open || s.End <= s.Open || s.End-s.Open > 488 || s.HarvestYear != s.End.Year() {
			t.Fatalf("season %d from %s to %s, harvest %d; it should open on %s", i, s.Open, s.End, s.HarvestYear, open)
		}
		open = s.End + 1
		if last := s.Courses[len(s.Courses)-1]; last.Drill != nil {
			t.Fatalf("season %d falls back on %s, which must be drilled", i, last.Crop.Name)
		}
		if k := s.Cover; k != nil && (k.Sow < s.Open || k.Latest < k.Sow || k.Destroy <= k.Latest || s.Courses[0].Drill != nil && k.Destroy > s.Courses[0].Drill.On) {
			t.Fatalf("season %d: cover %s, %s, %s", i, k.Sow, k.Latest, k.Destroy)
		}
		for j := range s.Courses {
			course := &s.Courses[j]
			if d := course.Drill; d != nil && (d.On < s.Open || d.Latest < d.On || d.Latest-d.On > 120 || d.With == nil || d.SeedsPerM2 <= 0) {
				t.Fatalf("season %d: drilling %+v", i, d)
			}
			for _, o := range course.Operations {
				if o.With == nil {
					t.Fatalf("season %d: an operation with nothing", i)
				}
				if (o.Timing == rotations.OnDate || o.Timing == rotations.BeforeDrilling) && (o.On < s.Open || o.Latest < o.On) {
					t.Fatalf("season %d: %s on %s, latest %s", i, o.With.Name, o.On, o.Latest)
				}
				if o.Timing != rotations.OnDate && o.Timing != rotations.AfterHarvest && course.Drill == nil {
					t.Fatalf("season %d: %s counted from no drilling", i, o.With.Name)
				}
			}
		}
	}
	if len(c.Seasons) == 0 || c.Soil == nil || c.Weed == nil || (c.Heads != nil) == c.HasSeedbank {
		t.Fatal("a calendar lacks what every calendar has")
	}
}
