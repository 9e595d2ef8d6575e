package planner

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"rundown/params/sheet"
	"rundown/rotations"
)

// change is one change that the page asks for.
type change struct {
	Do    string // set, repeat; of a season: place, use, put, add, drop, crop, grow, copy, remove, earlier, later
	Path  string // of a set: field.soil; else of the season: seasons[1], or rotation.seasons[1]
	Entry int    // of the season in the list written out
	Alone bool   // this one season, not every one that is written there
	Mark  string // drill.date, herbicides[0]
	Day   int
	Ref   int    // the day that the mark's is counted from
	Key   string // of a put: otherwise, cover, drill.with
	Value any    // nil takes it out
}

// edit makes a change and gives the new text.
func (s *Server) edit(w http.ResponseWriter, r *http.Request) {
	var in struct {
		Name, Text string
		Change     change
	}
	if !taken(w, r, &in) {
		return
	}
	p, err := s.read(in.Name, []byte(in.Text), nil)
	if err != nil {
		answer(w, http.StatusInternalServerError, map[string]any{"text": err.Error()})
		return
	}
	e := &editor{server: s, plan: p, text: p.Text}
	if err := e.make(in.Change); err != nil {
		out := map[string]any{"text": err.Error()}
		var no *sheet.Refused
		if errors.As(err, &no) {
			out = map[string]any{"text": no.Text, "line": no.Place.Line, "column": no.Place.Column}
		}
		answer(w, http.StatusConflict, out)
		return
	}
	answer(w, http.StatusOK, map[string]any{"text": string(e.text)})
}

// editor makes a change as splices, one after the other.
type editor struct {
	server *Server
	plan   *Plan
	text   []byte
	entry  int // of the season in the plan's own list
}

// splice makes one edit of the text.
func (e *editor) splice(x sheet.Edit) error {
	out, _, err := sheet.Change(e.plan.Name, e.text, x)
	if err == nil {
		e.text = out
	}
	return err
}

// again reads the plan after an edit.
func (e *editor) again() (err error) {
	e.plan, err = e.server.read(e.plan.Name, e.text, nil)
	if err == nil && e.plan.plan == nil {
		err = errors.New("the text cannot be read any more")
	}
	return err
}

func (e *editor) make(c change) error {
	if e.plan.plan == nil {
		return errors.New("the text cannot be read as YAML; mend it first")
	}
	switch c.Do {
	case "set":
		return e.set(c.Path, c.Value)
	case "repeat":
		n, ok := c.Value.(float64)
		if !ok || n < 1 || n > 60 {
			return errors.New("write how many times, from 1 to 60")
		}
		return e.put([]string{"repeat"}, sheet.Plain(n))
	}
	if err := e.own(c); err != nil {
		return err
	}
	switch c.Do {
	case "place":
		return e.place(c)
	case "use":
		return e.use(c)
	case "put":
		return e.putKey(c)
	case "add":
		return e.add(c)
	case "drop":
		return e.drop(c)
	case "crop":
		return e.crop(c)
	case "grow":
		return e.splice(sheet.Edit{Do: sheet.Insert, Path: "seasons", At: e.entry + 1, To: "crop: " + written(c.Value)})
	case "copy":
		return e.splice(sheet.Edit{Do: sheet.Copy, Path: e.at()})
	case "remove":
		return e.splice(sheet.Edit{Do: sheet.Remove, Path: e.at()})
	case "earlier", "later":
		to := e.entry - 1
		if c.Do == "later" {
			to = e.entry + 1
		}
		return e.splice(sheet.Edit{Do: sheet.Move, Path: e.at(), At: to})
	}
	return fmt.Errorf("there is no change %q", c.Do)
}

func (e *editor) at() string { return fmt.Sprintf("seasons[%d]", e.entry) }

var entryForm = regexp.MustCompile(`^(rotation\.)?seasons\[([0-9]{1,2})\]$`)

// own finds the season that a change is about in the plan's own list, which is written out
// where it is not there: that of a ready-made rotation, or of a list that is repeated when
// one season alone changes.
func (e *editor) own(c change) error {
	m := entryForm.FindStringSubmatch(c.Path)
	if m == nil {
		return fmt.Errorf("%q is no season", c.Path)
	}
	e.entry, _ = strconv.Atoi(m[2]) // two digits
	if m[1] != "" {
		if err := e.writeRotation(); err != nil {
			return err
		}
	}
	root := e.plan.plan.Root
	if repeat := int(root.Number("repeat", 1)); c.Alone && repeat > 1 {
		if err := e.splice(sheet.Edit{Do: sheet.Repeat, Path: "seasons", At: repeat}); err != nil {
			return err
		}
		if err := e.splice(sheet.Edit{Do: sheet.Remove, Path: "repeat"}); err != nil {
			return err
		}
		e.entry = c.Entry
		return e.again()
	}
	return nil
}

