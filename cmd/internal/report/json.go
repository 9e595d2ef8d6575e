package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// Object is a JSON object that keeps the order of its members.
type Object []Member

// Member is one key of an Object with its value: nil, bool, int, uint64,
// float64, string, Object, Band, or a slice of Object, string or float64.
type Member = struct {
	Key   string
	Value any
}

// JSON writes an object with fixed key order and numbers in the fewest digits
// that read back the same. A number that is NaN or infinite is an error that
// names its place; nothing is written then.
func JSON(w io.Writer, o Object) error {
	e := &encoder{}
	e.value(o, "", "")
	if e.err != nil {
		return e.err
	}
	e.b.WriteByte('\n')
	_, err := w.Write(e.b.Bytes())
	return err
}

type encoder struct {
	b   bytes.Buffer
	err error
}

const indentStep = "  "

func (e *encoder) value(v any, indent, path string) {
	switch v := v.(type) {
	case nil:
		e.b.WriteString("null")
	case bool:
		e.b.WriteString(strconv.FormatBool(v))
	case int:
		e.b.WriteString(strconv.Itoa(v))
	case uint64:
		e.b.WriteString(strconv.FormatUint(v, 10))
	case float64:
		e.number(v, path)
	case string:
		e.text(v)
	case func() string: // what takes a while to find, and is found for those who read it
		e.text(v())
	case Band:
		e.band(v, path)
	case Object:
		e.object(v, indent, path)
	case []Object:
		list(e, v, indent, path)
	case []string:
		list(e, v, indent, path)
	case []float64:
		e.numbers(v, path)
	default:
		e.fail(fmt.Errorf("%s: a %T has no place in a report", path, v))
	}
}

func (e *encoder) object(o Object, indent, path string) {
	if len(o) == 0 {
		e.b.WriteString("{}")
		return
	}
	deeper := indent + indentStep
	e.b.WriteByte('{')
	for i, m := range o {
		if i > 0 {
			e.b.WriteByte(',')
		}
		e.b.WriteString("\n" + deeper)
		e.text(m.Key)
		e.b.WriteString(": ")
		e.value(m.Value, deeper, path+"."+m.Key)
	}
	e.b.WriteString("\n" + indent + "}")
}

func list[T any](e *encoder, values []T, indent, path string) {
	if len(values) == 0 {
		e.b.WriteString("[]")
		return
	}
	deeper := indent + indentStep
	e.b.WriteByte('[')
	for i, v := range values {
		if i > 0 {
			e.b.WriteByte(',')
		}
		e.b.WriteString("\n" + deeper)
		e.value(v, deeper, fmt.Sprintf("%s[%d]", path, i))
	}
	e.b.WriteString("\n" + indent + "]")
}

// numbers keep to one line.
func (e *encoder) numbers(x []float64, path string) {
	e.b.WriteByte('[')
	for i, v := range x {
		if i > 0 {
			e.b.WriteString(", ")
		}
		e.number(v, fmt.Sprintf("%s[%d]", path, i))
	}
	e.b.WriteByte(']')
}

// band keeps to one line, so that a season reads as a table.
func (e *encoder) band(b Band, path string) {
	fmt.Fprintf(&e.b, `{"n": %d`, b.N)
	for _, m := range []struct {
		key string
		x   float64
	}{{"zero", b.Zero}, {"mean", b.Mean}, {"p05", b.P05}, {"p25", b.P25}, {"p50", b.P50}, {"p75", b.P75}, {"p95", b.P95}} {
		e.b.WriteString(`, "` + m.key + `": `)
		if b.N == 0 {
			e.b.WriteString("null")
		} else {
			e.number(m.x, path+"."+m.key)
		}
	}
	e.b.WriteByte('}')
}

// number follows ECMA-404 in the shortest form that reads back exactly;
// exponents only where plain digits would be long.
func (e *encoder) number(x float64, path string) {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		e.fail(fmt.Errorf("%s is %v; a report may hold finite numbers only", path, x))
		return
	}
	e.b.WriteString(Shortest(x))
}

// shortest is the fewest digits that read back as the same number.
func Shortest(x float64) string {
	if a := math.Abs(x); a != 0 && (a < 1e-6 || a >= 1e21) {
		return strings.NewReplacer("e-0", "e-", "e+0", "e+").Replace(strconv.FormatFloat(x, 'e', -1, 64))
	}
	return strconv.FormatFloat(x+0, 'f', -1, 64) // x+0: no minus zero
}

func (e *encoder) text(s string) {
	quoted := &bytes.Buffer{}
	plain := json.NewEncoder(quoted)
	plain.SetEscapeHTML(false)
	if err := plain.Encode(s); err != nil {
		e.fail(err)
	}
	e.b.Write(bytes.TrimRight(quoted.Bytes(), "\n"))
}

func (e *encoder) fail(err error) {
	if e.err == nil {
		e.err = err
	}
}

// Object is the provenance as every command's JSON holds it.
func (p Provenance) Object() Object {
	modules := Object{}
	for _, m := range p.Modules {
		modules = append(modules, Member{m.Path, m.Version})
	}
	var commit any
	if p.Commit != "" {
		commit = p.Commit
	}
	o := Object{{"commit", commit}}
	if p.Executable != nil {
		o = append(o, Member{"executable", p.Executable})
	}
	o = append(o, Object{
		{"go", p.Go},
		{"modules", modules},
		{"plan_sha256", p.PlanSHA256},
		{"library_sha256", p.LibrarySHA256},
		{"arguments", p.Arguments},
	}...)
	if len(p.Inputs) == 0 {
		return o
	}
	files := []Object{}
	for _, x := range p.Inputs {
		files = append(files, Object{{"name", x.Name}, {"sha256", x.SHA256}})
	}
	return append(o, Member{"inputs", files})
}

// Warnings are the warnings as every command's JSON holds them; season is left
// out of those that are not about one.
func WarningObjects(warnings []Warning) []Object {
	out := []Object{}
	for _, w := range warnings {
		o := Object{{"code", w.Code}}
		if w.Season > 0 {
			o = append(o, Member{"season", w.Season})
		}
		out = append(out, append(o, Member{"text", w.Text}))
	}
	return out
}
