package record_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"boltback/internal/canon"
	"boltback/internal/record"
)

func TestAPathBecomesANameAndBack(t *testing.T) {
	for _, tc := range []struct{ path, id string }{
		{"car.json", "car"},
		{"parts/fuel-tank.json", "parts/fuel-tank"},
		{"work/2026-03-02-ines-tank-out.json", "work/2026-03-02-ines-tank-out"},
		{"readings/0000-00-00-ines-weighing.json", "readings/0000-00-00-ines-weighing"},
		{"people/tallow-lane/ines/person.json", "people/tallow-lane/ines"},
		{"people/tallow-lane/ines/licence-2026.json", "people/tallow-lane/ines/licence-2026"},
		{"instruments/tallow-lane/wrench/instrument.json", "instruments/tallow-lane/wrench"},
		{"stores/tallow-lane/loft/store.json", "stores/tallow-lane/loft"},
	} {
		t.Run(tc.path, func(t *testing.T) {
			id, ok := record.IDOf(tc.path)
			if !ok || string(id) != tc.id {
				t.Errorf("IDOf = %q, %v, want %q", id, ok, tc.id)
			}
			if back := record.PathOf(id); back != tc.path {
				t.Errorf("PathOf(%q) = %q", id, back)
			}
		})
	}
}

func TestAPathThatIsNoRecords(t *testing.T) {
	for _, path := range []string{
		"", "parts", "parts/", "parts/.json", "parts/Fuel-Tank.json", "parts/fuel--tank.json", "parts/-tank.json", "parts/a/b.json",
		"parts/fuel tank.json", "parts/../car.json", "work/ines-tank-out.json", "work/2026-03-02.json", "previews/x.jpg",
		"people/ines.json", "people/a/b/c/d.json", "parts/réservoir.json", "parts/" + strings.Repeat("a", 81) + ".json",
	} {
		if id, ok := record.IDOf(path); ok {
			t.Errorf("%q is read as the record %q", path, id)
		}
	}
}

func TestEveryKindDecodesAndEncodesToTheSameBytes(t *testing.T) {
	for _, kind := range record.Kinds() {
		t.Run(string(kind), func(t *testing.T) {
			body := record.New(kind)
			body.Heading().Name = "Ω ± \"quoted\""
			text, err := record.Encode(body)
			if err != nil {
				t.Fatal(err)
			}
			r, err := record.Decode(example(kind), text)
			if err != nil {
				t.Fatalf("%v in\n%s", err, text)
			}
			again, err := record.Encode(r.Body)
			if err != nil || string(again) != string(text) {
				t.Errorf("came back as\n%s%v", again, err)
			}
			if r.Name() != "Ω ± \"quoted\"" || r.Digest != record.Digest(canon.Digest(text)) {
				t.Errorf("name %q, digest %s", r.Name(), r.Digest)
			}
		})
	}
}

// example gives a path at which a kind may lie.
func example(kind record.Kind) string {
	return strings.NewReplacer("<date>", "2026-03-02", "<slug>", "some-name").Replace(record.PlaceOf(kind))
}

func TestDecodeRefuses(t *testing.T) {
	for _, tc := range []struct{ name, path, text, want string }{
		{"a list", "parts/a.json", `[]`, `1:1: a record is an object, in braces`},
		{"no kind", "parts/a.json", `{"name": "A"}`, `1:1: the record does not say what kind it is`},
		{"an unknown kind", "parts/a.json", `{"kind": "prat"}`, `1:10: there is no kind of record called "prat"`},
		{"a kind in the wrong folder", "joints/a.json", "{\n  \"kind\": \"part\"\n}", `2:11: a part does not lie at joints/a.json`},
		{"a number for a measure", "parts/a.json", `{"kind": "part", "mass": 12}`, `1:26`},
		{"an unknown member", "parts/a.json", `{"kind": "part", "weight": "12 kg"}`, `1:18`},
	} {
		t.Run(tc.name, func(t *testing.T) {
			_, err := record.Decode(tc.path, []byte(tc.text))
			var syntax *canon.SyntaxError
			if !errors.As(err, &syntax) {
				t.Fatalf("got %v", err)
			}
			if got := fmt.Sprintf("%d:%d: %s", syntax.Line, syntax.Column, syntax.Message); !strings.HasPrefix(got, tc.want) {
				t.Errorf("got %s, want %s", got, tc.want)
			}
		})
	}
}

func TestLeavesNameEveryTextWithItsRole(t *testing.T) {
	text := `{"kind": "session", "corrects": "work/2026-03-01-ines-x", "by": "people/a/b", "started": "2026-03-02",
		"lines": [{"act": "tightening", "parts": ["parts/motor"], "set": "47 N.m", "alteration": {"size": "8 mm"}}]}`
	r, err := record.Decode("work/2026-03-02-ines-y.json", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, l := range r.Leaves() {
		if l.Role != record.Plain {
			got = append(got, fmt.Sprintf("%s %s %v%s", l.Pointer, l.Text, l.Kinds, l.Dimension))
		}
	}
	want := []string{
		"/corrects work/2026-03-01-ines-x [session]", "/by people/a/b [person]", "/started 2026-03-02 []",
		"/lines/0/parts/0 parts/motor [part]", "/lines/0/set 47 N.m []torque", "/lines/0/alteration/size 8 mm []length",
	}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

func FuzzDecode(f *testing.F) {
	f.Add("parts/a.json", []byte(`{"kind": "part", "mass": "12 kg", "tag": "0147"}`))
	f.Add("work/2026-03-02-ines-y.json", []byte(`{"kind": "session", "by": "people/a/b", "lines": [{"act": "removal", "parts": ["parts/a"]}]}`))
	f.Add("people/a/b/key-1.json", []byte(`{"kind": "key", "public": "ssh-ed25519 AAAA"}`))
	f.Fuzz(func(t *testing.T, path string, text []byte) {
		r, err := record.Decode(path, text)
		if err != nil {
			return
		}
		out, err := record.Encode(r.Body)
		if err != nil {
			t.Fatalf("what was read cannot be written: %v", err)
		}
		again, err := record.Decode(path, out)
		if err != nil {
			t.Fatalf("what was written cannot be read: %v\n%s", err, out)
		}
		if twice, _ := record.Encode(again.Body); string(twice) != string(out) {
			t.Fatalf("writing twice differs:\n%s\n%s", out, twice)
		}
		r.Leaves()
	})
}
