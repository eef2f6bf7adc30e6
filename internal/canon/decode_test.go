package canon

import (
	"errors"
	"reflect"
	"strings"
	"testing"
)

// bag and dated are a record in small: every shape that real records use.
type bag struct {
	Kind   string         `json:"kind"`
	Name   string         `json:"name,omitempty"`
	Count  int            `json:"count,omitempty"`
	Small  uint8          `json:"small,omitempty"`
	Sealed bool           `json:"sealed,omitempty"`
	Day    day            `json:"day,omitzero"`
	Parts  []string       `json:"parts,omitempty"`
	Place  *place         `json:"place,omitempty"`
	Extra  any            `json:"extra,omitempty"`
	Notes  map[string]int `json:"notes,omitempty"`
	Always []string       `json:"always"`
	place2
}

type place struct {
	Store string `json:"store"`
}

type place2 struct {
	Shelf string `json:"shelf,omitempty"`
}

type day string

func (d *day) UnmarshalText(b []byte) error {
	if len(b) != 10 {
		return errors.New("a day is written as 1967-03-09")
	}
	*d = day(b)
	return nil
}

func TestADocumentIsDecodedIntoItsType(t *testing.T) {
	var got bag
	doc := mustParse(t, `{"kind":"bag","name":"k\u00e9","count":12,"small":255,"sealed":true,"day":"1967-03-09","parts":["a"],
		"place":{"store":"loft"},"extra":{"x":null},"notes":{"n":1},"always":[],"shelf":"3"}`)
	if err := Unmarshal(doc, &got); err != nil {
		t.Fatal(err)
	}
	if got.Name != "ké" || got.Count != 12 || got.Small != 255 || !got.Sealed || got.Day != "1967-03-09" ||
		len(got.Parts) != 1 || got.Place.Store != "loft" || got.Notes["n"] != 1 || got.Shelf != "3" || got.Extra == nil {
		t.Errorf("got %+v", got)
	}
}

func TestNullIsTakenWhereATypeCanHoldNothing(t *testing.T) {
	got := bag{Place: &place{}, Parts: []string{"x"}}
	if err := Unmarshal(mustParse(t, `{"place":null,"parts":null,"extra":null,"notes":null}`), &got); err != nil {
		t.Fatal(err)
	}
	if got.Place != nil || got.Parts != nil {
		t.Errorf("got %+v", got)
	}
}

func TestUntypedNumbersStayExact(t *testing.T) {
	var got any
	const src = `{"n":[9007199254740991,-1,{"m":0}],"t":"x"}`
	if err := Unmarshal(mustParse(t, src), &got); err != nil {
		t.Fatal(err)
	}
	want := map[string]any{"n": []any{int64(9007199254740991), int64(-1), map[string]any{"m": int64(0)}}, "t": "x"}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got %#v", got)
	}
	if b, err := Marshal(got); err != nil || string(b) != string(Layout(mustParse(t, src))) {
		t.Errorf("written again: %s %v", b, err)
	}
}

