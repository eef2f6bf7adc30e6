package history

import (
	"encoding/json"
	"strings"
	"testing"

	"boltback/internal/record"
)

const labelled = `{"kind": "session", "note": "n", "lines": [
  {"act": "removal", "parts": ["parts/a"], "ends": [{"end": "lamp", "state": "cut"}], "alteration": {"size": "8 mm", "required-by": "x"}},
  {"act": "tightening", "joints": ["joints/b"], "second-check": "people/t/a"}]}`

func TestAValueIsNamedInWords(t *testing.T) {
	for _, tc := range []struct{ path, text, pointer, want string }{
		{"work/2026-03-02-a.json", labelled, "/note", "note"},
		{"work/2026-03-02-a.json", labelled, "/lines", "lines"},
		{"work/2026-03-02-a.json", labelled, "/lines/1", "line 2"},
		{"work/2026-03-02-a.json", labelled, "/lines/1/second-check", "line 2: second check"},
		{"work/2026-03-02-a.json", labelled, "/lines/0/parts/0", "line 1: parts"},
		{"work/2026-03-02-a.json", labelled, "/lines/0/ends/0/state", "line 1: ends, lamp: state"},
		{"work/2026-03-02-a.json", labelled, "/lines/0/alteration/required-by", "line 1: alteration: required by"},
		{"joints/a.json", `{"kind": "joint", "fasteners": [{"what": "bolt", "size": "M8"}, {"count": 1}]}`, "/fasteners/0/count", "fasteners, M8: count"},
		{"joints/a.json", `{"kind": "joint", "fasteners": [{"what": "bolt", "size": "M8"}, {"count": 1}]}`, "/fasteners/1/count", "fasteners, 2: count"},
		{"joints/a.json", `{"kind": "joint"}`, "/fasteners/7/count", "fasteners"},
		{"joints/a.json", `{"kind": "joint", "fasteners": []}`, "/fasteners/7/count", "fasteners"},
		{"joints/a.json", `{"kind": "joint", "fasteners": []}`, "/fasteners/x", "fasteners"},
		{"joints/a.json", `{"kind": "joint"}`, "", ""},
	} {
		t.Run(tc.pointer, func(t *testing.T) {
			l := newLabeller(parse(tc.path, []byte(tc.text)), nil)
			if got := l.label(tc.pointer); got != tc.want {
				t.Errorf("got %q, want %q", got, tc.want)
			}
		})
	}
}

func TestAValueIsWrittenInOneLine(t *testing.T) {
	for _, tc := range []struct{ name, text, pointer, want string }{
		{"a line begins with what was done to what", labelled, "/lines/0", "removal of parts/a; alteration size 8 mm; required by x; ends end lamp; state cut"},
		{"a line without parts names its joints", labelled, "/lines/1", "tightening at joints/b; second check people/t/a"},
		{"a text stands as it is", labelled, "/note", "n"},
		{"a set is a list", `{"kind": "session", "papers": ["papers/a", "papers/b"]}`, "/papers", "papers/a, papers/b"},
		{"a line of which only the act is known", `{"kind": "session", "lines": [{"act": "removal", "parts": []}]}`, "/lines/0", "removal; parts "},
	} {
		t.Run(tc.name, func(t *testing.T) {
			f := parse("work/2026-03-02-a.json", []byte(tc.text))
			if f.fault != "" {
				t.Fatal(f.fault)
			}
			l := newLabeller(f, ranksOf(record.KindSession))
			pattern, _, _ := strings.Cut(tc.pointer[1:], "/")
			if got := l.value(f.doc.Find(tc.pointer), tc.pointer, "/"+pattern).Text; got != tc.want {
				t.Errorf("got %q, want %q", got, tc.want)
			}
		})
	}
}

func TestAValueIsWrittenAsJSONWithoutWhatIsSealed(t *testing.T) {
	sealed := strings.Repeat("c", 64)
	f := parse("work/2026-03-02-a.json", []byte(`{"kind": "session", "lines": [{"act": "out <b>", "fasteners": 3, "other-car": "`+sealed+`"}]}`))
	l := newLabeller(f, nil)
	v := l.value(f.doc.Find("/lines/0"), "/lines/0", "/lines")
	got, err := v.MarshalJSON()
	if err != nil {
		t.Fatal(err)
	}
	if want := `{"act":"out <b>","fasteners":3,"other-car":"sealed"}`; strings.TrimSpace(string(got)) != want {
		t.Errorf("got %s, want %s", got, want)
	}
	if text, err := json.Marshal(Value{}); err != nil || string(text) != "null" {
		t.Errorf("no value is %s, %v", text, err)
	}
	if strings.Contains(v.Text, sealed) {
		t.Errorf("the seal shows in %q", v.Text)
	}
}

func TestRanksFollowTheTypeOfTheRecord(t *testing.T) {
	r := ranksOf(record.KindSession)
	names := []string{"zebra", "note", "lines", "kind", "apple", "started"}
	r.sort(names, "")
	if got := strings.Join(names, " "); got != "kind started lines note apple zebra" {
		t.Errorf("got %s", got)
	}
	if len(ranksOf("no such kind")) != 0 {
		t.Error("a kind that does not exist has members")
	}
}
