package render

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"unicode"
	"unicode/utf8"

	"boltback/internal/doc"
)

// everywhere is a document that holds a stranger's string wherever one can
// stand.
func everywhere(s string) *doc.Document {
	text := doc.Text{doc.Plain(s), doc.Strong(s), doc.Literal(s), doc.Struck(s), doc.Missing(s), doc.Withheld(s),
		doc.Transcribed(s), doc.FromRecord(s, 3), doc.FromCommit(s), doc.FromDigest(s), doc.FromClause(s), doc.See(doc.Anchor(s), s)}
	table := doc.NewTable(s, doc.Col(s, 1), doc.Num(s, 2), doc.Column{Header: s, Align: doc.Centre}, doc.Col(s, 1))
	table.ID = doc.Anchor("t" + s)
	table.Group(s)
	table.Row(text, text, doc.Cell{Text: text, Span: 2})
	matrix := doc.NewMatrix(s, s, []doc.State{{Mark: s, Word: s, Meaning: s}}, s)
	matrix.Row(text, doc.MatrixCell{State: s, Note: text})
	d := with(
		&doc.Paragraph{Text: text, Lead: true}, &doc.Facts{Caption: s, Items: []doc.Fact{{Label: s, Value: text}}},
		table, matrix, doc.Steps(doc.Item{Text: text}.With(&doc.Caution{Kind: s, Text: text})),
		&doc.Figure{ID: doc.Anchor("f" + s), Caption: text, Alt: s, Drawing: bars{}},
		&doc.PhotoSheet{Caption: s, Photos: []doc.Photo{{Image: []byte(s), Absent: s, Alt: s, Caption: text, Source: text, Taken: s, Claimed: s}, {Absent: s, Caption: text}}},
		&doc.Signature{Name: s, Time: text, Meaning: text, Status: text},
		&doc.Findings{Caption: s, Items: []doc.Finding{{Level: s, Where: s, What: text, Right: text, Code: s}}},
		&doc.Verbatim{Caption: s, Text: s}, doc.NewSection(doc.Anchor("x"+s), s, doc.Para("x")),
	)
	d.Title, d.Subtitle, d.Language, d.Contents = s, s, s, 2
	d.Provenance = &doc.Provenance{Subject: s, Commit: s, Day: s, Workshop: s, Program: s, Basis: s}
	return d
}

// tags takes the elements, with their attributes' names, out of a page.
var (
	tag       = regexp.MustCompile(`<(/?[a-zA-Z!][^\s>]*)((?:\s+[a-z-]+(?:="[^"]*")?)*)\s*>`)
	attribute = regexp.MustCompile(`([a-z-]+)(?:="[^"]*")?`)
)

