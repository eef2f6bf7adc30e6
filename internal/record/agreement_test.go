package record_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"

	"boltback/internal/quantity"
	"boltback/internal/record"
	"boltback/schema"
)

// shape is what a schema or a Go type says about one member.
type shape struct {
	kind      string // text, whole, list of ..., or the name of an object
	refers    string
	dimension string
}

// schemaNode is as much of JSON Schema as ours uses.
type schemaNode struct {
	Ref         string                `json:"$ref"`
	Type        string                `json:"type"`
	Const       string                `json:"const"`
	Enum        []string              `json:"enum"`
	Pattern     string                `json:"pattern"`
	Properties  map[string]schemaNode `json:"properties"`
	Items       *schemaNode           `json:"items"`
	Refers      []string              `json:"refers"`
	Dimension   string                `json:"dimension"`
	Private     bool                  `json:"private"`
	Words       []string              `json:"words"`
	Description string                `json:"description"`
	Title       string                `json:"title"`
	Examples    []json.RawMessage     `json:"examples"`
	Required    []string              `json:"required"`
	Else        *schemaNode           `json:"else"`
	Additional  *bool                 `json:"additionalProperties"`
	Defs        map[string]schemaNode `json:"$defs"`
	ID          string                `json:"$id"`
}

func load(t *testing.T, name string) schemaNode {
	t.Helper()
	text, err := schema.Text(name)
	if err != nil {
		t.Fatal(err)
	}
	var n schemaNode
	if err := json.Unmarshal(text, &n); err != nil {
		t.Fatal(err)
	}
	return n
}

// TestSchemasAndTypesAgree walks every kind in both directions: each member of the schema has a field of the same shape,
// and each field a member.
func TestSchemasAndTypesAgree(t *testing.T) {
	common := load(t, "common")
	compared := map[string]bool{}
	for _, kind := range record.Kinds() {
		t.Run(string(kind), func(t *testing.T) {
			node := load(t, string(kind))
			agree(t, string(kind), string(kind), node, reflect.TypeOf(record.New(kind)).Elem(), common, compared)
			if node.Title == "" || node.Description == "" || node.Properties["kind"].Const != string(kind) {
				t.Errorf("the schema lacks title, description or its kind")
			}
		})
	}
	for name, def := range common.Defs {
		if def.Properties != nil && !compared[name] {
			t.Errorf("common.json defines %s, and no kind uses it", name)
		}
	}
}

func agree(t *testing.T, at, kind string, node schemaNode, typ reflect.Type, common schemaNode, compared map[string]bool) {
	t.Helper()
	if node.Additional == nil || *node.Additional {
		t.Errorf("%s: the schema lets unknown members pass", at)
	}
	want, have := map[string]shape{}, map[string]shape{}
	for name, p := range node.Properties {
		want[name] = schemaShape(p, kind)
		if p.Description == "" {
			t.Errorf("%s.%s: no description", at, name)
		}
	}
	for _, f := range fields(typ) {
		name, s := goShape(f, kind)
		have[name] = s
		if object := objectType(f.Type); object != nil {
			def := strings.TrimPrefix(itemOf(node.Properties[name]).Ref, "common.json#/$defs/")
			if !compared[def] {
				compared[def] = true
				agree(t, def, kind, common.Defs[def], object, common, compared)
			}
		}
	}
	for _, name := range slices.Sorted(maps.Keys(want)) {
		if have[name] != want[name] {
			t.Errorf("%s.%s: the schema says %+v, the type says %+v", at, name, want[name], have[name])
		}
	}
	for _, name := range slices.Sorted(maps.Keys(have)) {
		if _, ok := want[name]; !ok {
			t.Errorf("%s.%s: the type has it, the schema does not", at, name)
		}
	}
}

func itemOf(n schemaNode) schemaNode {
	if n.Items != nil {
		return *n.Items
	}
	return n
}

func schemaShape(n schemaNode, kind string) shape {
	s := shape{dimension: n.Dimension}
	item := itemOf(n)
	refers := slices.Clone(item.Refers)
	s.refers = strings.Join(refers, ",")
	switch {
	case n.Const != "":
		s.kind = "kind"
	case item.Ref == "common.json#/$defs/digest" && item.Private:
		s.kind = "sealed"
	case item.Ref != "":
		s.kind = strings.TrimPrefix(item.Ref, "common.json#/$defs/")
	case item.Type == "integer":
		s.kind = "whole"
	default:
		s.kind = "text"
	}
	if n.Items != nil {
		s.kind = "list of " + s.kind
	}
	return s
}

func fields(t reflect.Type) []reflect.StructField {
	var all []reflect.StructField
	for i := range t.NumField() {
		if f := t.Field(i); f.Anonymous {
			all = append(all, fields(f.Type)...)
		} else {
			all = append(all, f)
		}
	}
	return all
}

func objectType(t reflect.Type) reflect.Type {
	for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice {
		t = t.Elem()
	}
	if t.Kind() == reflect.Struct {
		return t
	}
	return nil
}

