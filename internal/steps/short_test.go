package steps

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"boltback/internal/entry"
	"boltback/internal/record"
)

func TestALineTakesOverWhatTheLineBeforeSaid(t *testing.T) {
	for _, tc := range []struct{ name, before, line, full string }{
		{"the same done to another tag", "off 0200 lamp", "0210 horn", "off 0210 horn"},
		{"the same done to the next tag", "off 0200 lamp", ".horn, 2x M6", "off 0201 horn, 2x M6"},
		{"or with the other sign", "off 0200 lamp", "+ horn", "off 0201 horn"},
		{"the next tag and another deed", "off 0200 lamp", "on .horn", "on 0201 horn"},
		{"the next of a tag with its check character", "off 0111-9", ".horn", "off 0112 horn"},
		{"the next of a tag that is on two things", "off 0147a lamp", ".horn", "off 0148 horn"},
		{"the next tag alone", "off 0200 lamp", ".", "off 0201"},
		{"the next tag, and what else is known", "off 0099 lamp", "., loft crate 3", "off 0100, loft crate 3"},
		{"the last of several tags", "seen 0147 0148 0149", ".", "seen 0150"},
		{"the other one of a pair", "off 0200 head lamp LH", ".rh", "off 0201 head lamp rh"},
		{"the other one of a pair that bore no side", "off 0200 horn", ".O/S", "off 0201 horn O/S"},
		{"as many others of the same kind", "off 0200 horn, 4x M8 bolts", ".lamp, x2", "off 0201 lamp, 2x M8 bolt"},
		{"fasteners need no comma behind a name", "off 0200 horn lh 2m6", ".rh x3", "off 0201 horn rh, 3x M6"},
		{"the kind that was told last", "off 0200 horn 2m6, 1x M8", ".lamp x1, crate 3", "off 0201 lamp, 1x M8"},
		{"fasteners with a word behind them", "off 0200 horn", ".lamp 2x M6 screws", "off 0201 lamp, 2x M6 screws"},
		{"several counts", "off 0200 horn", ".lamp 2m6 1 clip", "off 0201 lamp, 2m6, 1 clip"},
		{"fasteners that are a word alone", "off 0200 horn", ".lamp 2 clips", "off 0201 lamp, 2 clips"},
		{"fractions of an inch", "off 0200 horn", ".lamp 3x5/16", "off 0201 lamp, 3x5/16"},
		{"a number in a name is no count", "off 0200 horn", ".relay 12", "off 0201 relay 12"},
		{"nor is the size of a thing", "off 0200 horn", ".plate 2x4", "off 0201 plate 2x4"},
		{"a part that is called so keeps its name", "off 0200 block, 1x M6", "off plate 4xM8", "off plate 4xM8"},
		{"a run of tags", "off 0200 lamp", "seen 0098..0101, loft crate 3", "seen 0098 0099 0100 0101, loft crate 3"},
		{"a run with a dash", "off 0200 lamp", "move 0147-0148 0150, loft", "move 0147 0148 0150, loft"},
		{"a run, done as before", "seen 0147", "0148..0149", "seen 0148 0149"},
		{"nothing is taken over by a line that says it all", "off 0200 lamp", "off fuel tank; left, 4x M8", "off fuel tank; left, 4x M8"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			b := bench(t)
			s := New(b)
			if tc.name == "a part that is called so keeps its name" {
				told, err := s.Take(Step{Act: "sighting", Things: []Thing{{Name: "plate 4xM8"}}})
				if err != nil || told.Open != "" {
					t.Fatal(err, told.Open)
				}
			}
			tc.full = strings.TrimSuffix(tc.full, ", crate 3")
			for _, line := range []string{tc.before, tc.line} {
				if _, err := s.Tell(line); err != nil {
					t.Fatal(line, err)
				}
			}
			lines := s.Lines()
			if got := strings.TrimSuffix(lines[len(lines)-1], ", crate 3"); got != tc.full {
				t.Errorf("%q is %q, not %q", tc.line, got, tc.full)
			}
		})
	}
}

func TestTheOtherOneOfAPairSitsOnTheOtherSide(t *testing.T) {
	s := New(bench(t))
	for _, line := range []string{"off 0200 horn lh", ".rh", ".n/s"} {
		if _, err := s.Tell(line); err != nil {
			t.Fatal(err)
		}
	}
	var got []string
	for _, n := range s.Result().New {
		got = append(got, n.Body.(*record.Part).Side)
	}
	if !slices.Equal(got, []string{"left", "right", "left"}) {
		t.Errorf("%q", got)
	}
	if told := s.Told()[2]; len(told.Notes) != 1 || !strings.Contains(told.Notes[0], "n/s is taken for the left, as in GB traffic keeps left") || !strings.Contains(told.Says, "side n/s") {
		t.Errorf("the assumption is not shown: %+v", told)
	}
}

