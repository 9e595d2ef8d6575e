package planner

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"rundown/params/sheet"
)

var (
	itemForm = regexp.MustCompile(`^(cultivate|spray_off|herbicides|in_crop)\[([0-9]{1,3})\]$`)
	keyForm  = regexp.MustCompile(`^(drill\.(date|latest|with|seeds_per_m2)|cover\.(sow|destroy|mix|destroy_with|latest)|` +
		`otherwise|cover|years|cultivar_factor|cultivate|spray_off|herbicides|in_crop)$`)
)

// item is an entry of a list of work, after the list has been written into the plan.
func (e *editor) item(mark string) (path string, v *sheet.Value, err error) {
	m := itemForm.FindStringSubmatch(mark)
	if m == nil {
		return "", nil, fmt.Errorf("there is no work %q", mark)
	}
	n, _ := strconv.Atoi(m[2]) // three digits
	if n, err = e.writeList(m[1], n); err != nil {
		return "", nil, err
	}
	full := e.plan.plan.FilledEntry(e.plan.library, e.entry)
	list := full.List(m[1])
	if n >= len(list) {
		return "", nil, errors.New("this work is not there any more")
	}
	return fmt.Sprintf("%s.%s[%d]", e.at(), m[1], n), list[n], nil
}

// writeList writes a list of usual practice into the plan, for it is a whole that counts: the
// plan's own or the usual one. What of it does not fit the season, and was left out, stays
// out. It gives the place of one of its entries in what was written.
func (e *editor) writeList(name string, n int) (int, error) {
	full := e.plan.plan.FilledEntry(e.plan.library, e.entry)
	v := full.Get(name)
	if full == nil || v == nil || strings.HasPrefix(v.Path, "seasons[") {
		return n, nil
	}
	fits := e.usualThatFits(name)
	var parts []string
	at := n
	for i, x := range v.List {
		if fits != nil && !fits[i] {
			if i < n {
				at--
			}
			continue
		}
		parts = append(parts, sheet.Flow(x.Node))
	}
	if err := e.put([]string{e.at(), name}, "["+strings.Join(parts, ", ")+"]"); err != nil {
		return 0, err
	}
	return at, e.again()
}

// usualThatFits tells which entries of a usual list are in the calendar; nil where there is none.
func (e *editor) usualThatFits(name string) map[int]bool {
	c := e.plan.Calendar
	if c == nil {
		return nil
	}
	out := map[int]bool{}
	for i := range c.Seasons {
		if c.Written(i).Path != e.at() {
			continue
		}
		for _, o := range c.Seasons[i].Courses[0].Operations {
			if rest, ok := strings.CutPrefix(o.Path, "usual."+name+"["); ok {
				n, err := strconv.Atoi(strings.TrimSuffix(rest, "]"))
				out[n] = out[n] || err == nil
			}
		}
	}
	return out
}

// place puts a mark on another day, in the way in which the plan tells it.
func (e *editor) place(c change) error {
	if !strings.Contains(c.Mark, "[") {
		return e.placeKey(c)
	}
	path, v, err := e.item(c.Mark)
	if err != nil {
		return err
	}
	if v.Map == nil {
		return e.splice(sheet.Edit{Path: path, To: dateText(c.Day, v.Date.Full)})
	}
	for key, sign := range map[string]int{"days_after_drilling": 1, "days_before_drilling": -1, "days_after_harvest": 1} {
		if v.Map.Said(key) {
			n := max(sign*(c.Day-c.Ref), 0)
			if key == "days_after_harvest" {
				n = max(n, 1)
			}
			return e.splice(sheet.Edit{Path: path + "." + key, To: strconv.Itoa(n)})
		}
	}
	d := v.Map.Get("date")
	return e.splice(sheet.Edit{Path: path + ".date", To: dateText(c.Day, d != nil && d.Date.Full)})
}

