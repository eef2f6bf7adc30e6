package canon

import (
	"bytes"
	"encoding/json"
	"testing"
)

func FuzzParse(f *testing.F) {
	for _, r := range refusals {
		f.Add([]byte(r.src))
	}
	f.Add([]byte(laidOut))
	f.Add([]byte(`{"a":[{"b":"\ud83d\udd27"},-1,true,null,{},[]]}`))
	f.Fuzz(func(t *testing.T, src []byte) {
		kept := bytes.Clone(src)
		doc, err := Parse(src, Limits{Depth: 200})
		if !bytes.Equal(src, kept) {
			t.Fatalf("the input was changed from %q to %q", kept, src)
		}
		if err != nil {
			checkExplained(t, "fuzz", src, err)
			return
		}
		if !json.Valid(src) {
			t.Fatalf("%q was accepted and is not JSON", src)
		}
		checkLaidOut(t, "fuzz", doc)
		checkPlaces(t, doc, doc.Root, "")
		var v any
		if err := Unmarshal(doc, &v); err != nil {
			t.Fatalf("%q parses and does not decode: %v", src, err)
		}
		var b bag
		if err := Unmarshal(doc, &b); err != nil {
			checkExplained(t, "fuzz", src, err)
		}
	})
}

// checkPlaces insists that every node lies where it says, is found by its
// pointer, and begins with a character that its kind can begin with.
func checkPlaces(t *testing.T, doc *Document, n *Node, pointer string) {
	t.Helper()
	first := map[Kind]string{Null: "n", Bool: "tf", Number: "-0123456789", String: `"`, Array: "[", Object: "{"}[n.Kind]
	if n.Start >= n.End || !bytes.ContainsAny(doc.Source[n.Start:n.Start+1], first) || !json.Valid(doc.Source[n.Start:n.End]) {
		t.Fatalf("%s at %q is %q", n.Kind, pointer, doc.Source[n.Start:n.End])
	}
	if doc.Find(pointer) != n || doc.Locate(pointer) != doc.Position(n.Start) {
		t.Fatalf("%q does not lead to its value", pointer)
	}
	for _, m := range n.Members {
		child := ChildPointer(pointer, m.Name)
		if doc.Source[m.NameStart] != '"' || doc.LocateName(child) != doc.Position(m.NameStart) {
			t.Fatalf("the name of %q is not where it is said to be", child)
		}
		checkPlaces(t, doc, m.Value, child)
	}
	for i, e := range n.Elements {
		checkPlaces(t, doc, e, ElementPointer(pointer, i))
	}
}

func FuzzPointer(f *testing.F) {
	for _, p := range []string{"", "/", "/a~1b/0", "a", "/~", "/n/1/zz"} {
		f.Add(p)
	}
	doc, err := Parse([]byte(laidOut), Limits{})
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, pointer string) {
		if at := doc.Locate(pointer); !pointsInto(doc.Source, at.Line, at.Column) {
			t.Fatalf("%q is at %v", pointer, at)
		}
		if at := doc.LocateName(pointer); !pointsInto(doc.Source, at.Line, at.Column) {
			t.Fatalf("the name of %q is at %v", pointer, at)
		}
		if tokens, ok := SplitPointer(pointer); ok && JoinPointer(tokens...) != pointer {
			t.Fatalf("%q splits to %q", pointer, tokens)
		}
	})
}