func TestWhatNoLineSaidBeforeCannotBeTakenOver(t *testing.T) {
	for _, tc := range []struct{ before, line, message, hint string }{
		{"", ".horn", "no line before it says what is done to it", "off 0147 fuel tank"},
		{"", "0147", "no line before it says what is done to it", ""},
		{"", "0147..0149, loft", "no line before it says what is done to it", ""},
		{"off fuel tank", ".horn", "no tag was told before, so none is the next", "off 0147 fuel tank"},
		{"off 999999999 horn", ".lamp", "the numbers end", ""},
		{"off 0200 horn", ".lamp x2", "no fasteners were told before", "2x M8"},
		{"off 0200 horn", "seen 0120..0100", "a run of tags goes up", "0100..0119"},
		{"off 0200 horn", "seen 0100..0999", "at most 100", ""},
		{"off 0200 horn", "seen 0100..0100", "goes up", ""},
		{"off 0200 horn", "off 0300..0303 wheel", "a run of tags has no name", "a line each"},
	} {
		t.Run(tc.line, func(t *testing.T) {
			s := New(bench(t))
			if tc.before != "" {
				if _, err := s.Tell(tc.before); err != nil {
					t.Fatal(err)
				}
			}
			n := len(s.Told())
			_, err := s.Tell(tc.line)
			fault, ok := err.(*entry.Fault)
			if !ok || !strings.Contains(fault.Error(), tc.message) || !strings.Contains(fault.Hint, tc.hint) || len(s.Told()) != n {
				t.Errorf("%v, %+v, %d told", err, fault, len(s.Told()))
			}
		})
	}
}

// TestAFullLineMeansTheSameWithoutTheLinesBeforeIt tells short lines, takes the full ones that were kept, and tells each of them
// alone: it has the same act, tag and fasteners. So a line that can no longer be taken after a crash changes no other.
func TestAFullLineMeansTheSameWithoutTheLinesBeforeIt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := New(bench2)
		if _, err := s.Tell("off 0300 horn lh 2m6"); err != nil {
			t.Fatal(err)
		}
		for range rapid.IntRange(1, 8).Draw(t, "lines") {
			line := rapid.SampledFrom([]string{".", ".rh x2", "+lamp 4x M8 bolts", "0400 box x1", "on .motor", "seen 0500..0503", ".left", "., left, x3", "off .fan 3x5/16; bent", ".a x1 x2 x3"}).Draw(t, "line")
			if _, err := s.Tell(line); err != nil {
				t.Fatal(line, err)
			}
		}
		for i, line := range s.Lines() {
			alone := New(bench2)
			told, err := alone.Tell(line)
			if err != nil || !slices.Equal(alone.Lines(), []string{line}) {
				t.Fatalf("%q alone: %v, %q", line, err, alone.Lines())
			}
			was, is := s.Told()[i].step, told.step
			if is.Act != was.Act || is.Tag != was.Tag || is.Fasteners != was.Fasteners || len(is.Parts) != len(was.Parts) {
				t.Fatalf("%q alone: %+v, not %+v", line, is, was)
			}
		}
	})
}

func TestAShortLineIsCompletedToo(t *testing.T) {
	s := New(bench(t))
	for line, want := range map[string]string{".fu": ".Fuel tank", "+ star": "+Starter", ".seat": ".Seat, left"} {
		if got := s.Complete(line); !slices.Equal(got, []string{want}) {
			t.Errorf("%q goes on to %q", line, got)
		}
	}
}

// FuzzShortLines holds that a line from anywhere is taken or refused, and that what is kept of it is taken again as it stands.
func FuzzShortLines(f *testing.F) {
	for _, line := range []string{".rh x2", "+", "seen 0000..0099", "off 0147-9 x 2m6, x2", "0100-0101 a, x3", ".,;, x1", "on .+.", "off left", ". left 4x M8", "at crate 1"} {
		f.Add("off 0147 horn lh 2m6", line)
	}
	f.Fuzz(func(t *testing.T, first, line string) {
		s := New(bench2)
		for _, l := range []string{first, line} {
			_, _ = s.Tell(l) // what is refused is not kept
		}
		again, refused := s.Again(s.Lines())
		if len(refused) > 0 || fmt.Sprintf("%q", again.Lines()) != fmt.Sprintf("%q", s.Lines()) {
			t.Errorf("%q, %q: refused %q; %q and then %q", first, line, refused, s.Lines(), again.Lines())
		}
	})
}