// writeRotation writes the seasons of a ready-made rotation into the plan, as they are written.
func (e *editor) writeRotation() error {
	root := e.plan.plan.Root
	lines, repeat := rotations.ReadyMadeSeasons(root.Text("rotation"))
	if lines == "" {
		return errors.New("the rotation is not known")
	}
	if repeat > 1 && !root.Said("repeat") {
		lines = strings.TrimRight(lines, "\n") + fmt.Sprintf("\nrepeat: %d\n", repeat)
	}
	if err := e.splice(sheet.Edit{Do: sheet.Lines, Path: "rotation", To: lines}); err != nil {
		return err
	}
	return e.again()
}

// put sets a value; what should hold it and is not there is put in too.
func (e *editor) put(keys []string, to string) error {
	for n := len(keys) - 1; n >= 0; n-- {
		if n > 0 && !e.there(keys[:n]) {
			to = "{" + sheet.Written(keys[n]) + ": " + to + "}"
			continue
		}
		return e.splice(sheet.Edit{Path: pathOf(keys[:n+1]), To: to, Order: orderOf(keys[:n])})
	}
	return nil
}

// there tells whether the plan, as it was read last, has something under keys.
func (e *editor) there(keys []string) bool {
	m := e.plan.plan.Root
	for i, k := range keys {
		if at := entryForm.FindStringSubmatch(k); i == 0 && at != nil {
			list, n := m.List("seasons"), e.entry
			if n >= len(list) {
				return false
			}
			m = list[n].Map
			continue
		}
		v := m.Get(k)
		if v == nil || v.Map == nil {
			return false
		}
		m = v.Map
	}
	return m != nil
}

// pathOf writes keys as a path. The first may be a season's.
func pathOf(keys []string) string {
	var out []string
	for i, k := range keys {
		if i > 0 && strings.ContainsAny(k, ".[\"") {
			k = `"` + k + `"`
		}
		out = append(out, k)
	}
	return strings.Join(out, ".")
}

// orderOf is the order of the keys of a holder.
func orderOf(holder []string) []string {
	switch {
	case len(holder) == 0:
		return rotations.PlanKeys("")
	case len(holder) == 1 && entryForm.MatchString(holder[0]):
		return rotations.SeasonKeys()
	case len(holder) == 1:
		return rotations.PlanKeys(holder[0])
	}
	return nil
}

// set sets a key of the field, the weed or the money; nil takes it out.
func (e *editor) set(path string, to any) error {
	keys := strings.Split(path, ".")
	if len(keys) > 3 || !slices.Contains([]string{"field", "weed", "economics", "about"}, keys[0]) {
		return fmt.Errorf("%q is not set here", path)
	}
	if to == nil {
		return e.splice(sheet.Edit{Do: sheet.Remove, Path: path})
	}
	return e.put(keys, written(to))
}

var plainDate = regexp.MustCompile(`^([0-9]{4}-[0-9]{2}-[0-9]{2}|[0-9]{1,2} [A-Z][a-z]{2}|[0-9]{1,3})$`)

// written writes a value that the page sent as YAML on one line.
func written(v any) string {
	switch v := v.(type) {
	case nil:
		return "null"
	case string:
		if plainDate.MatchString(v) {
			return v
		}
		return sheet.Written(v)
	case float64:
		return sheet.Plain(v)
	case int:
		return strconv.Itoa(v)
	case []any:
		var parts []string
		for _, x := range v {
			parts = append(parts, written(x))
		}
		return "[" + strings.Join(parts, ", ") + "]"
	case map[string]any:
		return flowOf(v)
	}
	data, _ := json.Marshal(v) // yes and no
	return string(data)
}

// firstKeys stand first in what is written on one line.
var firstKeys = []string{"programme", "mix", "low", "date", "days_after_drilling", "days_before_drilling",
	"days_after_harvest", "sow", "destroy", "with", "latest"}

func flowOf(m map[string]any) string {
	var keys, parts []string
	for k := range m {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, func(a, b string) int {
		i, j := slices.Index(firstKeys, a), slices.Index(firstKeys, b)
		if i < 0 {
			i = len(firstKeys)
		}
		if j < 0 {
			j = len(firstKeys)
		}
		if i != j {
			return i - j
		}
		return strings.Compare(a, b)
	})
	for _, k := range keys {
		parts = append(parts, written(k)+": "+written(m[k]))
	}
	return "{" + strings.Join(parts, ", ") + "}"
}
