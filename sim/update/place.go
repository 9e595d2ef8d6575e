package update

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"strings"
	"unicode/utf8"
)

// noNumber is what stands where a number should.
type noNumber struct{ found string }

func (e *noNumber) Error() string { return "found " + e.found + " where a number was expected" }

// clip keeps what a message repeats of a file to a part of a line.
func clip(s string) string {
	const most = 60
	if utf8.RuneCountInString(s) <= most {
		return s
	}
	return string([]rune(s)[:most]) + "…"
}

const noPosterior = "it is no posterior: it holds %s; expected a file that 'rundown update PLAN COUNTS --posterior FILE' wrote"

// Misread is what is wrong at one place of a file.
type Misread struct {
	Line, Column int // from 1
	What         string
}

func (e *Misread) Error() string {
	return fmt.Sprintf("line %d, column %d: %s", e.Line, e.Column, e.What)
}

// place puts a complaint of the reader of JSON into words, with its line and column
// and the key.
func place(data []byte, err error) error {
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	var number *noNumber
	switch {
	case len(bytes.TrimSpace(data)) == 0:
		return errors.New("the file is empty")
	case errors.As(err, &syntax) && (syntax.Offset >= int64(len(data)) || errors.Is(err, io.ErrUnexpectedEOF)):
		return misread(data, int64(len(data)), "the file ends early: it was cut short, or is still being written; copy it again, or make it "+
			"anew with 'rundown update'")
	case errors.As(err, &syntax):
		found, _, _ := strings.Cut(strings.TrimPrefix(syntax.Error(), "invalid character "), " in ")
		found, _, _ = strings.Cut(found, " looking for")
		found, _, _ = strings.Cut(found, " after")
		return misread(data, syntax.Offset-1, "found %s where a number, text or list of JSON was expected (NaN and infinities are no numbers here)", clip(found))
	case errors.As(err, &kind) && kind.Field == "":
		return fmt.Errorf(noPosterior, inWords(kind.Value))
	case errors.As(err, &kind):
		fields := strings.Split(kind.Field, ".")
		return misread(data, kind.Offset-1, "%q is %s, expected %s", fields[len(fields)-1], inWords(kind.Value), typeInWords(kind.Type))
	case errors.As(err, &number):
		key, at := find(data, func(key string, t json.Token, isKey bool) bool {
			x, ok := t.(json.Number)
			if ok {
				_, bad := x.Float64()
				ok = bad == nil
			}
			bracket, opens := t.(json.Delim)
			list := opens && key != "weight" && (bracket == '[' || bracket == ']')
			return !isKey && numeric[key] && !ok && !list
		})
		return misread(data, at, "%q holds %s where a number was expected", key, number.found)
	case strings.Contains(err.Error(), "unknown field"):
		key, at := find(data, func(_ string, t json.Token, isKey bool) bool {
			name, _ := t.(string)
			return isKey && strings.Contains(err.Error(), fmt.Sprintf("%q", name))
		})
		return misread(data, at, "unknown field %q; a posterior has none of that name", clip(key))
	}
	return errors.New(clip(strings.TrimPrefix(err.Error(), "json: ")))
}

// numeric are the keys that hold numbers which null or a text is not taken for.
var numeric = map[string]bool{"weight": true, "theta": true, "seen": true, "per_m2": true}

// misread is a complaint of a byte.
func misread(data []byte, at int64, format string, args ...any) error {
	before := data[:min(max(at, 0), int64(len(data)))]
	return &Misread{1 + bytes.Count(before, []byte("\n")), 1 + utf8.RuneCount(before[1+bytes.LastIndexByte(before, '\n'):]), fmt.Sprintf(format, args...)}
}

// find walks through a file that is JSON and gives the first token that matches: the
// key that it is, or belongs to, and where it begins.
func find(data []byte, match func(key string, t json.Token, isKey bool) bool) (key string, at int64) {
	type level struct {
		list    bool
		key     string
		wantKey bool
	}
	stack := []level{{list: true}}
	d := json.NewDecoder(bytes.NewReader(data))
	d.UseNumber()
	for {
		from := d.InputOffset()
		t, err := d.Token()
		if err != nil {
			return "", from
		}
		top := &stack[len(stack)-1]
		isKey := !top.list && top.wantKey
		if name, ok := t.(string); ok && isKey {
			top.key = name
		}
		if match(top.key, t, isKey) {
			skipped := int64(len(data[from:]) - len(bytes.TrimLeft(data[from:], " \t\r\n,:")))
			return top.key, from + skipped
		}
		top.wantKey = !isKey
		switch bracket, _ := t.(json.Delim); bracket {
		case '{', '[':
			stack = append(stack, level{list: bracket == '[', key: top.key, wantKey: bracket == '{'})
		case '}', ']':
			if stack = stack[:len(stack)-1]; len(stack) == 0 {
				return "", from
			}
			stack[len(stack)-1].wantKey = true
		}
	}
}

// inWords is what the reader of JSON found.
func inWords(value string) string {
	what, rest, _ := strings.Cut(value, " ")
	switch what {
	case "object":
		return "a mapping"
	case "array":
		return "a list"
	case "string":
		return "a text"
	case "bool":
		return "true or false"
	case "number":
		return strings.TrimSpace("the number " + clip(rest))
	}
	return clip(value)
}

// typeInWords is what a key takes.
func typeInWords(t reflect.Type) string {
	switch t.Kind() {
	case reflect.String:
		return "a text"
	case reflect.Slice, reflect.Array:
		return "a list"
	case reflect.Struct, reflect.Map:
		return "a mapping"
	case reflect.Uint, reflect.Uint32, reflect.Uint64:
		return "a whole number from 0, not too large"
	}
	return "a number"
}
