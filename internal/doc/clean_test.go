package doc

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"pgregory.net/rapid"
)

func TestClean(t *testing.T) {
	tests := []struct {
		name     string
		in, want string
		limit    int
	}{
		{"plain text stays as it is", "M8 × 25, 47 N·m", "M8 × 25, 47 N·m", 0},
		{"a line feed stays", "one\ntwo", "one\ntwo", 0},
		{"CR LF becomes a line feed", "one\r\ntwo", "one\ntwo", 0},
		{"a lone carriage return is shown, for it would overwrite the line", "safe\rlive", "safe␍live", 0},
		{"a tab becomes a space", "a\tb", "a b", 0},
		{"a terminal escape sequence is shown and does nothing", "\x1b[31mred\x07", "␛[31mred␇", 0},
		{"an eight-bit escape is shown by number", "\u009b2J", "‹U+009B›2J", 0},
		{"delete is shown", "a\x7f", "a␡", 0},
		{"NUL is shown", "a\x00b", "a␀b", 0},
		{"a right-to-left override is shown", "invoice\u202Egpj.exe", "invoice‹U+202E›gpj.exe", 0},
		{"an isolate that is never closed is shown", "\u2067x", "‹U+2067›x", 0},
		{"a direction mark is shown", "a\u200fb", "a‹U+200F›b", 0},
		{"a zero-width space is shown, for it makes two names out of one look", "fuel\u200btank", "fuel‹U+200B›tank", 0},
		{"a byte order mark is shown", "\ufeffa", "‹U+FEFF›a", 0},
		{"a soft hyphen is shown", "bra\u00adke", "bra‹U+00AD›ke", 0},
		{"a Hangul filler is shown", "a\u3164b", "a‹U+3164›b", 0},
		{"a line separator is shown", "a\u2028b", "a‹U+2028›b", 0},
		{"a tag character is shown", "a\U000e0041", "a‹U+E0041›", 0},
		{"a private use character is shown", "\ue000", "‹U+E000›", 0},
		{"a noncharacter is shown", "\uffff", "‹U+FFFF›", 0},
		{"broken UTF-8 is shown by byte", "a\xff\xc3", "a‹0xFF›‹0xC3›", 0},
		{"a replacement character that was really written stays", "a\ufffd", "a\ufffd", 0},
		{"right-to-left letters stay", "مرحبا", "مرحبا", 0},
		{"an Arabic number sign stays", "\u06001", "\u06001", 0},
		{"a joiner between letters of a script that needs it stays", "نمی\u200cخواهم", "نمی\u200cخواهم", 0},
		{"a joiner in Latin text is shown", "a\u200db", "a‹U+200D›b", 0},
		{"a joined emoji stays whole", "👩\u200d🔧", "👩\u200d🔧", 0},
		{"a few accents on a letter stay", "e\u0301\u0323", "e\u0301\u0323", 0},
		{"a tower of accents is cut and counted", "e" + strings.Repeat("\u0301", 20) + "x", "e" + strings.Repeat("\u0301", 8) + "‹12 more marks›x", 0},
		{"a tower of accents at the end is counted too", "e" + strings.Repeat("\u0301", 9), "e" + strings.Repeat("\u0301", 8) + "‹1 more marks›", 0},
		{"a value as long as the limit is not cut", "abcde", "abcde", 5},
		{"a longer value is cut and says how long it is", "abcdef", "abcde … (cut; 6 characters in all)", 5},
		{"the limit counts characters and not bytes", "ééééé", "ééééé", 5},
		{"a cut inside a tower of accents counts what it left out", "e" + strings.Repeat("\u0301", 12), "e" + strings.Repeat("\u0301", 8) + "‹1 more marks› … (cut; 13 characters in all)", 10},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := Clean(tt.in, tt.limit); got != tt.want {
				t.Errorf("got %q, want %q", got, tt.want)
			}
		})
	}
	if got := CleanLine("one\ntwo", 0); got != "one␊two" {
		t.Errorf("a line feed in a single line: got %q", got)
	}
}

