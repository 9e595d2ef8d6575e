package rotations

import (
	"bufio"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"

	"rundown/params"
	"rundown/params/date"
	"rundown/params/sheet"
)

// Write writes the plan out in full, every default and every year filled in. It
// can be read as a plan and then gives the same calendar.
func (c *Calendar) Write(w io.Writer) error { return c.write(w, false) }

// WriteFull is Write with a comment on each line that says where it comes from,
// and all values of the library that the plan uses, as comments.
func (c *Calendar) WriteFull(w io.Writer) error { return c.write(w, true) }

// scribe writes lines of a plan; out keeps the first error until Flush.
type scribe struct {
	out  *bufio.Writer
	full bool
}

// line writes a line, with a note on its origin in the full form.
func (s *scribe) line(indent int, text, origin string) {
	text = strings.Repeat("  ", indent) + text
	if s.full && origin != "" {
		text = fmt.Sprintf("%-66s # %s", text, origin)
	}
	fmt.Fprintln(s.out, text)
}

func (c *Calendar) write(w io.Writer, full bool) error {
	s := &scribe{bufio.NewWriter(w), full}
	root := c.plan.Root
	s.line(0, "# "+c.heading(), "")
	for _, n := range c.Notes {
		s.line(0, "# note: "+n, "")
	}
	for _, w := range c.Warnings {
		s.line(0, "# warning: "+w.Text, "")
	}
	s.line(0, fmt.Sprintf("format: %d", format), "")
	if root.Has("about") {
		s.line(0, "about: "+text(root.Text("about")), root.Get("about").Place.String())
	}
	if root.Has("library") {
		s.line(0, "library: "+text(root.Text("library")), root.Get("library").Place.String())
	}
	c.writeField(s, root.Map("field"))
	s.mapping(0, "weed", root.Get("weed"))
	if c.Rules != nil {
		s.mapping(0, "counting", root.Get("counting"))
	}
	s.mapping(0, "economics", root.Get("economics"))
	s.mapping(0, "units", root.Get("units"))
	s.line(0, "seasons:", "")
	if c.Rules != nil {
		c.writeRuled(s)
	} else {
		for i := range c.Seasons[:len(c.Seasons)-c.After] {
			c.writeSeason(s, &c.Seasons[i], &c.written[i])
		}
	}
	c.writeAfterwards(s)
	if full {
		c.writeValues(s)
	}
	return s.out.Flush()
}

// writeAfterwards writes what is grown behind the plan as it is written, and what a year's
// wait costs.
func (c *Calendar) writeAfterwards(s *scribe) {
	root := c.plan.Root
	if v := root.Get("afterwards"); v != nil {
		s.line(0, "afterwards:", "")
		for _, season := range v.List {
			s.line(1, "- "+asText(season), season.Place.String())
		}
	}
	if v := root.Get("discount"); v != nil {
		s.line(0, "discount: "+sheet.Plain(v.Number), v.Place.String())
	}
}

func (c *Calendar) heading() string {
	from := c.PlanFile
	if from == "" {
		from = "the starter plan"
	}
	seasons := fmt.Sprintf("%d seasons", len(c.Seasons))
	if len(c.Seasons) == 1 {
		seasons = "1 season"
	}
	return fmt.Sprintf("%s, written out from %s: %s, %s to %s", c.Name, from, seasons, c.Start.Short(), c.Seasons[len(c.Seasons)-1].End.Short())
}

func (c *Calendar) writeField(s *scribe, f *sheet.Mapping) {
	s.line(0, "field:", "")
	if !f.Has("name") {
		s.line(1, "name: "+text(c.Name), "default")
	}
	for _, name := range f.Names {
		s.mapping(1, name, f.Get(name))
	}
	for _, d := range []struct {
		key string
		e   *params.Entry
	}{{"history", c.History}, {"last_crop", c.LastCrop}} {
		if !f.Has(d.key) {
			s.line(1, d.key+": "+d.e.Name, "default")
		}
	}
	if !f.Has("work") {
		s.line(1, "work: "+work(c), "default")
	}
}

// mapping writes a value as it was written in the plan.
func (s *scribe) mapping(indent int, name string, v *sheet.Value) {
	if v == nil {
		return
	}
	if v.Map == nil || v.Key.Kind != sheet.Nested {
		s.line(indent, name+": "+flow(v), v.Place.String())
		return
	}
	s.line(indent, name+":", "")
	for _, n := range v.Map.Names {
		s.mapping(indent+1, key(n), v.Map.Get(n))
	}
}

// flow writes a value on one line.
func flow(v *sheet.Value) string {
	switch {
	case v.Range():
		return fmt.Sprintf("{low: %s, high: %s}", sheet.Plain(v.Low), sheet.Plain(v.High))
	case v.List != nil:
		return flowList(v.List)
	case v.Map != nil:
		var parts []string
		for _, n := range v.Map.Names {
			parts = append(parts, key(n)+": "+flow(v.Map.Get(n)))
		}
		return "{" + strings.Join(parts, ", ") + "}"
	}
	switch v.Key.Kind {
	case sheet.Number, sheet.Whole, sheet.Uncertain:
		return sheet.Plain(v.Number)
	case sheet.Text:
		return text(v.Text)
	}
	return v.Text
}

var (
	plainText = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9]*([ ./_-][A-Za-z0-9]+)*$`)
	plainKey  = regexp.MustCompile(`^[a-z0-9][a-z0-9_-]*$`)
	special   = regexp.MustCompile(`^(?i:null|true|false|yes|no|on|off|y|n)$`)
	number    = regexp.MustCompile(`^[0-9]+$`)
)

// text writes text so that YAML reads it back as text.
func text(s string) string {
	if plainText.MatchString(s) && !special.MatchString(s) {
		return s
	}
	return strconv.Quote(s)
}

func key(s string) string {
	if plainKey.MatchString(s) && !special.MatchString(s) && !number.MatchString(s) {
		return s
	}
	return strconv.Quote(s)
}

// writeValues lists every value of the library that the plan uses, with its
// spread, grade, source and origin.
func (c *Calendar) writeValues(s *scribe) {
	s.line(0, "", "")
	s.line(0, "# Values used, and where they come from:", "")
	for _, e := range c.entries {
		for _, k := range e.Keys {
			v := e.Values[k]
			if e.AboutOther(k, c.Weed) {
				continue
			}
			number := sheet.Plain(v.Central)
			switch {
			case v.Unit == "date":
				number = date.AnnualOf(int(v.Central)).String()
			case v.Row != nil:
				number = fmt.Sprintf("(%d numbers)", len(v.Row))
			}
			s.line(0, fmt.Sprintf("# %s: %s [%s], %s; %s, %s; from %s", v.Path, number, v.Unit, v.Spread, v.Grade, v.Source, v.From), "")
		}
	}
}