func goShape(f reflect.StructField, kind string) (string, shape) {
	name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
	s := shape{dimension: f.Tag.Get("dimension"), refers: f.Tag.Get("refers")}
	if s.refers == "same" {
		s.refers = kind
	}
	t := f.Type
	list := t.Kind() == reflect.Slice
	if list || t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch t {
	case reflect.TypeFor[record.Ref]():
		s.kind = "reference"
	case reflect.TypeFor[record.Measure]():
		s.kind = "quantity"
	case reflect.TypeFor[record.Date]():
		s.kind = "date"
	case reflect.TypeFor[record.Digest]():
		s.kind = "digest"
	case reflect.TypeFor[record.Sealed]():
		s.kind = "sealed"
	case reflect.TypeFor[record.Kind]():
		s.kind = "kind"
	case reflect.TypeFor[int64]():
		s.kind = "whole"
	case reflect.TypeFor[string]():
		s.kind = "text"
	default:
		s.kind = kebab(t.Name())
	}
	if list {
		s.kind = "list of " + s.kind
	}
	return name, s
}

func kebab(name string) string {
	var b strings.Builder
	for i, r := range name {
		if i > 0 && r >= 'A' && r <= 'Z' {
			b.WriteByte('-')
		}
		b.WriteString(strings.ToLower(string(r)))
	}
	return b.String()
}

func TestEveryDimensionInTheSchemasExists(t *testing.T) {
	for _, kind := range record.Kinds() {
		for _, f := range deepFields(reflect.TypeOf(record.New(kind)).Elem()) {
			if d := f.Tag.Get("dimension"); d != "" {
				if _, ok := quantity.DimensionNamed(d); !ok {
					t.Errorf("%s: %s is of dimension %q, which does not exist", kind, f.Name, d)
				}
			}
		}
	}
}

func deepFields(t reflect.Type) []reflect.StructField {
	var all []reflect.StructField
	for _, f := range fields(t) {
		all = append(all, f)
		if o := objectType(f.Type); o != nil {
			all = append(all, deepFields(o)...)
		}
	}
	return all
}

func TestEveryKindReferredToExists(t *testing.T) {
	for _, kind := range record.Kinds() {
		for _, f := range deepFields(reflect.TypeOf(record.New(kind)).Elem()) {
			for word := range strings.SplitSeq(f.Tag.Get("refers"), ",") {
				if word != "" && word != "*" && word != "same" && record.New(record.Kind(word)) == nil {
					t.Errorf("%s: %s refers to kind %q, which does not exist", kind, f.Name, word)
				}
			}
		}
	}
}

func TestSchemasUseOnlyKeywordsThatMeanSomething(t *testing.T) {
	known := strings.Fields(`$schema $id $ref $defs title description type properties required additionalProperties items
		enum const pattern format minLength maxLength minItems maxItems uniqueItems minimum maximum examples if then else
		refers dimension words private`)
	for _, name := range append([]string{"common"}, words()...) {
		text, err := schema.Text(name)
		if err != nil {
			t.Fatal(err)
		}
		var tree any
		if err := json.Unmarshal(text, &tree); err != nil {
			t.Fatal(err)
		}
		lint(t, name, tree, known)
	}
}

func words() []string {
	var all []string
	for _, k := range record.Kinds() {
		all = append(all, string(k))
	}
	return all
}

// lint walks a schema: under properties and $defs the names are ours, elsewhere they are keywords.
func lint(t *testing.T, at string, tree any, known []string) {
	object, ok := tree.(map[string]any)
	if !ok {
		return
	}
	for key, value := range object {
		if !slices.Contains(known, key) {
			t.Errorf("%s: %q is no keyword", at, key)
		}
		switch key {
		case "properties", "$defs":
			for name, sub := range value.(map[string]any) {
				lint(t, at+"."+name, sub, known)
			}
		case "items", "if", "then", "else":
			lint(t, at+"."+key, value, known)
		}
	}
}

func TestOnlyLittleIsRequired(t *testing.T) {
	want := map[string]string{
		"requirement-set": "kind authority edition caution", "session": "kind by lines", "reading": "kind what values", "paper": "kind original",
		"sign-off": "kind by on meaning form covers", "licence": "kind scope", "key": "kind public",
		"revocation": "kind of on", "calibration": "kind on", "ledger": "kind edition",
	}
	for _, kind := range record.Kinds() {
		text, _ := schema.Text(string(kind))
		var node struct {
			Required []string                    `json:"required"`
			Else     struct{ Required []string } `json:"else"`
		}
		if err := json.Unmarshal(text, &node); err != nil {
			t.Fatal(err)
		}
		got := strings.Join(append(node.Required, node.Else.Required...), " ")
		if w := want[string(kind)]; w == "" && got != "kind" || w != "" && got != w {
			t.Errorf("%s requires %q", kind, got)
		}
	}
	line := load(t, "common").Defs["line"]
	if got := fmt.Sprint(line.Required, line.Else.Required, line.Else.Else.Required); got != "[act] [] [parts]" {
		t.Errorf("a line requires %s", got)
	}
}
