package requirement_test

import (
	"encoding/json"
	"slices"
	"testing"

	"boltback/internal/requirement"
	"boltback/schema"
)

// TestRolesChecksAndScopesAreTheWordsOfTheSchema: a word that only one of the two knows would be a fact that no record can carry.
func TestRolesChecksAndScopesAreTheWordsOfTheSchema(t *testing.T) {
	for _, c := range []struct {
		what, file string
		path       []string
		have       []string
	}{
		{"checks", "common", []string{"$defs", "check", "properties", "check"}, requirement.Checks()},
		{"roles", "part", []string{"properties", "role"}, requirement.Roles()},
		{"scopes", "common", []string{"$defs", "certificate", "properties", "scope", "items"}, requirement.Scopes()},
	} {
		text, err := schema.Text(c.file)
		if err != nil {
			t.Fatal(err)
		}
		var node any
		if err := json.Unmarshal(text, &node); err != nil {
			t.Fatal(err)
		}
		for _, member := range c.path {
			node = node.(map[string]any)[member]
		}
		var want []string
		for _, w := range node.(map[string]any)["enum"].([]any) {
			want = append(want, w.(string))
		}
		slices.Sort(want)
		slices.Sort(c.have)
		if !slices.Equal(want, c.have) {
			t.Errorf("%s: the schema has %q, expressions know %q", c.what, want, c.have)
		}
	}
}
