package sheet

import (
	"encoding/json"
	"reflect"
	"testing"
)

// The expected keywords are those of JSON Schema draft 2020-12 (Wright et al.,
// "JSON Schema Validation", sections 6.1–6.5).
func TestSchema(t *testing.T) {
	var s map[string]any
	if err := json.Unmarshal(Schema(farm(), nil), &s); err != nil {
		t.Fatal(err)
	}
	if s["$schema"] != "https://json-schema.org/draft/2020-12/schema" || s["additionalProperties"] != false {
		t.Error("not a schema of draft 2020-12, or one that lets unknown keys pass")
	}
	props := s["properties"].(map[string]any)
	if len(props) != len(farm().Names()) || props["zones"] != nil {
		t.Errorf("the schema has %d keys; the table %d, without what is reserved", len(props), len(farm().Names()))
	}
	field := props["field"].(map[string]any)
	for _, c := range []struct {
		why       string
		got, want any
	}{
		{"required keys", field["required"], []any{"area_ha"}},
		{"an excluded limit", field["properties"].(map[string]any)["area_ha"].(map[string]any)["exclusiveMinimum"], 0.0},
		{"a whole number", field["properties"].(map[string]any)["blocks"].(map[string]any)["type"], "integer"},
		{"an exact number of items", props["months"].(map[string]any)["maxItems"], 3.0},
		{"free keys", props["prices"].(map[string]any)["additionalProperties"].(map[string]any)["maximum"], 1000.0},
		{"a number or a range", len(props["heads"].(map[string]any)["anyOf"].([]any)), 2},
		{"no upper limit", props["heads"].(map[string]any)["anyOf"].([]any)[0].(map[string]any)["maximum"], nil},
	} {
		if !reflect.DeepEqual(c.got, c.want) {
			t.Errorf("%s: got %v, want %v", c.why, c.got, c.want)
		}
	}
}