// unsafe finds a character that may never leave Clean.
func unsafe(s string) (rune, bool) {
	for _, r := range s {
		if r != '\n' && (unicode.In(r, unicode.Cc, unicode.Co, unicode.Zl, unicode.Zp) ||
			unicode.Is(unicode.Bidi_Control, r) || r == 0x200b || r == 0xfeff) {
			return r, true
		}
	}
	return 0, false
}

func checkCleaned(t interface{ Errorf(string, ...any) }, in string) {
	out := Clean(in, 0)
	if r, bad := unsafe(out); bad || !utf8.ValidString(out) {
		t.Errorf("Clean(%q) lets %U through: %q", in, r, out)
	}
	if again := Clean(out, 0); again != out {
		t.Errorf("cleaning twice differs: %q, then %q", out, again)
	}
	if got := strings.Join(Pieces(out), ""); got != out {
		t.Errorf("pieces of %q give %q", out, got)
	}
}

func TestCleanLetsNothingDangerousThroughAndSettles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		checkCleaned(t, rapid.OneOf(rapid.String(), rapid.Map(rapid.SliceOf(rapid.Byte()), func(b []byte) string { return string(b) })).Draw(t, "s"))
	})
}

func FuzzClean(f *testing.F) {
	for _, s := range []string{"", "a\x1b[0m", "\u202e", "e\u0301\u0301", "\xff", "👩\u200d🔧", strings.Repeat("x/", 40)} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) { checkCleaned(t, s) })
}

func TestNaughtyStringsComeOutClean(t *testing.T) {
	root := os.Getenv("BOLTBACK_CONFORMANCE")
	if root == "" {
		root = filepath.Join("..", "..", "..", "shared", "facts", "conformance")
	}
	data, err := os.ReadFile(filepath.Join(root, "naughty-strings", "blns.json"))
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("the naughty strings are required here: BOLTBACK_CONFORMANCE names the folder of the suites:", err)
		}
		t.Skip("the naughty strings are not here; this test passes without having looked at them")
	}
	var naughty []string
	if err := json.Unmarshal(data, &naughty); err != nil || len(naughty) < 400 {
		t.Fatalf("%d strings, %v", len(naughty), err)
	}
	for _, s := range naughty {
		checkCleaned(t, s)
	}
}

func TestPieces(t *testing.T) {
	digest := strings.Repeat("0123456789abcdef", 4)
	tests := []struct {
		name, in, want string
	}{
		{"a short word is not broken", "fuel-tank", "fuel-tank"},
		{"a sentence of short words is not broken", "the tank was taken off and kept", "the tank was taken off and kept"},
		{"a long path is broken behind its separators", "work/2026-03-02-ada-strip-down", "work/|2026-|03-|02-|ada-|strip-|down"},
		{"a word without separators is broken at a length", digest[:45], "0123456789abcdef0123|456789abcdef01234567|89abc"[:47]},
		{"a short word beside a long one is left alone", "see-it work/2026-03-02-ada-strip", "see-it work/|2026-|03-|02-|ada-|strip"},
		{"no break comes between a letter and its accent", strings.Repeat("e", 20) + "\u0301xx", strings.Repeat("e", 20) + "\u0301|xx"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if got := strings.Join(Pieces(tt.in), "|"); got != tt.want {
				t.Errorf("got %q, want %q", got, tt.want)
			}
		})
	}
}

func TestDirectional(t *testing.T) {
	for s, want := range map[string]bool{"Björn": false, "שלום": true, "abc مرحبا": true, "日本": false, "": false} {
		if Directional(s) != want {
			t.Errorf("Directional(%q) is %v", s, !want)
		}
	}
}

func BenchmarkCleanLongNote(b *testing.B) {
	note := strings.Repeat("Ölwanne undicht, siehe work/2026-03-02-ada-strip. ", 200)
	for b.Loop() {
		Clean(note, TextLimit)
	}
}
