package history

import (
	"bytes"
	"testing"
)

// FuzzDiffFiles takes any bytes for a record in two states: it must say
// something of each pair that differs, and the same backwards.
func FuzzDiffFiles(f *testing.F) {
	for _, seed := range [][2]string{
		{tank, tankLight}, {work, corrects}, {"{", tank}, {"[]", "{}"}, {session(`"lines": [{}, {"act": 1}]`), session(`"lines": [[], {"parts": {}}]`)},
		{`{"kind": "part", "numbers": [1, "a", null]}`, `{"kind": "part", "numbers": {}}`}, {"", "null"},
	} {
		for _, path := range []string{"parts/tank.json", "work/2026-03-02-ines-tank.json", "notes.txt"} {
			f.Add(path, []byte(seed[0]), []byte(seed[1]))
		}
	}
	f.Fuzz(func(t *testing.T, path string, a, b []byte) {
		if a == nil {
			a = []byte{}
		}
		if b == nil {
			b = []byte{}
		}
		there, back := DiffFiles([]Pair{{path, a, b}}, nil), DiffFiles([]Pair{{path, b, a}}, nil)
		if (len(there) > 0) == bytes.Equal(a, b) {
			t.Fatalf("%q", listed(there))
		}
		if len(outlines(there, false)) != len(outlines(back, true)) {
			t.Fatalf("there %q\nback %q", listed(there), listed(back))
		}
		if err := Encode(&bytes.Buffer{}, there); err != nil {
			t.Fatal(err)
		}
	})
}

// FuzzApart holds the two properties of texts that come apart.
func FuzzApart(f *testing.F) {
	f.Add("the left strap", "the right strap")
	f.Add("", "é è")
	f.Add("\xff a", "\xfe a")
	f.Fuzz(func(t *testing.T, old, new string) {
		before, was, is, after := Apart(old, new)
		if before+was+after != old || before+is+after != new {
			t.Fatalf("%q %q %q %q", before, was, is, after)
		}
	})
}
