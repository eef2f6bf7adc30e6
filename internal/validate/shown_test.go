package validate

import (
	"strings"
	"testing"

	"boltback/internal/record"
)

func sought(t *testing.T, apart bool, values ...string) []Sought {
	t.Helper()
	var all []Sought
	for _, v := range values {
		file, err := record.Disclosure{Salt: strings.Repeat("5a", 16), Ledger: "l", Path: "transfers/2026-01-01-a.json", Pointer: "/price", Value: v}.Encode()
		if err != nil {
			t.Fatal(err)
		}
		if one, ok := SoughtFrom(file, "private/tern/x.json", apart); ok {
			all = append(all, one)
		}
	}
	return all
}

func secretOnly(Sought) bool { return false }

// TestAShownPrivateValueIsNamedAtItsLineAndColumnAndNeverRepeated has one text a row, and where in it the value begins.
func TestAShownPrivateValueIsNamedAtItsLineAndColumnAndNeverRepeated(t *testing.T) {
	values := sought(t, false, "Quillon Marsh-Invented", "8815 GBP", "Zoë Vane-Invented")
	tests := []struct{ about, text, place string }{
		{"a note", "{\n  \"kind\": \"part\",\n  \"note\": \"from Quillon Marsh-Invented, by hand\"\n}\n", "3:17"},
		{"other white space and capitals", "{\n  \"note\": \"QUILLON   marsh invented\"\n}\n", "2:12"},
		{"over two texts", "{\n  \"name\": \"Quillon\",\n  \"note\": \"Marsh-Invented\"\n}\n", ""},
		{"the name of a member", "{\n  \"quillon-marsh-invented\": 1\n}\n", "2:4"},
		{"escaped letters", "{\n  \"note\": \"Quill\\u006fn Marsh-Invented\"\n}\n", "2:11"},
		{"escaped letters in the name of a member", "{\n  \"Quill\\u006fn Marsh-Invented\": 1\n}\n", "2:3"},
		{"escaped letters in a list", "{\n  \"l\": [\n    \"x\",\n    \"Quill\\u006fn Marsh-Invented\"\n  ]\n}\n", "4:5"},
		{"letters composed otherwise", "{\n  \"note\": \"Zoe\u0308 Vane-Invented\"\n}\n", "2:12"},
		{"a price", "{\n  \"note\": \"paid 8815 GBP\"\n}\n", "2:17"},
		{"a longer number", "{\n  \"note\": \"paid 88150 GBP\"\n}\n", ""},
		{"half a name", "{\n  \"note\": \"from Quillon Marsh\"\n}\n", ""},
		{"broken JSON", "{ \"note\": \"Quillon Marsh-Invented", "1:12"},
		{"broken JSON with an escape", "{ \"note\": \"Quill\\u006fn Marsh-Invented", ""},
	}
	for _, tt := range tests {
		found := ShownIn("parts/a.json", []byte(tt.text), values, secretOnly)
		got := ""
		if found != nil {
			got = found.String() + " " + found.Hint
		}
		want := ""
		if tt.place != "" {
			want = "parts/a.json:" + tt.place + ": "
		}
		if !strings.HasPrefix(got, want) || (want == "") != (got == "") {
			t.Errorf("%s: %q, want it at %s", tt.about, got, want)
		}
		if strings.Contains(strings.ToLower(got), "quillon") || strings.Contains(got, "8815") || strings.Contains(got, "Vane") {
			t.Errorf("%s: the message repeats the value: %s", tt.about, got)
		}
		if want != "" && !strings.Contains(got, "private/tern/x.json") {
			t.Errorf("%s: nothing says where to look: %s", tt.about, got)
		}
	}
}

// TestASingleWordOfAnotherCarIsNotLookedFor or a keeper called Porter would forbid the word in every car of the yard.
func TestASingleWordOfAnotherCarIsNotLookedFor(t *testing.T) {
	if got := sought(t, true, "Porter", "Quillon Porter", "01632960417", "1967", "Marsh-Invented"); len(got) != 3 {
		t.Errorf("%d are looked for, want the two of two words and the number", len(got))
	}
	if got := sought(t, false, "Porter", "1967", "A-B"); len(got) != 1 {
		t.Errorf("%d are looked for in the car itself, want the word and not what is too short", len(got))
	}
	if _, ok := SoughtFrom([]byte("[1]"), "x", false); ok {
		t.Error("what is no disclosure is looked for")
	}
}

func TestWhatIsSaidOpenlyIsNotRefused(t *testing.T) {
	values := sought(t, false, "Ines Okafor", "Quillon Marsh")
	open := func(v Sought) bool { return v.Words == "ines okafor" }
	if f := ShownIn("people/a/b/person.json", []byte(`{"name": "Ines Okafor"}`), values, open); f != nil {
		t.Error(f)
	}
	if f := ShownIn("people/a/b/person.json", []byte(`{"name": "Ines Okafor", "note": "knows Quillon Marsh"}`), values, open); f == nil {
		t.Error("the other value is not seen behind one that is said openly")
	}
}
