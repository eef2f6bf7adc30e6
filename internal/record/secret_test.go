package record

import (
	"strings"
	"testing"

	"boltback/internal/canon"
)

// TestPrivateValuesAreSeenInWhatIsNoRecordYet: what waits to be completed may have members that nobody knows and values of the
// wrong sort, and hides no private value behind them.
func TestPrivateValuesAreSeenInWhatIsNoRecordYet(t *testing.T) {
	tests := []struct {
		about, text string
		kind        Kind
		want        string
	}{
		{"a price beside a member nobody knows", `{"price": "8815 GBP", "colour": 3}`, KindTransfer, "8815 GBP"},
		{"names inside others", `{"from": {"name": "A", "address": "B"}, "to": {"name": 7}}`, KindTransfer, "A B 7"},
		{"in lines", `{"lines": [{"act": 4}, {"other-car": "C"}, "x"]}`, KindSession, "C"},
		{"where a list stands for one", `{"from": [{"name": "A"}]}`, KindTransfer, ""},
		{"a kind that has none", `{"raw": "x"}`, KindCar, ""},
		{"no kind", `{"price": "8815 GBP"}`, "ticket", ""},
		{"no object", `"price"`, KindTransfer, ""},
	}
	for _, tt := range tests {
		doc, err := canon.Parse([]byte(tt.text), canon.DefaultLimits())
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, n := range SecretsIn(tt.kind, doc.Root) {
			got = append(got, n.Text)
		}
		if strings.Join(got, " ") != tt.want {
			t.Errorf("%s: %q, want %q", tt.about, got, tt.want)
		}
	}
	if got := SecretsIn(KindTransfer, nil); len(got) > 0 {
		t.Errorf("nothing holds %v", got)
	}
}
