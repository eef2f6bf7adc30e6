package canon

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

func TestPointersLeadToLinesAndColumns(t *testing.T) {
	doc := mustParse(t, "{\n  \"größe\": \"ä\", \"n\": [\n    1,\n    {\"a/b\": 2, \"c~d\": 3, \"\": 4}\n  ]\n}\n")
	tests := []struct {
		name, pointer string
		value, member Position
	}{
		{"the whole document", "", Position{1, 1}, Position{1, 1}},
		{"a member", "/größe", Position{2, 12}, Position{2, 3}},
		{"a member after wide letters on the line", "/n", Position{2, 22}, Position{2, 17}},
		{"an element has no name", "/n/0", Position{3, 5}, Position{3, 5}},
		{"an element that is an object", "/n/1", Position{4, 5}, Position{4, 5}},
		{"a slash in a name", "/n/1/a~1b", Position{4, 13}, Position{4, 6}},
		{"a tilde in a name", "/n/1/c~0d", Position{4, 23}, Position{4, 16}},
		{"an empty name", "/n/1/", Position{4, 30}, Position{4, 26}},
		{"a missing member is placed at its object", "/n/1/zz", Position{4, 5}, Position{4, 5}},
		{"a missing branch is placed at the nearest ancestor", "/n/1/zz/y/x", Position{4, 5}, Position{4, 5}},
		{"a missing element is placed at its list", "/n/7", Position{2, 22}, Position{2, 22}},
		{"an index with a leading zero is no index", "/n/00", Position{2, 22}, Position{2, 22}},
		{"a sign is no index", "/n/+1", Position{2, 22}, Position{2, 22}},
		{"what is no pointer means the document", "größe", Position{1, 1}, Position{1, 1}},
		{"a broken escape means the document", "/n/1/c~d", Position{1, 1}, Position{1, 1}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := doc.Locate(tt.pointer); got != tt.value {
				t.Errorf("the value of %q is at %v, want %v", tt.pointer, got, tt.value)
			}
			if got := doc.LocateName(tt.pointer); got != tt.member {
				t.Errorf("the name of %q is at %v, want %v", tt.pointer, got, tt.member)
			}
		})
	}
}

func TestOffsetsOutsideTheFileMeanItsEnds(t *testing.T) {
	doc := mustParse(t, "[\n1]")
	for offset, want := range map[int]Position{-5: {1, 1}, 0: {1, 1}, 1: {1, 2}, 2: {2, 1}, 4: {2, 3}, 99: {2, 3}} {
		if got := doc.Position(offset); got != want {
			t.Errorf("offset %d is at %v, want %v", offset, got, want)
		}
	}
}

func TestPointersAreJoinedAndSplitWithTheirEscapes(t *testing.T) {
	tests := []struct {
		pointer string
		tokens  []string
	}{
		{"", nil},
		{"/", []string{""}},
		{"/a/b", []string{"a", "b"}},
		{"/a~1b/c~0d", []string{"a/b", "c~d"}},
		{"/~01", []string{"~1"}},
		{"//x", []string{"", "x"}},
	}
	for _, tt := range tests {
		if got := JoinPointer(tt.tokens...); got != tt.pointer {
			t.Errorf("%q join to %q, want %q", tt.tokens, got, tt.pointer)
		}
		got, ok := SplitPointer(tt.pointer)
		if !ok || !slices.Equal(got, tt.tokens) {
			t.Errorf("%q splits to %q, want %q", tt.pointer, got, tt.tokens)
		}
	}
	for _, bad := range []string{"a", "a/b", "/~", "/~2", "/a~/b", "/~~01"} {
		if tokens, ok := SplitPointer(bad); ok {
			t.Errorf("%q is no pointer and splits to %q", bad, tokens)
		}
	}
	if got := ElementPointer(ChildPointer("/x", "a/b"), 12); got != "/x/a~1b/12" {
		t.Errorf("got %q", got)
	}
}

func TestSplitUndoesJoin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tokens := rapid.SliceOf(rapid.StringOf(rapid.SampledFrom([]rune("a~/01é")))).Draw(t, "tokens")
		got, ok := SplitPointer(JoinPointer(tokens...))
		if !ok || !slices.Equal(got, tokens) {
			t.Fatalf("%q came back as %q", tokens, got)
		}
	})
}