func (e *editor) placeKey(c change) error {
	if !keyForm.MatchString(c.Mark) {
		return fmt.Errorf("there is no day %q", c.Mark)
	}
	section, key, _ := strings.Cut(c.Mark, ".")
	holder := e.plan.plan.FilledEntry(e.plan.library, e.entry).Map(section)
	if section == "cover" && key == "sow" && holder.Said("days_after_harvest") {
		return e.put([]string{e.at(), "cover", "days_after_harvest"}, strconv.Itoa(max(c.Day-c.Ref, 1)))
	}
	full := false
	if v := holder.Get(key); v != nil {
		full = v.Date.Full
	}
	return e.put([]string{e.at(), section, key}, dateText(c.Day, full))
}

// use says with what a piece of work is done.
func (e *editor) use(c change) error {
	if !strings.Contains(c.Mark, "[") {
		return e.put([]string{e.at(), "drill", "with"}, written(c.Value))
	}
	path, v, err := e.item(c.Mark)
	if err != nil {
		return err
	}
	key := "with"
	if strings.HasPrefix(c.Mark, "herbicides") {
		key = "programme"
	}
	if v.Map == nil {
		return e.splice(sheet.Edit{Path: path, To: "{date: " + v.Text + ", with: " + written(c.Value) + "}"})
	}
	return e.splice(sheet.Edit{Path: path + "." + key, To: written(c.Value)})
}

// putKey sets a key of a season; nil takes it out.
func (e *editor) putKey(c change) error {
	if !keyForm.MatchString(c.Key) {
		return fmt.Errorf("%q is not set here", c.Key)
	}
	keys := append([]string{e.at()}, strings.Split(c.Key, ".")...)
	if c.Value == nil {
		return e.splice(sheet.Edit{Do: sheet.Remove, Path: pathOf(keys)})
	}
	return e.put(keys, written(c.Value))
}

// add adds a piece of work to a list.
func (e *editor) add(c change) error {
	if !itemForm.MatchString(c.Key + "[0]") {
		return fmt.Errorf("there is no list %q", c.Key)
	}
	if _, err := e.writeList(c.Key, 0); err != nil {
		return err
	}
	own := e.plan.plan.FilledEntry(e.plan.library, e.entry)
	if v := own.Get(c.Key); v != nil {
		return e.splice(sheet.Edit{Do: sheet.Insert, Path: e.at() + "." + c.Key, At: len(v.List), To: written(c.Value)})
	}
	return e.put([]string{e.at(), c.Key}, "["+written(c.Value)+"]")
}

// drop takes a piece of work, or the cover, out.
func (e *editor) drop(c change) error {
	if strings.HasPrefix(c.Mark, "cover") {
		return e.splice(sheet.Edit{Do: sheet.Remove, Path: e.at() + ".cover"})
	}
	path, _, err := e.item(c.Mark)
	if err != nil {
		return err
	}
	return e.splice(sheet.Edit{Do: sheet.Remove, Path: path})
}

// crop changes the crop of a season. What the season says of the old crop's work stays as far
// as it fits the new one: as little as can be is left to usual practice. Where no step mends all,
// as where the next season's work comes too early behind the new harvest, the step stands that
// mends most, and the page shows what is left at its mark.
func (e *editor) crop(c change) error {
	if err := e.put([]string{e.at(), "crop"}, written(c.Value)); err != nil {
		return err
	}
	kept := e.text
	var best []byte
	fewest := math.MaxInt
	for n := range len(unfit) + 1 {
		e.text = kept
		for _, key := range slices.Concat(unfit[:n]...) {
			err := e.splice(sheet.Edit{Do: sheet.Remove, Path: e.at() + "." + key})
			var no *sheet.Refused
			if err != nil && !errors.As(err, &no) {
				return err
			}
		}
		if err := e.again(); err != nil {
			return err
		}
		left := len(e.plan.Mistakes)
		if left == 0 {
			return nil
		}
		if left < fewest {
			best, fewest = e.text, left
		}
	}
	e.text = best
	return e.again()
}

// unfit is what another crop leaves of a season's own work, step by step.
var unfit = [][]string{{"herbicides", "in_crop"}, {"drill"}, {"otherwise"}, {"spray_off", "cultivate"}, {"years"}, {"cover"}}
