package code

import (
	"errors"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestAPayloadComesBackAsItWas(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Payload{Kind: SheetKind, Names: rapid.SliceOfN(rapid.StringMatching(`[a-z0-9]{1,9}(-[a-z0-9]{1,9})?`), 1, maxNames).Draw(t, "names")}
		text, err := p.Text()
		if err != nil {
			t.Fatal(err)
		}
		back, err := ParsePayload(text)
		if err != nil || back.Kind != p.Kind || strings.Join(back.Names, "/") != strings.Join(p.Names, "/") {
			t.Fatalf("%+v became %q and then %+v, %v", p, text, back, err)
		}
	})
}

func TestALabelSaysWhatItHangsOnAndFitsTheSmallestCodeThatTiltsWell(t *testing.T) {
	const modules = 25
	for _, kind := range []Kind{TagKind, BagKind, CrateKind, WireKind} {
		for _, number := range []int{0, 109, 999_999} {
			tag, err := NewTag(number)
			if err != nil {
				t.Fatal(err)
			}
			text, err := LabelPayload(kind, tag).Text()
			if err != nil {
				t.Fatal(err)
			}
			back, err := ParsePayload(text)
			if got, ok := back.Tag(); err != nil || !ok || got != tag || back.Kind != kind {
				t.Errorf("%s came back as %+v, %v", text, back, err)
			}
			if s, err := Encode(text, Rough); err != nil || s.Side > modules {
				t.Errorf("%s takes %d modules, %v", text, s.Side, err)
			}
		}
	}
}

func TestOnlyOurOwnCodesAreRecognised(t *testing.T) {
	for _, text := range []string{
		"", "https://example.invalid/x", "bench:TAG/0109-8", "BENCH:TAG/0109-8 ", "BENCH:tag/0109-8", "WIFI:S:x;;",
		"BENCH:" + strings.Repeat("A", 5000),
	} {
		if p, err := ParsePayload(text); !errors.Is(err, ErrNotOurs) && err == nil {
			t.Errorf("%q was taken for %+v", shown(text), p)
		}
	}
}

func TestOneThatIsNearlyOursSaysWhatIsWrong(t *testing.T) {
	for text, want := range map[string]string{
		"BENCH:TAG/0109-4":          "does not add up",
		"BENCH:SHEET/../../ETC":     "cannot stand in a code",
		"BENCH:SHEET/A//B":          "cannot stand in a code",
		"BENCH:SHEET":               "from 1 to 6 names, not 0",
		"BENCH:SHEET/A/B/C/D/E/F/G": "from 1 to 6 names, not 7",
		"BENCH:SHELL/RM":            "is no kind of code",
		"BENCH:SHEET/$(REBOOT)":     "cannot stand in a code",
	} {
		if _, err := ParsePayload(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v; want %q", text, err, want)
		}
	}
}

func TestATagsCodeIsTheSmallestWithAnAlignmentMark(t *testing.T) {
	text, err := TagPayload("0109-8").Text()
	if err != nil || text != "BENCH:TAG/0109-8" {
		t.Fatalf("%q, %v", text, err)
	}
	s, err := Encode(text, Rough)
	if err != nil || s.Side != 25 {
		t.Errorf("side %d, %v: with 21 modules there is no alignment mark and a tilted picture is not read; with more it is not read from far", s.Side, err)
	}
	p, err := ParsePayload(text)
	if tag, ok := p.Tag(); err != nil || !ok || tag != "0109-8" {
		t.Errorf("%v %v %v", tag, ok, err)
	}
}

func FuzzParsePayload(f *testing.F) {
	for _, s := range []string{"BENCH:TAG/0109-8", "BENCH:SHEET/STRIP-DOWN/TERN-1500/2025-09-16/2", "BENCH:", "\xff\xfe"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		p, err := ParsePayload(text)
		if err != nil {
			return
		}
		if back, err := p.Text(); err != nil || back != text {
			t.Errorf("%q came back as %q, %v", text, back, err)
		}
	})
}
