package page

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"pgregory.net/rapid"

	"boltback/internal/figure"
)

func TestTheTableOfObjectsPointsAtEachOfThem(t *testing.T) {
	file := written(t, sample(t))
	start, err := strconv.Atoi(string(regexp.MustCompile(`startxref\n(\d+)\n%%EOF\n$`).FindSubmatch(file)[1]))
	if err != nil || !bytes.HasPrefix(file[start:], []byte("xref\n0 ")) {
		t.Fatalf("no table at %d, %v", start, err)
	}
	entries := regexp.MustCompile(`(\d{10}) 00000 n \n`).FindAllSubmatch(file[start:], -1)
	if len(entries) < 20 {
		t.Fatalf("only %d objects", len(entries))
	}
	for i, e := range entries {
		at, err := strconv.Atoi(string(e[1]))
		if want := fmt.Sprintf("%d 0 obj\n", i+1); err != nil || !bytes.HasPrefix(file[at:], []byte(want)) {
			t.Errorf("object %d is not at %d", i+1, at)
		}
	}
}

func TestTheIdentifierFollowsTheContent(t *testing.T) {
	id := func(title string) string {
		b := New(Info{Title: title}, A4)
		b.Page()
		return string(regexp.MustCompile(`/ID \[.*?\]`).Find(written(t, b)))
	}
	first, again, other := id("a"), id("a"), id("b")
	if first != again || first == other || first == "" {
		t.Errorf("%s, %s, %s", first, again, other)
	}
}

func TestWhatTheFileSaysOfItselfIsWellFormedWhateverIsSaid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := New(Info{Title: rapid.String().Draw(t, "title"), Subject: rapid.String().Draw(t, "subject"), Author: rapid.String().Draw(t, "author"), Language: "en", Made: time.Unix(rapid.Int64Range(0, 4e9).Draw(t, "made"), 0)}, A4)
		d := xml.NewDecoder(bytes.NewReader(b.metadata().Data))
		for {
			if _, err := d.Token(); errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				t.Fatalf("%v in\n%s", err, b.metadata().Data)
			}
		}
	})
}

func TestHostileNamesStayNames(t *testing.T) {
	hostile := ") >> endobj 1 0 obj << /OpenAction << /S /JavaScript /JS (x) >> >> ("
	b := New(Info{Title: hostile, Subject: hostile, Author: hostile, Language: hostile, Program: hostile}, A4)
	p := b.Page()
	p.Anchor(hostile, 10)
	p.Bookmark(1, hostile, 10)
	b.Tag(Element{Role: Figure, Alt: hostile}, func() { p.Label(10, 10, figure.Label{Text: hostile, Size: 3}) })
	b.Tag(Element{Role: LinkText}, func() { p.Link(1, 1, 5, 5, hostile) })
	b.Attach(Attachment{Name: hostile, Description: hostile, MediaType: hostile, Data: []byte("x")})
	file := written(t, b)
	tool(t, file, "qpdf", "--check", "FILE")
	if json := tool(t, file, "qpdf", "--json", "FILE"); strings.Contains(json, `"/OpenAction":`) || strings.Contains(json, `"/JS":`) {
		t.Error("a name became part of the file's structure")
	}
}

func TestBookmarksNestAsTheirLevelsSay(t *testing.T) {
	for name, c := range map[string]struct {
		levels []int
		want   string
	}{
		"flat":                     {[]int{1, 1, 1}, "0 1 2"},
		"nested":                   {[]int{1, 2, 2, 1, 2}, "0(1 2) 3(4)"},
		"deep and back":            {[]int{1, 2, 3, 2, 1}, "0(1(2) 3) 4"},
		"a level left out":         {[]int{1, 3, 3, 2}, "0(1(2) 3)"},
		"beginning too deep":       {[]int{3, 1}, "0 1"},
		"a level that is no level": {[]int{-2, 1}, "0 1"},
	} {
		b := New(Info{}, A4)
		p := b.Page()
		for i, l := range c.levels {
			p.Bookmark(l, fmt.Sprint(i), 10)
		}
		if got := nested(qpdfJSON(t, written(t, b))["outlines"].([]any)); got != c.want {
			t.Errorf("%s: %s, want %s", name, got, c.want)
		}
	}
}

// nested writes bookmarks with those below each in brackets.
func nested(list []any) string {
	var parts []string
	for _, o := range list {
		m := o.(map[string]any)
		s := m["title"].(string)
		if kids := m["kids"].([]any); len(kids) > 0 {
			s += "(" + nested(kids) + ")"
		}
		parts = append(parts, s)
	}
	return strings.Join(parts, " ")
}

