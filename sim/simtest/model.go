// Package simtest makes models of plans written as text, for the tests of the
// engine and of what uses it. Nothing but tests imports it.
package simtest

import (
	"io"
	"strings"
	"testing"

	"rundown/params"
	"rundown/params/sheet"
	"rundown/rotations"
	"rundown/sim"
)

// Calendar resolves a plan's text against a library; a mistake in either ends the test.
func Calendar(t testing.TB, lib *params.Library, text string) *rotations.Calendar {
	t.Helper()
	return WithWeather(t, lib, text, "")
}

// WithWeather resolves a plan that names a weather file, which holds a record;
// without a record files are those of the disk.
func WithWeather(t testing.TB, lib *params.Library, text, record string) *rotations.Calendar {
	t.Helper()
	var m sheet.Mistakes
	var c *rotations.Calendar
	if plan := rotations.Read("plan.yaml", []byte(text), &m); plan != nil && m.Len() == 0 {
		if record != "" {
			plan.Open = func(string) (io.ReadCloser, error) { return io.NopCloser(strings.NewReader(record)), nil }
		}
		c = plan.Resolve(lib, &m)
	}
	if m.Len() > 0 {
		t.Fatalf("%v\n%s", m.Error(), text)
	}
	return c
}

// Library is the one that the program carries.
func Library(t testing.TB) *params.Library {
	t.Helper()
	lib, err := params.Load()
	if err != nil {
		t.Fatal(err)
	}
	return lib
}

// Model makes a model of a plan's text.
func Model(t testing.TB, text string) *sim.Model {
	t.Helper()
	m, err := sim.New(Calendar(t, Library(t), text))
	if err != nil {
		t.Fatal(err)
	}
	return m
}
