package finding

import (
	"bytes"
	"encoding/json"
	"maps"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestAFindingPrintsWhereItIs(t *testing.T) {
	base := Finding{Code: "unknown-part", File: "work/2021-03-04-jo-strip.json", Line: 12, Column: 7, Message: "no such part"}
	tests := []struct {
		name   string
		change func(*Finding)
		want   string
	}{
		{"everything known", func(*Finding) {}, "work/2021-03-04-jo-strip.json:12:7: no such part [unknown-part]"},
		{"the column is unknown", func(f *Finding) { f.Column = 0 }, "work/2021-03-04-jo-strip.json:12: no such part [unknown-part]"},
		{"the line is unknown", func(f *Finding) { f.Line = 0 }, "work/2021-03-04-jo-strip.json: no such part [unknown-part]"},
		{"it belongs to no file", func(f *Finding) { f.File = "" }, "no such part [unknown-part]"},
		{"it has no code", func(f *Finding) { f.Code = "" }, "work/2021-03-04-jo-strip.json:12:7: no such part"},
		{"the hint stays with the caller", func(f *Finding) { f.Hint = "declare it" }, "work/2021-03-04-jo-strip.json:12:7: no such part [unknown-part]"},
		{"a terminal escape in a quoted name is shown, not sent", func(f *Finding) { f.Message = "no part \x1b[2Jx" }, `work/2021-03-04-jo-strip.json:12:7: no part \u001b[2Jx [unknown-part]`},
		{"a reversed reading direction is shown, not obeyed", func(f *Finding) { f.Message = "no part a\u202eb" }, `work/2021-03-04-jo-strip.json:12:7: no part a\u202eb [unknown-part]`},
		{"a line feed stays on the line", func(f *Finding) { f.Message = "two\nlines" }, `work/2021-03-04-jo-strip.json:12:7: two\u000alines [unknown-part]`},
		{"a hidden tag character is shown", func(f *Finding) { f.Message = "x\U000e0041" }, `work/2021-03-04-jo-strip.json:12:7: x\U000e0041 [unknown-part]`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			f := base
			tt.change(&f)
			if got := f.String(); got != tt.want {
				t.Errorf("got  %q\nwant %q", got, tt.want)
			}
		})
	}
}

func TestPrintableLeavesOrdinaryTextAlone(t *testing.T) {
	for _, s := range []string{"", "47 N.m", "größer als 550 MΩ", "左前", "🔧 fitted"} {
		if got := Printable(s); got != s {
			t.Errorf("Printable(%q) = %q", s, got)
		}
	}
}

func TestFindingsSortByPlaceThenCodeThenMessage(t *testing.T) {
	want := []Finding{
		{Code: "z", Message: "of the ledger as a whole"},
		{File: "a.json", Line: 2, Column: 9, Code: "b", Message: "x"},
		{File: "a.json", Line: 10, Column: 1, Code: "b", Message: "line numbers are numbers"},
		{File: "a.json", Line: 10, Column: 2, Code: "a", Message: "x"},
		{File: "a.json", Line: 10, Column: 2, Code: "b", Message: "x"},
		{File: "a.json", Line: 10, Column: 2, Code: "b", Message: "y"},
		{File: "b.json", Code: "a", Message: "x"},
		{Car: "kestrel", File: "a.json", Code: "a", Message: "x"},
	}
	got := slices.Clone(want)
	slices.Reverse(got)
	Sort(got)
	if !slices.Equal(got, want) {
		t.Errorf("got\n%v\nwant\n%v", got, want)
	}
}

func TestAnyOrderSortsToTheSameList(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := rapid.SliceOf(anyFinding()).Draw(t, "list")
		shuffled := rapid.Permutation(list).Draw(t, "shuffled")
		shuffled = slices.Clone(shuffled)
		Sort(list)
		Sort(shuffled)
		if !slices.Equal(list, shuffled) {
			t.Fatalf("%v\nand\n%v", list, shuffled)
		}
	})
}

func TestTheWorstOfAList(t *testing.T) {
	tests := []struct {
		name string
		list []Severity
		want Severity
		ok   bool
	}{
		{"nothing found has no worst", nil, Note, false},
		{"a note is a note", []Severity{Note, Note}, Note, true},
		{"a warning outranks notes", []Severity{Note, Warning, Note}, Warning, true},
		{"an error outranks all", []Severity{Note, Error, Warning}, Error, true},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var list []Finding
			for _, s := range tt.list {
				list = append(list, Finding{Severity: s})
			}
			if got, ok := Worst(list); got != tt.want || ok != tt.ok {
				t.Errorf("got %v %v, want %v %v", got, ok, tt.want, tt.ok)
			}
		})
	}
}

