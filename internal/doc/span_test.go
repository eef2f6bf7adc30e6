package doc

import (
	"errors"
	"fmt"
	"reflect"
	"testing"

	"pgregory.net/rapid"
)

func TestSay(t *testing.T) {
	tests := []struct {
		name string
		got  Text
		want Text
	}{
		{"a sentence alone is one plain span", Say("Off."), Text{Plain("Off.")}},
		{"a sentence alone keeps its braces", Say("a {} b"), Text{Plain("a {} b")}},
		{"an empty sentence is no span", Say(""), nil},
		{"placeholders are filled in order", Say("{} off on {}.", Strong("Tank"), "Monday"), Text{Strong("Tank"), Plain(" off on "), Plain("Monday"), Plain(".")}},
		{"braces in an argument mean nothing", Say("{}!", "a {} b"), Text{Plain("a {} b"), Plain("!")}},
		{"numbers and texts are arguments too", Say("{} {}", 3, Say("bolts")), Text{Plain("3"), Plain(" "), Plain("bolts")}},
		{"an empty argument leaves no span", Say("{}{}", "", nil), nil},
		{"a missing argument is seen", Say("{} {}", 1), Text{Plain("1"), Plain(" "), Plain("{!missing}")}},
		{"an extra argument is seen", Say("x", 1), Text{Plain("x"), Plain("{!extra "), Plain("1"), Plain("}")}},
		{"a text goes on", Say("Off.").And(" By {}.", "Ada"), Text{Plain("Off."), Plain(" By "), Plain("Ada"), Plain(".")}},
		{"a text carries its source", Say("Off.").From(FromRecord("work/x", 14)), Text{Plain("Off."), {Style: StyleSource, Text: "work/x:14"}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if !reflect.DeepEqual(append(Text{}, tt.got...), append(Text{}, tt.want...)) {
				t.Errorf("got %q, want %q", tt.got, tt.want)
			}
		})
	}
}

func TestGoingOnDoesNotChangeTheTextBefore(t *testing.T) {
	base := append(make(Text, 0, 8), Plain("a"))
	one, two := base.And("b"), base.And("c")
	item := Item{Blocks: make([]Block, 0, 8)}
	first, second := item.With(Para("b")), item.With(Para("c"))
	if one.String() != "ab" || two.String() != "ac" || first.Blocks[0] == second.Blocks[0] {
		t.Errorf("%q %q", one, two)
	}
}

func TestSources(t *testing.T) {
	const hex = "1f3a5b7c9d1121f3a5b7c9d1121f3a5b7c9d1120"
	for want, got := range map[string]Span{
		"work/x":                   FromRecord("work/x", 0),
		"work/x:3":                 FromRecord("work/x", 3),
		"commit 1f3a5b7c9d11":      FromCommit(hex),
		"sha256 1f3a5b7c9d1121f3…": FromDigest(hex),
		"sha256 short":             FromDigest("short"),
		"Rule 4, clause 5.1":       FromClause("Rule 4, clause 5.1"),
	} {
		if got.Text != want || got.Style != StyleSource {
			t.Errorf("got %+v, want %q", got, want)
		}
	}
	if got := Say("Off").From(FromRecord("work/x", 0)).String(); got != "Off work/x" {
		t.Errorf("a source is set apart: got %q", got)
	}
}

func TestMissingAndWithheldHaveWordsOfTheirOwn(t *testing.T) {
	if Missing("").Text != "not stated" || Missing("not looked for").Text != "not looked for" ||
		Withheld("").Text != "withheld" || Withheld("a price").Text != "withheld: a price" {
		t.Error("the default words differ")
	}
}

func TestDifferentStringsHaveDifferentAnchors(t *testing.T) {
	if got := Anchor("parts/fuel-tank"); got != "parts.fuel-tank" {
		t.Errorf("got %q", got)
	}
	rapid.Check(t, func(t *rapid.T) {
		gen := rapid.StringOf(rapid.RuneFrom([]rune("ab/._-é 2e")))
		a, b := gen.Draw(t, "a"), gen.Draw(t, "b")
		if (a == b) != (Anchor(a) == Anchor(b)) {
			t.Fatalf("%q and %q: %q and %q", a, b, Anchor(a), Anchor(b))
		}
		if a != "" && !validAnchor(Anchor(a)) {
			t.Fatalf("anchor %q of %q is not valid", Anchor(a), a)
		}
	})
}

func TestWalkVisitsInReadingOrderAndEndsAtAnError(t *testing.T) {
	var seen []string
	stop := errors.New("stop")
	err := Walk(sound().Blocks(), func(b Block, depth int) error {
		seen = append(seen, fmt.Sprintf("%T %d", b, depth))
		if _, ok := b.(*Caution); ok {
			return stop
		}
		return nil
	})
	want := "[*doc.Section 0 *doc.Paragraph 1 *doc.Facts 1 *doc.Table 1 *doc.Matrix 1 *doc.List 1 *doc.Caution 1]"
	if err != stop || fmt.Sprint(seen) != want {
		t.Errorf("%v, %v", seen, err)
	}
}

func TestOutline(t *testing.T) {
	d := sound()
	if got := Outline(d.Blocks(), 1); len(got) != 1 || got[0].ID != "all" || got[0].Entries != nil {
		t.Errorf("one level: %+v", got)
	}
	if got := Outline(d.Blocks(), 2); got[0].Entries[0].Title != "Inner" {
		t.Errorf("two levels: %+v", got)
	}
	if Outline(d.Blocks(), 0) != nil {
		t.Error("no levels give an outline")
	}
}