func TestTypesThatDoNotFitAreRefusedWhereTheyStand(t *testing.T) {
	tests := []struct{ name, src, want string }{
		{"an unknown member is placed at its name", "{\n  \"kind\": \"bag\",\n  \"colour\": 1\n}", `3:3: "colour" is not a member known here | mend the name, or leave the member out | /colour`},
		{"a misspelt member", `{"cuont": 1}`, `1:2: "cuont" is not a member known here | mend the name, or leave the member out | /cuont`},
		{"capitals do not match", `{"Kind": "bag"}`, `1:2: "Kind" is not a member known here | mend the name, or leave the member out | /Kind`},
		{"a misspelt embedded member", `{"shelv": "3"}`, `1:2: "shelv" is not a member known here | mend the name, or leave the member out | /shelv`},
		{"an unknown member further in", `{"place": {"store": "x", "shelf": "y"}}`, `1:26: "shelf" is not a member known here | mend the name, or leave the member out | /place/shelf`},
		{"a number for a text", `{"kind": 1}`, `1:10: this is a number where a text belongs | write it in quotes | /kind`},
		{"a text for a number", `{"count": "12"}`, `1:11: this is a text where a number belongs | write a whole number, without quotes | /count`},
		{"a text for a truth value", `{"sealed": "yes"}`, `1:12: this is a text where true or false belongs |  | /sealed`},
		{"a text for a list", `{"parts": "a"}`, `1:11: this is a text where a list belongs | put it in square brackets, even when it is the only one | /parts`},
		{"a list for an object", `{"place": []}`, `1:11: this is a list where an object belongs |  | /place`},
		{"an object for an element", `{"parts": ["a", {}]}`, `1:17: this is an object where a text belongs |  | /parts/1`},
		{"a list for the record", `[]`, `1:1: this is a list where an object belongs |  | `},
		{"a null for a text", `{"name": null}`, `1:10: null says nothing here | leave the member out when there is nothing to say | /name`},
		{"a null for an element", `{"parts": [null]}`, `1:12: null says nothing here | leave the member out when there is nothing to say | /parts/0`},
		{"a null for the record", `null`, `1:1: null says nothing here | leave the member out when there is nothing to say | `},
		{"a number out of range", `{"small": 256}`, `1:11: 256 is out of range here |  | /small`},
		{"a negative count of an unsigned type", `{"small": -1}`, `1:11: -1 is out of range here |  | /small`},
		{"a number for a type that reads a text", `{"day": 1967}`, `1:9: this is a number where a text belongs | write it in quotes | /day`},
		{"an object for a type that reads a text", `{"day": {}}`, `1:9: this is an object where a text belongs |  | /day`},
		{"a map's value of another kind", `{"notes": {"n": "x"}}`, `1:17: this is a text where a number belongs | write a whole number, without quotes | /notes/n`},
		{"what the type itself says", `{"day": "spring"}`, `1:9: a day is written as 1967-03-09 |  | /day`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var v bag
			err := Unmarshal(mustParse(t, tt.src), &v)
			e, ok := err.(*SyntaxError)
			if !ok {
				t.Fatalf("got %v, want a *SyntaxError", err)
			}
			if got := e.Error() + " | " + e.Hint + " | " + e.Pointer; got != tt.want {
				t.Errorf("got  %s\nwant %s", got, tt.want)
			}
		})
	}
}

func TestMarshalWritesTheLayoutInTheOrderOfTheFields(t *testing.T) {
	got, err := Marshal(bag{Kind: "bag", Count: 3, Day: "1967-03-09", Place: &place{Store: "<loft> & \"attic\""}, Notes: map[string]int{"b": 2, "a": 1}})
	if err != nil {
		t.Fatal(err)
	}
	const want = `{
  "kind": "bag",
  "count": 3,
  "day": "1967-03-09",
  "place": {
    "store": "<loft> & \"attic\""
  },
  "notes": {
    "a": 1,
    "b": 2
  },
  "always": []
}
`
	if string(got) != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	var back bag
	if err := Unmarshal(mustParse(t, string(got)), &back); err != nil || back.Place.Store != "<loft> & \"attic\"" {
		t.Errorf("read back: %v %+v", err, back)
	}
}

func TestMarshalRefusesWhatARecordCannotHold(t *testing.T) {
	loop := map[string]any{}
	loop["self"] = loop
	for name, tt := range map[string]struct {
		v    any
		says string
	}{
		"a fraction":                {map[string]any{"x": 1.5}, "1.5: numbers in a record are whole"},
		"a number of 2^53":          {int64(1 << 53), "too large for a whole number"},
		"broken UTF-8":              {map[string]string{"x": "a\xff"}, "UTF-8"},
		"a function":                {func() {}, "cannot be written"},
		"a value that holds itself": {loop, "cannot be written"},
	} {
		t.Run(name, func(t *testing.T) {
			if b, err := Marshal(tt.v); err == nil || !strings.Contains(err.Error(), tt.says) {
				t.Errorf("got %s, %v; want it to say %q", b, err, tt.says)
			}
		})
	}
}
