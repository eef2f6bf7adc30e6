package code

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestCheckCharactersAreThoseOfTheStandard(t *testing.T) {
	// 0794 is the example of ISO 7064; the long one is the structure of ISO 27729.
	for digits, want := range map[string]byte{"0794": '0', "079": 'X', "000000021825009": '7', "0000": '1'} {
		if got := checkCharacter(digits); got != want {
			t.Errorf("checkCharacter(%s) = %c, want %c", digits, got, want)
		}
	}
}

func TestEverySubstitutionAndEverySwapIsCaught(t *testing.T) {
	const characters = "0123456789X"
	caught := 0
	for n := range 20_000 {
		tag, err := NewTag(n)
		if err != nil {
			t.Fatal(err)
		}
		right := strings.ReplaceAll(string(tag), "-", "")
		for i := range right {
			for _, c := range characters {
				if wrong := right[:i] + string(c) + right[i+1:]; wrong != right {
					mustRefuse(t, wrong, &caught)
				}
			}
			for j := i + 1; j < len(right); j++ {
				swapped := []byte(right)
				swapped[i], swapped[j] = swapped[j], swapped[i]
				if string(swapped) != right {
					mustRefuse(t, string(swapped), &caught)
				}
			}
		}
	}
	if caught < 1_000_000 {
		t.Errorf("only %d mistakes were tried", caught)
	}
}

func mustRefuse(t *testing.T, wrong string, caught *int) {
	t.Helper()
	if tag, err := ParseTag(wrong); err == nil {
		t.Fatalf("%s was taken for %s", wrong, tag)
	}
	*caught++
}

func TestATagIsReadHoweverItIsWritten(t *testing.T) {
	for typed, want := range map[string]Tag{
		"0109-8": "0109-8", "01098": "0109-8", " 0109 8 ": "0109-8", "0109.8": "0109-8", "0109\u20118": "0109-8",
		"0794-0": "0794-0", "0002-8": "0002-8", "123456789-" + string(checkCharacter("123456789")): join("123456789"),
	} {
		if got, err := ParseTag(typed); err != nil || got != want {
			t.Errorf("ParseTag(%q) = %q, %v; want %q", typed, got, err, want)
		}
	}
	for n := range 200 {
		tag, _ := NewTag(n)
		if strings.HasSuffix(string(tag), "X") {
			if got, err := ParseTag(strings.ToLower(string(tag))); err != nil || got != tag {
				t.Errorf("a small x of %s: %q, %v", tag, got, err)
			}
		}
	}
}

func TestWhatIsNoTagSaysWhy(t *testing.T) {
	for typed, want := range map[string]string{
		"":                       "has no digits",
		" - ":                    "has no digits",
		"109":                    "too short",
		"12345678901":            "too long",
		"0X09-8":                 "only the check character can be X",
		"0109-4":                 "after 0109 the check character would be 8, not 4",
		"O109-8":                 "has the character 'O'",
		"../etc":                 "has the character '/'",
		strings.Repeat("1", 999): "a text of 999 bytes",
	} {
		if _, err := ParseTag(typed); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("ParseTag(%q): %v; want %q", shown(typed), err, want)
		}
	}
	for _, n := range []int{-1, MaxNumber + 1} {
		if tag, err := NewTag(n); err == nil {
			t.Errorf("number %d became %s", n, tag)
		}
	}
}

func TestAMistypedCharacterIsNamed(t *testing.T) {
	known := []Tag{"0109-8", "0110-0", "0190-1"}
	for _, k := range known {
		if _, err := ParseTag(string(k)); err != nil {
			t.Fatal(err)
		}
	}
	for typed, want := range map[string]string{
		"0169-8":  "0109-8: character 3 is 0, not 6",
		"0109-4":  "0109-8: character 5 is 8, not 4",
		"1009-8":  "0109-8: characters 1 and 2 are swapped",
		"109-8":   "0109-8: a 0 is missing before character 1",
		"01109-8": "0109-8: character 2 (1) is too many",
	} {
		guesses := WhereMistyped(typed, known)
		if len(guesses) == 0 || guesses[0].String() != want {
			t.Errorf("WhereMistyped(%s) = %v; want %q first", typed, guesses, want)
		}
		for _, g := range guesses {
			if !g.Known {
				t.Errorf("WhereMistyped(%s) lists %s, which nobody knows, beside known ones", typed, g)
			}
		}
	}
}

func TestWithNothingKnownEveryLikelyTagIsListedLikelyFirst(t *testing.T) {
	guesses := WhereMistyped("0107-8", nil)
	if len(guesses) < 4 {
		t.Fatalf("only %v", guesses)
	}
	for i, g := range guesses {
		if g.Known {
			t.Errorf("%s counts as known", g)
		}
		if i > 0 && g.rank() < guesses[i-1].rank() {
			t.Errorf("%s stands behind %s", g, guesses[i-1])
		}
	}
}

func TestNothingIsGuessedWhereNothingIsWrongOrNothingIsThere(t *testing.T) {
	for _, typed := range []string{"0109-8", "", "radiator", strings.Repeat("9", 60)} {
		if g := WhereMistyped(typed, []Tag{"0109-8"}); g != nil {
			t.Errorf("WhereMistyped(%q) = %v", typed, g)
		}
	}
}

func TestOneSlipOnAKnownTagIsAlwaysAmongTheGuesses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		numbers := rapid.SliceOfN(rapid.IntRange(0, 99_999), 1, 30).Draw(t, "numbers")
		var known []Tag
		for _, n := range numbers {
			tag, _ := NewTag(n)
			known = append(known, tag)
		}
		meant := known[0]
		plain := strings.ReplaceAll(string(meant), "-", "")
		i := rapid.IntRange(0, len(plain)-1).Draw(t, "place")
		wrong := plain[:i] + rapid.SampledFrom([]string{"0", "1", "2", "3", "4", "5", "6", "7", "8", "9"}).Draw(t, "character") + plain[i+1:]
		if wrong == plain {
			return
		}
		for _, g := range WhereMistyped(wrong, known) {
			if g.Tag == meant && g.Slip == WrongCharacter && g.Place == i+1 {
				return
			}
		}
		t.Fatalf("%s was not guessed from %s", meant, wrong)
	})
}

func FuzzParseTag(f *testing.F) {
	for _, s := range []string{"0109-8", "x", "0109\u20118", "\xff", strings.Repeat("-", 70)} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, typed string) {
		WhereMistyped(typed, []Tag{"0109-8"})
		tag, err := ParseTag(typed)
		if err != nil {
			return
		}
		if again, err := ParseTag(string(tag)); err != nil || again != tag {
			t.Errorf("%q gave %q, which gives %q, %v", typed, tag, again, err)
		}
	})
}

func ExampleWhereMistyped() {
	known := []Tag{"0109-8", "0111-9"}
	_, err := ParseTag("0171-9")
	fmt.Println(err)
	for _, g := range WhereMistyped("0171-9", known) {
		fmt.Println(g)
	}
	// Output:
	// tag "0171-9" does not add up: after 0171 the check character would be 7, not 9
	// 0111-9: character 3 is 1, not 7
}
