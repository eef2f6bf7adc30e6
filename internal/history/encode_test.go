package history

import (
	"bytes"
	"strings"
	"testing"
)

func TestChangesAreWrittenInAStableShape(t *testing.T) {
	changes := DiffFiles([]Pair{
		{"parts/tank.json",
			[]byte(`{"kind": "part", "name": "Tank <1>", "mass": "11 kg", "value": "` + strings.Repeat("a", 64) + `", "papers": ["papers/a"]}`),
			[]byte(`{"kind": "part", "name": "Tank <1>", "mass": "10 kg", "value": "` + strings.Repeat("b", 64) + `", "count": 2}`)},
		{"work/2026-03-02-a.json", []byte(`{"kind": "session", "lines": []}`),
			[]byte(`{"kind": "session", "lines": [{"act": "out", "parts": ["parts/tank"], "other-car": "` + strings.Repeat("c", 64) + `"}]}`)},
	}, nil)
	const want = `{
  "edition": "1",
  "changes": [
    {
      "what": "changed",
      "record": "parts/tank",
      "kind": "part",
      "path": "parts/tank.json",
      "title": "Tank <1>",
      "words": "part “Tank <1>” changed",
      "fields": [
        {
          "what": "added",
          "at": "/count",
          "label": "count",
          "old": null,
          "new": 2,
          "words": "count added: 2"
        },
        {
          "what": "changed",
          "was": "/mass",
          "at": "/mass",
          "label": "mass",
          "old": "11 kg",
          "new": "10 kg",
          "relation": "less",
          "remark": "lighter by 1 kg",
          "words": "mass 11 kg → 10 kg, lighter by 1 kg"
        },
        {
          "what": "changed",
          "was": "/value",
          "at": "/value",
          "label": "value",
          "old": null,
          "new": null,
          "relation": "sealed",
          "remark": "another value",
          "words": "value: another value"
        },
        {
          "what": "removed",
          "was": "/papers",
          "label": "papers",
          "old": [
            "papers/a"
          ],
          "new": null,
          "words": "papers taken out: papers/a"
        }
      ]
    },
    {
      "what": "changed",
      "record": "work/2026-03-02-a",
      "kind": "session",
      "path": "work/2026-03-02-a.json",
      "title": "work/2026-03-02-a",
      "words": "session “work/2026-03-02-a” changed",
      "fields": [
        {
          "what": "added",
          "at": "/lines/0",
          "label": "line 1",
          "old": null,
          "new": {
            "act": "out",
            "other-car": "sealed",
            "parts": [
              "parts/tank"
            ]
          },
          "words": "line 1 added: out of parts/tank; other car withheld"
        }
      ]
    }
  ]
}
`
	var b bytes.Buffer
	if err := Encode(&b, changes); err != nil {
		t.Fatal(err)
	}
	if b.String() != want {
		t.Errorf("got\n%s\nwant\n%s", b.String(), want)
	}
}

func TestNoChangesAreAnEmptyList(t *testing.T) {
	var b bytes.Buffer
	if err := Encode(&b, nil); err != nil {
		t.Fatal(err)
	}
	if want := "{\n  \"edition\": \"1\",\n  \"changes\": []\n}\n"; b.String() != want {
		t.Errorf("got %q", b.String())
	}
}

func TestAStoryIsWrittenInAStableShape(t *testing.T) {
	entries := Timeline([]Version{
		{Revision: revision(t, "c2", "2026-03-05T10:00:00+01:00"), Path: "work/2026-03-02-a.json", Bytes: []byte(session(`"name": "A"`))},
		{Revision: revision(t, "c1", "2026-03-04T10:00:00+01:00"), Path: "work/2026-03-02-a.json", Bytes: []byte(session(`"started": "2026-03-02"`))},
	}, 1)
	entries = entries[1:]
	entries[0].Signed = "not signed"
	const want = `{
  "edition": "1",
  "entries": [
    {
      "revision": "c1",
      "when": "2026-03-04T10:00:00+01:00",
      "author": "Ines",
      "message": "m c1",
      "signed": "not signed",
      "changes": [
        {
          "what": "added",
          "record": "work/2026-03-02-a",
          "kind": "session",
          "path": "work/2026-03-02-a.json",
          "title": "work/2026-03-02-a",
          "words": "session “work/2026-03-02-a” added",
          "fields": []
        }
      ],
      "delays": [
        {
          "record": "work/2026-03-02-a",
          "of": "the work",
          "fewest": 2,
          "most": 2,
          "first": true,
          "late": "yes",
          "words": "written down 2 days after the work"
        }
      ]
    }
  ]
}
`
	var b bytes.Buffer
	if err := EncodeEntries(&b, entries); err != nil {
		t.Fatal(err)
	}
	if b.String() != want {
		t.Errorf("got\n%s\nwant\n%s", b.String(), want)
	}
}

func TestADayThatIsNotStatedIsNull(t *testing.T) {
	e := Tell(Step{Revision: revision(t, "c", "2026-03-03T10:00:00Z"), Files: []Pair{{"work/2026-03-02-a.json", nil, []byte(session(""))}}}, 7)
	var b bytes.Buffer
	if err := EncodeEntries(&b, []Entry{e}); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(b.String(), `"fewest": null`) {
		t.Errorf("got %s", b.String())
	}
}
