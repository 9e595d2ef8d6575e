package sim

import (
	"fmt"
	"reflect"

	"rundown/params"
)

// A binding fills one field of a worker's parameter structs from theta.
type binding struct {
	to *float64
	at int // index in theta
}

// binder connects the parameter structs of the parts with the library: every
// field names its key and unit in a tag, and is filled once if the value is
// fixed, or for each replicate if it is drawn.
type binder struct {
	space    *params.Space
	central  bool // take every value at its centre
	bindings []binding
	err      error // the first that failed
}

// bind fills the struct that dst points to from a library entry.
func (b *binder) bind(dst any, e *params.Entry) {
	v := reflect.ValueOf(dst).Elem()
	for i := range v.NumField() {
		f := v.Type().Field(i)
		key := f.Tag.Get("lib")
		if key == "" {
			if f.Type.Kind() == reflect.Struct {
				b.bind(v.Field(i).Addr().Interface(), e)
			}
			continue
		}
		val := e.Value(key)
		if val == nil {
			b.fail("%s/%s has no value %q", e.Kind, e.Name, key)
			continue
		}
		if unit := f.Tag.Get("unit"); unit != val.Unit {
			b.fail("%s is in %q, the model needs %q", val.Path, val.Unit, unit)
		}
		switch to := v.Field(i).Addr().Interface().(type) {
		case *float64:
			b.value(to, val)
		case *[12]float64:
			if copy(to[:], val.Row) != 12 || len(val.Row) != 12 {
				b.fail("%s has %d numbers, expected 12", val.Path, len(val.Row))
			}
		}
	}
}

// value fills one number.
func (b *binder) value(to *float64, v *params.Value) {
	*to = v.Central
	if v.Drawn() && !b.central {
		at := b.space.Index(v.Path)
		if at < 0 {
			b.fail("%s is drawn but is not in the plan's list of uncertain values", v.Path)
			return
		}
		b.bindings = append(b.bindings, binding{to, at})
	}
}

func (b *binder) fail(format string, args ...any) {
	if b.err == nil {
		b.err = fmt.Errorf(format, args...)
	}
}