func TestLinksCoverTheirAreaAndLeadToTheirHeight(t *testing.T) {
	b := New(Info{}, A4)
	p := b.Page()
	p.Link(10, 20, 30, 5, "there")
	b.Page().Anchor("there", 100)
	text := tool(t, written(t, b), "qpdf", "--qdf", "--object-streams=disable", "FILE", "-")
	const pt = 72 / 25.4
	for _, want := range []float64{10 * pt, (297 - 25) * pt, 40 * pt, (297 - 20) * pt, (297 - 100) * pt} {
		if s := strings.TrimRight(fmt.Sprintf("%.6f", want), "0"); !strings.Contains(text, s) {
			t.Errorf("%s is not in the file", s)
		}
	}
	if !regexp.MustCompile(`/F 4\b`).MatchString(text) {
		t.Error("the link is not marked to be printed")
	}
}

func TestABookSetSmallerIsOnTheSamePaperWithMoreRoom(t *testing.T) {
	b := New(Info{Scale: 0.5}, A4)
	if got := b.Paper(); got != (Paper{420, 594}) {
		t.Errorf("there is room for %v", got)
	}
	p := b.Page()
	p.Link(10, 20, 30, 5, "there")
	p.Anchor("there", 100)
	text := tool(t, written(t, b), "qpdf", "--qdf", "--object-streams=disable", "FILE", "-")
	const pt = 72 / 25.4
	for _, want := range []float64{210 * pt, 297 * pt, 5 * pt, (297 - 12.5) * pt, 20 * pt, (297 - 50) * pt} {
		if s := strings.TrimRight(fmt.Sprintf("%.6f", want), "0"); !strings.Contains(text, s) {
			t.Errorf("%s is not in the file", s)
		}
	}
}

func TestAttachmentsStandInTheOrderOfTheirNames(t *testing.T) {
	b := New(Info{}, A4)
	b.Page()
	for _, n := range []string{"b.json", "a.json", "ä.json"} {
		b.Attach(Attachment{Name: n, Data: []byte(n)})
	}
	file := written(t, b)
	out := tool(t, file, "pdfdetach", "-list", "FILE")
	if !regexp.MustCompile(`(?s)1: a\.json.*2: b\.json.*3: `).MatchString(out) {
		t.Error(out)
	}
	for _, n := range []string{"b.json", "a.json"} {
		if got := tool(t, file, "qpdf", "--show-attachment="+n, "FILE"); got != n {
			t.Errorf("%s holds %q", n, got)
		}
	}
}

func TestAFormAsksNotToBeScaledAndADossierDoesNot(t *testing.T) {
	for full, want := range map[bool]int{true: 1, false: 0} {
		b := New(Info{FullSize: full}, A4)
		b.Page()
		if got := bytes.Count(written(t, b), []byte("/PrintScaling /None")); got != want {
			t.Errorf("full size %v: said %d times", full, got)
		}
	}
}

func TestFilesCanBeMadeSideBySide(t *testing.T) {
	want := written(t, sample(t))
	var group sync.WaitGroup
	for range 4 {
		group.Go(func() {
			if !bytes.Equal(want, written(t, sample(t))) {
				t.Error("a file made beside others differs")
			}
		})
	}
	group.Wait()
}

func TestAWriterThatFailsIsReported(t *testing.T) {
	if err := sample(t).Write(broken{}); err == nil || !strings.Contains(err.Error(), "disk full") {
		t.Error(err)
	}
}

type broken struct{}

func (broken) Write([]byte) (int, error) { return 0, errors.New("disk full") }

func TestManyCharactersAreMappedInListsOfAHundred(t *testing.T) {
	var text strings.Builder
	for r := rune(0x21); r < 0x180; r++ {
		if r < 0x7f || r > 0xa1 {
			text.WriteRune(r)
		}
	}
	b := New(Info{}, A4)
	p := b.Page()
	for i := 0; i < text.Len(); i += 60 {
		p.Label(5, 10+float64(i)/10, figure.Label{Text: strings.ToValidUTF8(text.String()[i:min(i+60, text.Len())], ""), Size: 3})
	}
	glyphs := 0
	for _, m := range regexp.MustCompile(`(\d+) beginbfchar`).FindAllSubmatch(b.fonts[0].characters(sortedGlyphs(b)), -1) {
		n, _ := strconv.Atoi(string(m[1]))
		if n > 100 {
			t.Errorf("a list of %d", n)
		}
		glyphs += n
	}
	if glyphs != len(b.fonts[0].glyphs) || glyphs < 250 {
		t.Errorf("%d characters of %d glyphs", glyphs, len(b.fonts[0].glyphs))
	}
	out := tool(t, written(t, b), "pdftotext", "FILE", "-")
	for _, r := range "ÄßŁőź~@" {
		if !strings.ContainsRune(out, r) {
			t.Errorf("%q can't be copied", r)
		}
	}
}

func sortedGlyphs(b *Book) []uint16 {
	var list []uint16
	for g := uint16(0); g < 7000; g++ {
		if _, ok := b.fonts[0].glyphs[g]; ok {
			list = append(list, g)
		}
	}
	return list
}
