package identity

import (
	"strings"
	"testing"
)

func TestKeyLeavesOutDecorationAndNothingElse(t *testing.T) {
	for _, c := range []struct{ name, raw, key string }{
		{"stars and spaces", "*1E 10432 BW*", "1E10432BW"},
		{"dashes of every sort", "12-34–56—78−90", "1234567890"},
		{"dots and slashes", "AN5L/17.482", "AN5L17482"},
		{"backslash", `12\34`, "1234"},
		{"quotation marks", `'0034' "5" “6”`, "003456"},
		{"small letters count as capitals", "an5l", "AN5L"},
		{"unknown places stay", "A?4", "A?4"},
		{"a full-width question mark is an unknown place", "A？4", "A?4"},
		{"full-width letters stay what they are", "ＡＢ1", "ＡＢ1"},
		{"Cyrillic stays what it is", "АB1", "АB1"},
		{"dotless i does not turn into I", "1ı", "1ı"},
		{"long s does not turn into S", "1ſ", "1ſ"},
		{"other marks are places", "12#3_4+5", "12#3_4+5"},
		{"accents belong to their letter", "A\u0308B", "ÄB"},
		{"an accented star is a place", "A*\u0308B", "A*\u0308B"},
		{"zero-width space and byte order mark are invisible", "\ufeff1\u200b2", "12"},
		{"tabs and line ends are spaces", "12\t3\r\n", "123"},
		{"no-break space is a space", "12\u00a03", "123"},
		{"nothing", "", ""},
		{"decoration alone", "* - *", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := Key(c.raw).String(); got != c.key {
				t.Errorf("Key(%q) = %q, want %q", c.raw, got, c.key)
			}
		})
	}
}

func TestKeyTellsWhatItDropped(t *testing.T) {
	f := Key("**1E 10-432*")
	want := []Dropped{{"star", "**", 1}, {"space", " ", 3}, {"dash", "-", 5}, {"star", "*", 8}}
	if len(f.Dropped) != len(want) {
		t.Fatalf("got %+v", f.Dropped)
	}
	for i, d := range f.Dropped {
		if d != want[i] {
			t.Errorf("%d: got %+v, want %+v", i, d, want[i])
		}
	}
	if f.Small || !Key("1e").Small {
		t.Error("small letters are told by Small")
	}
	if divided := f.divisions(); len(divided) != 2 || divided[0] != 3 || divided[1] != 5 {
		t.Errorf("divided before %v", divided)
	}
}

func TestOddCharactersArePointedOut(t *testing.T) {
	for _, c := range []struct{ name, raw, says string }{
		{"Cyrillic", "1А", `Cyrillic "А" (U+0410) looks like "A"`},
		{"Greek", "1Β", `Greek "Β" (U+0392) looks like "B"`},
		{"full width", "1Ｚ", `full-width "Ｚ" (U+FF3A) looks like "Z"`},
		{"a digit in a circle", "1②", `looks like "2"`},
		{"a slashed O", "1Ø", `looks like "0"`},
		{"Cyrillic without a twin", "1Ж", "not a plain Latin letter or digit"},
		{"a symbol", "1#", "neither a letter nor a digit"},
	} {
		t.Run(c.name, func(t *testing.T) {
			odd := Key(c.raw).Oddities
			if len(odd) != 1 || odd[0].Place != 2 || !strings.Contains(odd[0].Sentence, c.says) {
				t.Errorf("got %+v, want %q", odd, c.says)
			}
		})
	}
	if odd := Key("AZ09?*-").Oddities; odd != nil {
		t.Errorf("plain characters are odd: %+v", odd)
	}
}

func TestTwinTableIsInStep(t *testing.T) {
	for char, want := range map[string]string{"А": "A", "У": "Y", "Ѕ": "S", "Α": "A", "Χ": "X", "Υ": "Y", "ı": "I", "Ø": "0", "A": "", "Ж": "", "": ""} {
		if got := twin(char); got != want {
			t.Errorf("twin(%q) = %q, want %q", char, got, want)
		}
	}
}

func TestATextIsNoNumber(t *testing.T) {
	for _, raw := range []string{strings.Repeat("1", maxPlaces+1), strings.Repeat("*", maxBytes+1)} {
		if f := Key(raw); !f.TooLong || len(f.Places) != 0 {
			t.Errorf("%d characters: %+v", len(raw), f)
		}
		if g := Compare(Plain(raw), Plain("1")); g.Verdict != NotCompared || !strings.Contains(g.Sentence(), "not a number") {
			t.Errorf("got %s", g.Sentence())
		}
	}
	if Key(strings.Repeat("1", maxPlaces)).TooLong {
		t.Error("64 places are still a number")
	}
}
