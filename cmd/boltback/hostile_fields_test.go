package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"
	"unicode"
	"unicode/utf8"

	"boltback/internal/canon"
	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/edtf"
	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/render"
	"boltback/internal/validate"
	"boltback/schema"
)

// strangers is what a stranger may write into any text: what a terminal obeys, in seven and in eight bits; links, bells and
// titles; what turns the direction of writing, isolates and hides; NUL; elements of a page, marks of a table and a template.
const strangers = "\x1b[2J\x1b]8;;http://h.invalid\a\u009b31m\x00\b\u202egpj\u2066\u2069\u200b\u200f\ufeff<script>alert(1)</script>\"'><svg/onload=alert(1)>[x](javascript:x) {{.}} \u202e\u05d0\r\n\nx"

// curt is for texts that may be short only.
const curt = "\x1b[2J\u202e\x00<b onload=x>"

// textField is a text of a kind of record, by its place in the schemas.
type textField struct {
	kind    record.Kind
	pointer string // in an example of the kind, where every list has one entry
	longest int
}

func (f textField) String() string { return string(f.kind) + " " + f.pointer }

// shaped walks the schemas of the kinds.
type shaped struct {
	t      *testing.T
	common *canon.Document
	kind   record.Kind
	fields []textField
}

// textFields gives an example of a kind with every member that its schema has, and the texts in it.
func textFields(t *testing.T, kind record.Kind) (example any, fields []textField) {
	t.Helper()
	s := &shaped{t: t, common: schemaFile(t, "common"), kind: kind}
	return s.example(schemaFile(t, string(kind)).Root, ""), s.fields
}

