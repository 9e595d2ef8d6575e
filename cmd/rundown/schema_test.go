package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// schema checks values against a JSON Schema. It knows the words of draft
// 2020-12 that the schemas of testdata/schema use (JSON Schema Validation,
// sections 6.1 to 6.5; Core, sections 8.2 and 10) and refuses any other, so
// that no word is passed over in silence.
type schema struct {
	root map[string]any
}

func readSchema(t *testing.T, file string) *schema {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return parseSchema(t, data)
}

func parseSchema(t *testing.T, data []byte) *schema {
	t.Helper()
	s := &schema{}
	if err := json.Unmarshal(data, &s.root); err != nil {
		t.Fatal(err)
	}
	return s
}

// check is what is wrong with a value, "" when nothing is.
func (s *schema) check(rule, value any, path string) string {
	if yes, ok := rule.(bool); ok {
		return unless(yes, path, "is not allowed")
	}
	for word, want := range rule.(map[string]any) {
		if wrong := s.word(word, want, rule.(map[string]any), value, path); wrong != "" {
			return wrong
		}
	}
	return ""
}

func unless(ok bool, path, format string, args ...any) string {
	if ok {
		return ""
	}
	return path + " " + fmt.Sprintf(format, args...)
}

func (s *schema) word(word string, want any, rule map[string]any, value any, path string) string {
	object, isObject := value.(map[string]any)
	list, isList := value.([]any)
	number, isNumber := value.(float64)
	text, isText := value.(string)
	switch word {
	case "$schema", "title", "description", "$defs":
		return ""
	case "$ref":
		return s.check(s.root["$defs"].(map[string]any)[strings.TrimPrefix(want.(string), "#/$defs/")], value, path)
	case "const":
		return unless(reflect.DeepEqual(want, value), path, "is %v, not %v", value, want)
	case "type":
		return unless(hasType(want, value), path, "is %v, not of type %v", value, want)
	case "minimum":
		return unless(!isNumber || number >= want.(float64), path, "is %v, below %v", value, want)
	case "maximum":
		return unless(!isNumber || number <= want.(float64), path, "is %v, above %v", value, want)
	case "minLength":
		return unless(!isText || len([]rune(text)) >= int(want.(float64)), path, "is too short")
	case "pattern":
		return unless(!isText || regexp.MustCompile(want.(string)).MatchString(text), path, "is %q, not like %v", text, want)
	case "minItems":
		return unless(!isList || len(list) >= int(want.(float64)), path, "has too few items")
	case "items":
		for i, v := range list {
			if wrong := s.check(want, v, fmt.Sprintf("%s[%d]", path, i)); wrong != "" {
				return wrong
			}
		}
		return ""
	case "required":
		for _, key := range want.([]any) {
			if _, has := object[key.(string)]; isObject && !has {
				return path + " has no " + key.(string)
			}
		}
		return ""
	case "properties", "additionalProperties":
		return s.members(word, want, rule, object, path)
	case "anyOf", "oneOf":
		return s.choices(word, want.([]any), value, path)
	}
	return "the schema word " + word + " is not known"
}

func (s *schema) members(word string, want any, rule, object map[string]any, path string) string {
	named, _ := rule["properties"].(map[string]any)
	for key, v := range object {
		sub, has := named[key]
		if word == "additionalProperties" {
			if has {
				continue
			}
			sub = want
		} else if !has {
			continue
		}
		if wrong := s.check(sub, v, path+"."+key); wrong != "" {
			return wrong
		}
	}
	return ""
}

func (s *schema) choices(word string, forms []any, value any, path string) string {
	var reasons []string
	for _, form := range forms {
		if wrong := s.check(form, value, path); wrong != "" {
			reasons = append(reasons, wrong)
		}
	}
	fit := len(forms) - len(reasons)
	return unless(fit == 1 || fit > 1 && word == "anyOf", path, "fits %d of %d forms: %v", fit, len(forms), reasons)
}

func hasType(want, value any) bool {
	if many, ok := want.([]any); ok {
		return slices.ContainsFunc(many, func(w any) bool { return hasType(w, value) })
	}
	switch v := value.(type) {
	case nil:
		return want == "null"
	case bool:
		return want == "boolean"
	case string:
		return want == "string"
	case float64:
		return want == "number" || want == "integer" && v == math.Trunc(v)
	case []any:
		return want == "array"
	}
	return want == "object"
}

// The checker itself, on cases of JSON Schema's own rules.
func TestSchemaChecker(t *testing.T) {
	s := parseSchema(t, []byte(`{"type": "object", "required": ["n"], "additionalProperties": false,
		"properties": {"n": {"type": "integer", "minimum": 1}, "q": {"oneOf": [{"type": "null"}, {"$ref": "#/$defs/d"}]}, "l": {"items": {"const": 2}}},
		"$defs": {"d": {"type": "string", "pattern": "^a"}}}`))
	for text, ok := range map[string]bool{
		`{"n": 1}`: true, `{"n": 1.0, "q": null, "l": [2, 2]}`: true, `{"n": 1, "q": "ab"}`: true,
		`{}`: false, `{"n": 0}`: false, `{"n": 1.5}`: false, `{"n": 1, "x": 1}`: false, `{"n": 1, "q": "b"}`: false,
		`{"n": 1, "l": [2, 3]}`: false, `[]`: false, `{"n": "1"}`: false,
	} {
		var v any
		if err := json.Unmarshal([]byte(text), &v); err != nil {
			t.Fatal(err)
		}
		if wrong := s.check(s.root, v, "$"); (wrong == "") != ok {
			t.Errorf("%s: %q, want accepted %v", text, wrong, ok)
		}
	}
}
