package main

import (
	"encoding/json"
	"strings"
	"testing"

	"rundown/params"
)

func TestLibraryShowsEverything(t *testing.T) {
	library, err := params.Load()
	if err != nil {
		t.Fatal(err)
	}
	kinds := run(t, "library").stdout
	for _, kind := range params.Kinds {
		if !strings.Contains(kinds, kind+" (") {
			t.Errorf("the kinds lack %s", kind)
		}
		entries := run(t, "library", kind).stdout
		wide(t, "library "+kind, entries)
		for _, name := range library.Names(kind) {
			if !strings.Contains(entries, name) {
				t.Errorf("library %s lacks %s", kind, name)
			}
			if testing.Short() && name != library.Names(kind)[0] {
				continue
			}
			one := run(t, "library", kind, name)
			if one.code != exitDone {
				t.Errorf("library %s %s: exit %d, %s", kind, name, one.code, one.stderr)
			}
			for _, key := range library.Find(kind, name).Keys {
				if !strings.Contains(one.stdout, "\n"+key+" ") {
					t.Errorf("library %s %s lacks %s", kind, name, key)
				}
			}
		}
	}
}

func TestLibraryByCode(t *testing.T) {
	if a, b := run(t, "library", "weeds", "alomy"), run(t, "library", "weeds", "black-grass"); a != b || a.code != exitDone {
		t.Errorf("the EPPO code gives %+v", a)
	}
}

// The JSON holds every value of the library, with its grade and source.
func TestLibraryJSON(t *testing.T) {
	library, err := params.Load()
	if err != nil {
		t.Fatal(err)
	}
	var got struct {
		Format  string
		SHA256  string `json:"library_sha256"`
		Entries []struct {
			Kind, Name string
			Values     []struct{ Key, Unit, Grade, Source string }
		}
	}
	if err := json.Unmarshal([]byte(run(t, "library", "--json").stdout), &got); err != nil {
		t.Fatal(err)
	}
	values := 0
	for _, e := range got.Entries {
		for _, v := range e.Values {
			values++
			if v.Unit == "" || v.Grade == "" || v.Source == "" {
				t.Errorf("%s/%s/%s: unit %q, grade %q, source %q", e.Kind, e.Name, v.Key, v.Unit, v.Grade, v.Source)
			}
		}
	}
	want := 0
	for _, n := range params.Grades(library) {
		want += n
	}
	if got.Format != "rundown.library/1" || got.SHA256 != library.SHA256() || values != want {
		t.Errorf("format %q, hash %q, %d values; want %d", got.Format, got.SHA256, values, want)
	}
}

func TestNewThenCheck(t *testing.T) {
	inFolder(t, nil)
	if got := run(t, "new", "plan.yaml"); got.code != exitDone || !strings.Contains(got.stdout, "rundown check plan.yaml") {
		t.Fatalf("new: exit %d, %q, %q", got.code, got.stdout, got.stderr)
	}
	got := run(t, "check", "plan.yaml")
	if got.code != exitDone || !strings.Contains(got.stdout, "plan.yaml: no mistakes.") {
		t.Errorf("check: exit %d, %q", got.code, got.stderr)
	}
	wide(t, "check", got.stdout)
	full := run(t, "check", "plan.yaml", "--full")
	again := runWith(t, t.Context(), full.stdout, "check", "-")
	if full.code != exitDone || again.code != exitDone {
		t.Errorf("the plan written out in full is not a plan: exit %d, %s", again.code, again.stderr)
	}
	var schema map[string]any
	if err := json.Unmarshal([]byte(run(t, "check", "--schema").stdout), &schema); err != nil || schema["$schema"] !=
		"https://json-schema.org/draft/2020-12/schema" {
		t.Errorf("--schema: %v, %v", err, schema["$schema"])
	}
}