func TestTheShapeOfTheJSONList(t *testing.T) {
	var b bytes.Buffer
	err := Encode(&b, []Finding{{Severity: Warning, Code: "a-b", File: "parts/x.json", Line: 1, Column: 2, Pointer: "/name", Message: "<name> & more"}})
	if err != nil {
		t.Fatal(err)
	}
	const want = `{
  "edition": "1",
  "findings": [
    {
      "severity": "warning",
      "code": "a-b",
      "file": "parts/x.json",
      "line": 1,
      "column": 2,
      "pointer": "/name",
      "message": "<name> & more"
    }
  ]
}
`
	if b.String() != want {
		t.Errorf("got\n%s\nwant\n%s", b.String(), want)
	}
}

func TestNoFindingsAreAnEmptyListNotNull(t *testing.T) {
	var b bytes.Buffer
	if err := Encode(&b, nil); err != nil {
		t.Fatal(err)
	}
	if want := "{\n  \"edition\": \"1\",\n  \"findings\": []\n}\n"; b.String() != want {
		t.Errorf("got %q", b.String())
	}
}

func TestWhatIsWrittenIsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := rapid.SliceOf(anyFinding()).Draw(t, "list")
		var b bytes.Buffer
		if err := Encode(&b, want); err != nil {
			t.Fatal(err)
		}
		got, err := Decode(b.Bytes())
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Equal(got, want) {
			t.Fatalf("got %v, want %v", got, want)
		}
	})
}

func TestAnUnknownSeverityIsNotWritten(t *testing.T) {
	for _, s := range []Severity{-1, 3} {
		if err := Encode(&bytes.Buffer{}, []Finding{{Severity: s}}); err == nil {
			t.Errorf("severity %d was written", int(s))
		}
	}
}

func TestListsThatAreRefused(t *testing.T) {
	tests := []struct{ name, in, says string }{
		{"another edition", `{"edition":"2","findings":[]}`, `edition "2"`},
		{"no edition", `{"findings":[]}`, `edition ""`},
		{"a member nobody knows", `{"edition":"1","findings":[],"extra":1}`, "extra"},
		{"a severity nobody knows", `{"edition":"1","findings":[{"severity":"fatal","code":"a","message":"b"}]}`, "none of error, warning, note"},
		{"something after the list", `{"edition":"1","findings":[]} 1`, "followed by"},
		{"a list cut short", `{"edition":"1","findings":[`, "not a list"},
		{"nothing at all", ``, "not a list"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := Decode([]byte(tt.in))
			if err == nil || !strings.Contains(err.Error(), tt.says) {
				t.Errorf("got %v, want it to say %q", err, tt.says)
			}
		})
	}
}

func anyFinding() *rapid.Generator[Finding] {
	word := rapid.SampledFrom([]string{"", "a", "b", "<\"&\u2028"})
	return rapid.Custom(func(t *rapid.T) Finding {
		return Finding{
			Severity: Severity(rapid.IntRange(0, 2).Draw(t, "severity")),
			Code:     word.Draw(t, "code"), Car: word.Draw(t, "car"), File: word.Draw(t, "file"),
			Line: rapid.IntRange(0, 3).Draw(t, "line"), Column: rapid.IntRange(0, 3).Draw(t, "column"),
			Pointer: word.Draw(t, "pointer"), Message: word.Draw(t, "message"), Hint: word.Draw(t, "hint"),
		}
	})
}

func FuzzDecode(f *testing.F) {
	f.Add([]byte(`{"edition":"1","findings":[{"severity":"note","code":"a","message":"b"}]}`))
	f.Add([]byte(`{"edition":"1","findings":null}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		list, err := Decode(data)
		if err != nil {
			return
		}
		var b bytes.Buffer
		if err := Encode(&b, list); err != nil {
			t.Fatalf("what was read cannot be written: %v", err)
		}
		again, err := Decode(b.Bytes())
		if err != nil || !slices.Equal(again, list) {
			t.Fatalf("%v %v, want %v", again, err, list)
		}
	})
}

func TestJSONForATerminalSaysTheSameAndSteersNothing(t *testing.T) {
	value := map[string]string{"a\u009b": "\x1b[2J\u202e\u2066x\u200b\ufeff\u2028 é אב 🔧 \U000e0041<b>\"\\"}
	var b bytes.Buffer
	if err := WriteJSON(&b, value); err != nil {
		t.Fatal(err)
	}
	if i := strings.IndexFunc(b.String(), func(r rune) bool { return r != '\n' && steers(r) }); i >= 0 {
		t.Errorf("%q steers", b.String()[i:])
	}
	for _, plain := range []string{"é אב 🔧", `<b>`, `\u202e\u2066x\u200b\ufeff\u2028`, `\udb40\udc41`, `"a\u009b"`} {
		if !strings.Contains(b.String(), plain) {
			t.Errorf("%s lacks %s", b.String(), plain)
		}
	}
	var back map[string]string
	if err := json.Unmarshal(b.Bytes(), &back); err != nil || !maps.Equal(back, value) {
		t.Errorf("%q came back as %q: %v", value, back, err)
	}
	if got := string(InJSON([]byte("{\n\t\"a\": 1\r\n}\n"))); got != "{\n\t\"a\": 1\r\n}\n" {
		t.Errorf("what stands between values became %q", got)
	}
}