func schemaFile(t *testing.T, name string) *canon.Document {
	t.Helper()
	text, err := schema.Text(name)
	if err != nil {
		t.Fatal(err)
	}
	d, err := canon.Parse(text, canon.DefaultLimits())
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// example gives a value that a schema takes.
func (s *shaped) example(n *canon.Node, at string) any {
	given := n.Get("examples")
	if ref := n.Get("$ref"); ref != nil {
		_, pointer, _ := strings.Cut(ref.Text, "#")
		n = s.common.Find(pointer)
	}
	switch {
	case n.Get("const") != nil:
		return n.Get("const").Text
	case n.Get("properties") != nil:
		members := map[string]any{}
		for _, m := range n.Get("properties").Members {
			value := s.example(m.Value, at+"/"+m.Name)
			if !slices.Contains([]string{"/corrects", "/withdraws", "/reason"}, at+"/"+m.Name) { // a record that corrects nothing is the usual one
				members[m.Name] = value
			}
		}
		return members
	case n.Get("items") != nil:
		items := n.Get("items")
		return []any{s.example(s.withExample(items, given), at+"/0")}
	case n.Get("type").Text == "integer":
		return 1
	}
	return s.text(n, given, at)
}

// withExample gives the entry of a list; where the list has the example, its first entry is that of the entry.
func (s *shaped) withExample(items, given *canon.Node) *canon.Node {
	if given == nil || len(given.Elements[0].Elements) == 0 || items.Get("examples") != nil {
		return items
	}
	one := *given.Elements[0]
	one.Elements = one.Elements[:1]
	with := *items
	with.Members = append(slices.Clone(with.Members), canon.Member{Name: "examples", Value: &one})
	return &with
}

func (s *shaped) text(n, given *canon.Node, at string) string {
	if n.Get("type").Text != "string" {
		s.t.Fatalf("%s %s is neither text nor anything else that is known", s.kind, at)
	}
	f := textField{kind: s.kind, pointer: at, longest: 1 << 20}
	if longest := n.Get("maxLength"); longest != nil {
		f.longest, _ = strconv.Atoi(longest.Text)
	}
	s.fields = append(s.fields, f)
	switch {
	case given == nil:
		given = n.Get("examples")
	case len(given.Elements) == 0:
		given = nil
	}
	switch {
	case given != nil:
		return given.Elements[0].Text
	case n.Get("enum") != nil:
		return n.Get("enum").Elements[0].Text
	case strings.Contains(saidIn(n, "pattern"), "64"):
		return strings.Repeat("a", 64)
	case strings.Contains(saidIn(n, "pattern"), "40"):
		return strings.Repeat("a", 40)
	}
	return "x"
}

func saidIn(n *canon.Node, member string) string {
	if v := n.Get(member); v != nil {
		return v.Text
	}
	return ""
}

// planted gives an example with something else in the place of one text.
func planted(t *testing.T, example any, pointer, text string) []byte {
	t.Helper()
	copied, err := json.Marshal(example)
	if err != nil {
		t.Fatal(err)
	}
	var whole any
	if err := json.Unmarshal(copied, &whole); err != nil {
		t.Fatal(err)
	}
	in, steps := whole, strings.Split(pointer, "/")[1:]
	for i, step := range steps {
		last := i == len(steps)-1
		switch v := in.(type) {
		case map[string]any:
			if last {
				v[step] = text
			}
			in = v[step]
		case []any:
			if last {
				v[0] = text
			}
			in = v[0]
		}
	}
	return laidOutJSON(t, whole)
}

func laidOutJSON(t *testing.T, whole any) []byte {
	t.Helper()
	plain, err := json.Marshal(whole)
	if err != nil {
		t.Fatal(err)
	}
	d, err := canon.Parse(plain, canon.DefaultLimits())
	if err != nil {
		t.Fatal(err)
	}
	return canon.Layout(d)
}

// strange is a record with a stranger's text in one field. The marker before the text is that field's alone.
type strange struct {
	field      textField
	at, marker string
	src        []byte
}

// TestEveryTextOfEveryKindIsShownSafelyOrRefusedAtItsPlace plants a stranger's text into each text of each kind, one to a
// record, as the schemas have them. The table on file says for each what becomes of it; a text that is new in a schema has no row, and
// fails until somebody has looked at it.
func TestEveryTextOfEveryKindIsShownSafelyOrRefusedAtItsPlace(t *testing.T) {
	if raced {
		t.Skip("looked at without the race detector")
	}
	var together, all []strange
	fates := map[string]string{}
	for _, kind := range record.Kinds() {
		example, fields := textFields(t, kind)
		for _, f := range fields {
			one := strange{field: f, marker: fmt.Sprintf("qz%03dzq", len(all))}
			one.at = strings.NewReplacer("<slug>", fmt.Sprintf("h-%03d", len(all)), "<date>", "2026-03-02").Replace(record.PlaceOf(kind))
			text := one.marker + strangers
			if len(text) > f.longest {
				text = one.marker + curt
			}
			one.src = planted(t, example, f.pointer, text)
			if all = append(all, one); strings.Contains(record.PlaceOf(kind), "<slug>") {
				together = append(together, one)
			} else {
				lookAtStrangers(t, []strange{one}, fates) // a car has one of these
			}
		}
	}
	lookAtStrangers(t, together, fates)
	var table strings.Builder
	for _, one := range all {
		fmt.Fprintf(&table, "%-8s %s\n", fates[one.field.String()], one.field)
	}
	file := filepath.Join("testdata", "hostile_fields.txt")
	if *update {
		write(t, file, table.String())
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if got := table.String(); got != string(want) {
		t.Errorf("the table is not as in %s; look at the difference after: go test ./cmd/boltback -run EveryTextOfEveryKind -update", file)
	}
	if len(all) < 560 {
		t.Errorf("only %d texts were found in the schemas", len(all))
	}
}

// lookAtStrangers checks and shows the records of a ledger, and says what becomes of each strange text: refused at its place, or
// shown.
func lookAtStrangers(t *testing.T, records []strange, fates map[string]string) {
	t.Helper()
	files := fstest.MapFS{"ledger.json": {Data: []byte("{\n  \"kind\": \"ledger\",\n  \"edition\": \"1\"\n}\n")}}
	for _, one := range records {
		files[one.at] = &fstest.MapFile{Data: one.src}
	}
	s, err := ledger.Load(files)
	if err != nil {
		t.Fatal(err)
	}
	found, err := hostileCheck.Check(s, validate.Options{On: edtf.NewDay(2030, 1, 1)})
	if err != nil {
		t.Fatal(err)
	}
	at := map[string][]finding.Finding{}
	for _, f := range found {
		safe(t, "a finding in "+f.File, f.String()+" "+finding.Printable(f.Hint))
		at[f.File] = append(at[f.File], f)
	}
	words := shownAll(t, s)
	for _, one := range records {
		refused := func(f finding.Finding) bool {
			return f.Severity == finding.Error && f.Message != "" && within(one.src, one.field.pointer, f)
		}
		switch name := one.field.String(); {
		case slices.ContainsFunc(at[one.at], refused):
			fates[name] = "refused"
		case strings.Contains(words, one.marker):
			fates[name] = "shown"
		default:
			t.Errorf("%s is neither shown nor refused at its place: %v", name, at[one.at])
		}
	}
}

// shownAll shows every record on a terminal and on a page, and gives the terminal's words.
func shownAll(t *testing.T, s *ledger.Snapshot) string {
	t.Helper()
	d := &doc.Document{Title: "Records", Language: "en", Provenance: &doc.Provenance{Commit: "c", Day: "d", Basis: doc.NotExamined}}
	for _, r := range s.Records() {
		d.Sections = append(d.Sections, dossier.Show(s, r, nil))
	}
	var page, words bytes.Buffer
	if err := render.Text(&words, d, render.TextOptions{Width: 80}); err != nil {
		t.Fatal(err)
	}
	safe(t, "the records, shown", words.String())
	if err := render.HTML(context.Background(), &page, d, render.HTMLOptions{}); err != nil {
		t.Fatal(err)
	}
	harmlessPage(t, "the records, as a page", page.String())
	return words.String()
}

var hostileCheck = validate.New()

// within reports whether a finding stands where the text at a pointer does.
func within(src []byte, pointer string, f finding.Finding) bool {
	d, err := canon.Parse(src, canon.DefaultLimits())
	if err != nil {
		return f.Line > 0
	}
	place := d.Locate(pointer)
	return f.Line == place.Line && f.Column == place.Column
}

// safe finds what a terminal would obey, and what turns the direction of writing, save isolates that are closed in their line,
// and characters that nobody sees.
func safe(t *testing.T, about, text string) {
	t.Helper()
	if !utf8.ValidString(text) {
		t.Errorf("%s: it is not UTF-8", about)
	}
	for line := range strings.SplitSeq(text, "\n") {
		open := 0
		for i, r := range line {
			switch {
			case r == '\u2068':
				open++
			case r == '\u2069':
				open--
			case obeyed(r), unicode.Is(unicode.Cf, r):
				t.Errorf("%s: %U in %q", about, r, line[max(0, i-20):min(len(line), i+20)])
				return
			}
		}
		if open != 0 {
			t.Errorf("%s: %d isolates are left open in %q", about, open, line)
			return
		}
	}
}

var (
	elementForm  = regexp.MustCompile(`<([a-zA-Z][^\s/>]*)((?:"[^"]*"|[^">])*)>`)
	quotedForm   = regexp.MustCompile(`"([^"]*)"`)
	handlerForm  = regexp.MustCompile(`(?i)[\s/"]on[a-z]+\s*=`)
	runnableForm = regexp.MustCompile(`(?i)^\s*(?:javascript|vbscript|data:text)`)
)

// harmlessPage finds elements and attributes of a stranger's in a page, and what turns the direction of its text. An attribute's
// value may say anything, but for an address that runs.
func harmlessPage(t *testing.T, about, page string) {
	t.Helper()
	if i := strings.IndexFunc(page, obeyed); i >= 0 {
		t.Errorf("%s: %q in the page", about, page[max(0, i-20):min(len(page), i+20)])
	}
	for _, e := range elementForm.FindAllStringSubmatch(page, -1) {
		runs := handlerForm.MatchString(quotedForm.ReplaceAllString(e[2], `""`))
		for _, value := range quotedForm.FindAllStringSubmatch(e[2], -1) {
			runs = runs || runnableForm.MatchString(value[1])
		}
		if runs || slices.Contains([]string{"script", "svg", "iframe", "object", "embed", "base", "form", "b"}, strings.ToLower(e[1])) {
			t.Errorf("%s: an element %.300s", about, e[0])
			return
		}
	}
}

func TestTheWatchOverPagesAndTerminalsIsAwake(t *testing.T) {
	for _, page := range []string{"<p><script>x</script>", `<img src="x" onerror=alert(1)>`, `<a href="javascript:x">`, "<p>\u202e</p>", `<svg/onload=x>`, `<p title="a"onclick="x">`, "\u009b1m"} {
		if !awake(func(t *testing.T) { harmlessPage(t, "it", page) }) {
			t.Errorf("%q passes", page)
		}
	}
	for _, text := range []string{"\x1b[2J", "a\u2066b", "a\u2068b", "x\u200by", "\u009b", "\ufeff", "\xff", "a\rb"} {
		if !awake(func(t *testing.T) { safe(t, "it", text) }) {
			t.Errorf("%q passes", text)
		}
	}
	harmlessPage(t, "it", `<p>x &lt;script&gt; <img alt="x onload= y" src="data:image/png;base64,AA"></p>`)
	safe(t, "it", "a \u2068\u05d0\u2069 b\n")
}

// awake reports whether a watch finds fault.
func awake(watch func(*testing.T)) bool {
	var probe testing.T
	watch(&probe)
	return probe.Failed()
}
