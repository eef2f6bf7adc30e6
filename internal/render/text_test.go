package render

import (
	"bytes"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"boltback/internal/doc"
)

// typed renders blocks without sections.
func typed(t testing.TB, width int, blocks ...doc.Block) string {
	t.Helper()
	var b bytes.Buffer
	if err := TextBlocks(&b, blocks, TextOptions{Width: width}); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func lines(l ...string) string { return strings.Join(l, "\n") + "\n" }

func TestTextOfBlocks(t *testing.T) {
	wide := doc.NewTable("部品", doc.Col("部品", 1), doc.Num("kg", 1))
	wide.Row("燃料タンク", "11.2")
	wide.Row("Pump", "0.9")
	centred := doc.NewTable("C", doc.Column{Header: "middle", Align: doc.Centre}, doc.Col("b", 1))
	centred.Row("x", "y")
	tests := []struct {
		name  string
		block doc.Block
		want  string
	}{
		{"a paragraph is wrapped between words", doc.Para("One two three four five six seven"),
			lines("One two three four five", "six seven")},
		{"a line feed in a note begins a line", doc.Para("{}", "one\ntwo"), lines("one", "two")},
		{"a blank line in a note stays, several become one", doc.Para("{}", "one\n\n\n\ntwo"), lines("one", "", "two")},
		{"a long word begins on the line and is broken at its separators", doc.Para("see {}", "work/2026-03-02-ada-strip-down-of-all"),
			lines("see work/2026-03-02-ada-", "strip-down-of-all")},
		{"a word without separators is broken at the width", doc.Para("{}", strings.Repeat("x", 30)),
			lines(strings.Repeat("x", 20), strings.Repeat("x", 10))},
		{"a mark stays with its word", doc.Para("{}.", doc.Strong("off")), lines("off.")},
		{"a source is set apart", doc.Para("Off{}", doc.FromRecord("work/x", 3)), lines("Off [work/x:3]")},
		{"states of a value are said in words", doc.Para("{} {} {} {}", doc.Struck("1"), doc.Transcribed("2"), doc.Missing(""), doc.Withheld("")),
			lines("[struck out: 1] 2", "(transcribed) (not", "stated) (withheld)")},
		{"a literal keeps its spaces", doc.Para("as read: {}", doc.Literal("*OS  11 2*")), lines("as read: *OS  11 2*")},
		{"wide characters take two columns", wide,
			lines("部品", "────────────────", "部品          kg", "────────────────", "燃料タンク  11.2", "Pump         0.9", "────────────────")},
		{"a cell can stand in the middle", centred,
			lines("C", "─────────", "middle  b", "─────────", "  x     y", "─────────")},
		{"every line of a caution carries its mark", doc.Warn("Lifting", "Keep clear of the load, always."),
			lines("!! CAUTION: LIFTING", "!! Keep clear of the", "!! load, always.")},
		{"steps count on from where they start", &doc.List{Ordered: true, Start: 9, Items: []doc.Item{doc.Point("a"), doc.Point("b")}},
			lines(" 9. a", "10. b")},
		{"letters from right to left are isolated as one run", doc.Para("by {}, here", "אב גד"), lines("by \u2068אב גד\u2069, here")},
		{"an inner section has a shorter rule", doc.NewSection("a", "Outer", doc.NewSection("b", "Inner", doc.Para("x"))),
			lines("Outer", "────────────────────────", "Inner", "─────", "x")},
		{"verbatim lines are not wrapped", &doc.Verbatim{Text: "git log --format=fuller --all\n  x\n"},
			lines("    git log --format=fuller --all", "      x")},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := typed(t, 24, tt.block); got != tt.want {
				t.Errorf("got\n%s\nwant\n%s", got, tt.want)
			}
		})
	}
}

func TestNothingGivesNothing(t *testing.T) {
	if got := typed(t, 80); got != "" {
		t.Errorf("got %q", got)
	}
}

func TestBoldIsSetOnlyForATerminalThatKnowsIt(t *testing.T) {
	block := []doc.Block{doc.Para("a {} c", doc.Strong("b"))}
	for bold, want := range map[bool]string{false: "a b c\n", true: "a \x1b[1mb\x1b[22m c\n"} {
		var b bytes.Buffer
		if err := TextBlocks(&b, block, TextOptions{Bold: bold}); err != nil || b.String() != want {
			t.Errorf("bold %v: got %q, %v", bold, b.String(), err)
		}
	}
}

func TestNoLineIsWiderThanThePage(t *testing.T) {
	word := rapid.StringOfN(rapid.RuneFrom([]rune("abc/-車é\u0301 \nש")), 0, 80, -1)
	rapid.Check(t, func(rt *rapid.T) {
		width := rapid.IntRange(leastWidth, 120).Draw(rt, "width")
		table := doc.NewTable("T", doc.Col(word.Draw(rt, "head"), rapid.IntRange(0, 9).Draw(rt, "weight")), doc.Num("n", 1), doc.Col("x", 2))
		for range rapid.IntRange(1, 4).Draw(rt, "rows") {
			table.Row(word.Draw(rt, "a"), word.Draw(rt, "b"), doc.Strong(word.Draw(rt, "c")))
		}
		table.Row(doc.Across(3, "{}", word.Draw(rt, "across")))
		out := typed(t, width, table, doc.Para("{}", word.Draw(rt, "p")), doc.FactsOf(doc.Is(word.Draw(rt, "l"), "{}", word.Draw(rt, "v"))),
			doc.Steps(doc.Point("{}", word.Draw(rt, "i")).With(doc.Warn("K", "{}", word.Draw(rt, "w")))))
		for l := range strings.SplitSeq(out, "\n") {
			if columns(l) > width {
				rt.Errorf("%d columns, want %d at most: %q", columns(l), width, l)
			}
			if strings.HasSuffix(l, " ") {
				rt.Errorf("the line ends in a space: %q", l)
			}
		}
	})
}

func TestWrappingLosesNoCharacter(t *testing.T) {
	bare := strings.NewReplacer(" ", "", "\n", "", isolate, "", endIsolate, "")
	rapid.Check(t, func(rt *rapid.T) {
		s := rapid.StringOf(rapid.RuneFrom([]rune("abcdef/-.車é\u0301 \nש"))).Draw(rt, "s")
		width := rapid.IntRange(leastWidth, 60).Draw(rt, "width")
		got := bare.Replace(typed(t, width, doc.Para("{}", s)))
		if want := bare.Replace(s); got != want {
			rt.Errorf("got %q, want %q", got, want)
		}
	})
}

func TestColumns(t *testing.T) {
	for s, want := range map[string]int{"": 0, "abc": 3, "é": 1, "e\u0301": 1, "車": 2, "ｱ": 1, "Ａ": 2, "🔧": 2, "ש": 1, "Ω": 1} {
		if got := columns(s); got != want {
			t.Errorf("%q takes %d columns, want %d", s, got, want)
		}
	}
}