// skeleton is the page's elements and attributes without any text. The places
// where a line may be broken are left out, for they depend on the text.
func skeleton(page string) string {
	var b strings.Builder
	for _, m := range tag.FindAllStringSubmatch(page, -1) {
		if name := strings.TrimPrefix(m[1], "/"); name == "wbr" || name == "br" || name == "bdi" {
			continue
		}
		b.WriteString(m[1])
		for _, a := range attribute.FindAllStringSubmatch(m[2], -1) {
			b.WriteString(" " + a[1])
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// harmless is the skeleton of a page whose strings hold nothing odd.
var harmless = sync.OnceValue(func() string {
	var b bytes.Buffer
	if err := HTML(context.Background(), &b, everywhere("x"), HTMLOptions{}); err != nil {
		return err.Error()
	}
	return skeleton(b.String())
})

// checkHarmless renders a stranger's string everywhere and looks whether it
// could act: on the page it must leave the elements as they are, on the terminal
// no control may come through.
func checkHarmless(t *testing.T, s string) {
	t.Helper()
	d := everywhere(s)
	var b bytes.Buffer
	if err := HTML(context.Background(), &b, d, HTMLOptions{}); err != nil {
		t.Fatalf("%q: %v", s, err)
	}
	if s != "" && skeleton(b.String()) != harmless() {
		t.Errorf("%q changes the elements of the page", s)
	}
	if strings.Contains(b.String(), "ZgotmplZ") {
		t.Errorf("%q reached a place where the templates refuse text", s)
	}
	checkCharacters(t, s, b.String(), false)
	for _, width := range []int{24, 80} {
		b.Reset()
		if err := Text(&b, d, TextOptions{Width: width}); err != nil {
			t.Fatal(err)
		}
		checkCharacters(t, s, b.String(), true)
	}
}

// checkCharacters looks for controls, save the isolates that the text
// renderer sets in pairs within a line.
func checkCharacters(t *testing.T, s, out string, isolates bool) {
	t.Helper()
	if !utf8.ValidString(out) {
		t.Errorf("%q: the rendering is not UTF-8", s)
	}
	for l := range strings.SplitSeq(out, "\n") {
		open := 0
		for _, r := range l {
			switch {
			case isolates && string(r) == isolate:
				open++
			case isolates && string(r) == endIsolate:
				open--
			case unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r):
				t.Errorf("%q lets %U through in %q", s, r, l)
			}
		}
		if open != 0 {
			t.Errorf("%q leaves %d isolates open in %q", s, open, l)
		}
	}
}

func TestHostileTextDoesNothing(t *testing.T) {
	for name, s := range map[string]string{
		"markup":                           `</p></td></style><script>alert(1)</script><img src=x onerror=alert(1)>`,
		"an attribute's end":               `" onmouseover="alert(1)" x="`,
		"a style's end":                    `"; } </style> * { background: url(//example.test) } \`,
		"a comment":                        `--> <!-- x ]]>`,
		"a template":                       `{{.Title}} {{define "x"}}`,
		"a terminal's escape sequences":    "\x1b]0;owned\x07\x1b[2J\x1b[31m\u009b1m",
		"an overwritten line":              "torque met\rtorque not met\b\b\b",
		"a reversal of the line":           "\u202egpj.exe\u2066\u2067x",
		"a right-to-left name":             "אברהם (12) ﷽ مرحبا 34",
		"an address that runs":             "javascript:alert(1)",
		"broken UTF-8":                     "\xff\xfe\xc0\xaf",
		"NUL":                              "a\x00b",
		"many lines":                       strings.Repeat("\n", 500) + "x",
		"a long note":                      strings.Repeat("noted at the bench ", 100),
		"a word of 10,000 characters":      strings.Repeat("W", 10_000),
		"10,000 wide characters":           strings.Repeat("車", 10_000),
		"a tower of accents":               "Z" + strings.Repeat("\u0310", 1_000),
		"the page's own words in disguise": "(withheld) [work/x:1] CAUTION",
		"spaces alone":                     "   ",
		"an invisible name":                "\u200b\u3164\u00ad",
	} {
		t.Run(name, func(t *testing.T) { checkHarmless(t, s) })
	}
}

func TestNaughtyStringsDoNothing(t *testing.T) {
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
		checkHarmless(t, s)
	}
}

func TestALongNoteIsShownWholeAndALongerOneSaysWhereItWasCut(t *testing.T) {
	note := strings.Repeat("noted at the bench ", 526) + "theend"
	if p := page(t, with(doc.Para("{}", note))); !strings.Contains(p, "theend") {
		t.Error("a note of 10,000 characters was cut")
	}
	note = strings.Repeat("noted at the bench ", 1_100) + "theend"
	want := "(cut; 20906 characters in all)"
	if p := page(t, with(doc.Para("{}", note))); strings.Contains(p, "theend") || !strings.Contains(p, want) {
		t.Error("a longer note was not cut with a note in the page")
	}
	var b bytes.Buffer
	if err := Text(&b, with(doc.Para("{}", note)), TextOptions{Width: 2_000}); err != nil || !strings.Contains(b.String(), want) {
		t.Error("a longer note was not cut with a note in the text", err)
	}
}

func FuzzText(f *testing.F) {
	for _, s := range []string{"", "x", "\x1b[0m", "a b\n\nc", strings.Repeat("車", 90), "שלום", "\xff", "e\u0301", strings.Repeat("x/", 50)} {
		f.Add(s, 80)
		f.Add(s, 0)
	}
	f.Fuzz(func(t *testing.T, s string, width int) {
		var b bytes.Buffer
		if err := Text(&b, everywhere(s), TextOptions{Width: width % 500}); err != nil {
			t.Fatal(err)
		}
		checkCharacters(t, s, b.String(), true)
	})
}

func FuzzHTML(f *testing.F) {
	for _, s := range []string{"", "<b>", `"'`, "</style>", "\x00", "\u202e", "שלום"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) { checkHarmless(t, s) })
}
