package render

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"fmt"
	"html"
	"io/fs"
	"regexp"
	"slices"
	"strings"
	"testing"
	"text/template/parse"
	"time"

	"github.com/Masterminds/sprig/v3"

	"boltback/internal/doc"
	"boltback/templates"
)

// page renders a document and fails the test if it can't.
func page(t testing.TB, d *doc.Document) string {
	t.Helper()
	var b bytes.Buffer
	if err := HTML(context.Background(), &b, d, HTMLOptions{}); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// with returns a small document around blocks.
func with(blocks ...doc.Block) *doc.Document {
	return &doc.Document{
		Title: "T", Language: "en",
		Provenance: &doc.Provenance{Subject: "S", Commit: "c0ffee", Day: "2026-01-02", Basis: doc.NotExamined},
		Sections:   []*doc.Section{doc.NewSection("s", "S", blocks...)},
	}
}

func TestThePolicyNamesTheStyleThatThePageHas(t *testing.T) {
	for _, title := range []string{"Plain", "</style><script>alert(1)</script>", "quote \" and \\ and '", "Ærø 日本 שלום", "\u202egnp"} {
		d := with(doc.Para("x"))
		d.Title = title
		p := page(t, d)
		style := regexp.MustCompile(`(?s)<style>(.*?)</style>`).FindAllStringSubmatch(p, -1)
		if len(style) != 1 {
			t.Fatalf("%q: %d styles", title, len(style))
		}
		sum := sha256.Sum256([]byte(style[0][1]))
		want := "style-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
		if !strings.Contains(html.UnescapeString(p), want) {
			t.Errorf("%q: the policy lacks %s", title, want)
		}
	}
}

func TestThePolicyForbidsEverythingElse(t *testing.T) {
	p := html.UnescapeString(page(t, with(doc.Para("x"))))
	for _, want := range []string{"default-src 'none'; img-src data:; style-src 'sha256-", "base-uri 'none'; form-action 'none'"} {
		if !strings.Contains(p, want) {
			t.Errorf("the policy lacks %q", want)
		}
	}
}

// builtin are the functions of the template language that we use.
var builtin = []string{"eq", "len", "or"}

func TestTemplatesCallOnlyAllowedFunctions(t *testing.T) {
	allowed := slices.Concat(builtin, borrowed)
	if len(allowed) >= 15 {
		t.Errorf("%d functions are more than a reader can keep in mind", len(allowed))
	}
	called := map[string]bool{}
	for name, tree := range trees(t) {
		walkNodes(tree.Root, func(n parse.Node) {
			if id, ok := n.(*parse.IdentifierNode); ok {
				called[id.Ident] = true
				if !slices.Contains(allowed, id.Ident) {
					t.Errorf("template %q calls %q, which is not on the list", name, id.Ident)
				}
			}
		})
	}
	for _, name := range allowed {
		if !called[name] {
			t.Errorf("function %q is on the list and no template calls it", name)
		}
	}
}

func TestBorrowedFunctionsAreInTheHermeticSet(t *testing.T) {
	all := sprig.HermeticHtmlFuncMap()
	for _, name := range borrowed {
		if all[name] == nil {
			t.Errorf("sprig has no %q", name)
		}
	}
}

func TestTheWalkSeesAFunctionWhereverItHides(t *testing.T) {
	for _, source := range []string{
		`{{evil}}`, `{{if evil}}{{end}}`, `{{if .}}{{else}}{{evil}}{{end}}`, `{{range evil}}{{end}}`, `{{with (evil .)}}{{end}}`,
		`{{template "x" evil}}`, `{{$a := evil}}`, `{{. | evil}}`, `{{(evil).Field}}`, `{{range .}}{{else}}{{evil}}{{end}}`,
	} {
		set, err := parse.Parse("t", source, "", "", map[string]any{"evil": 1})
		if err != nil {
			t.Fatal(err)
		}
		found := false
		walkNodes(set["t"].Root, func(n parse.Node) {
			if id, ok := n.(*parse.IdentifierNode); ok && id.Ident == "evil" {
				found = true
			}
		})
		if !found {
			t.Errorf("the walk passes by the function in %s", source)
		}
	}
}

func TestTemplatesHoldNoScriptAndNoStyleAttribute(t *testing.T) {
	bad := regexp.MustCompile(`(?i)<script|\sstyle\s*=|\son[a-z]+\s*=|javascript:|https?:|@import|url\(["'h/]|<iframe|<object|<form|<link`)
	for name, source := range sources(t) {
		if found := bad.FindString(source); found != "" {
			t.Errorf("%s holds %q", name, found)
		}
	}
}

// sources returns the text of each template file.
func sources(t *testing.T) map[string]string {
	t.Helper()
	names, err := fs.Glob(templates.Files, "*.html")
	if err != nil || len(names) == 0 {
		t.Fatal("there are no templates", err)
	}
	texts := map[string]string{}
	for _, n := range names {
		b, err := fs.ReadFile(templates.Files, n)
		if err != nil {
			t.Fatal(err)
		}
		texts[n] = string(b)
	}
	return texts
}

// trees parses each template as the renderer does, before html/template adds
// its own functions.
func trees(t *testing.T) map[string]*parse.Tree {
	t.Helper()
	all := map[string]*parse.Tree{}
	names := map[string]any{}
	for _, n := range slices.Concat(builtin, borrowed) {
		names[n] = true
	}
	for n := range sprig.HermeticHtmlFuncMap() {
		names[n] = true
	}
	for file, source := range sources(t) {
		set, err := parse.Parse(file, source, "", "", names)
		if err != nil {
			t.Fatal(err)
		}
		for name, tree := range set {
			all[name] = tree
		}
	}
	return all
}

// walkNodes visits every node below n.
func walkNodes(n parse.Node, visit func(parse.Node)) {
	branch := func(b *parse.BranchNode) {
		walkNodes(b.Pipe, visit)
		walkNodes(b.List, visit)
		if b.ElseList != nil {
			walkNodes(b.ElseList, visit)
		}
	}
	visit(n)
	switch n := n.(type) {
	case *parse.ListNode:
		for _, c := range n.Nodes {
			walkNodes(c, visit)
		}
	case *parse.ActionNode:
		walkNodes(n.Pipe, visit)
	case *parse.PipeNode:
		for _, c := range n.Cmds {
			walkNodes(c, visit)
		}
	case *parse.CommandNode:
		for _, a := range n.Args {
			walkNodes(a, visit)
		}
	case *parse.ChainNode:
		walkNodes(n.Node, visit)
	case *parse.IfNode:
		branch(&n.BranchNode)
	case *parse.RangeNode:
		branch(&n.BranchNode)
	case *parse.WithNode:
		branch(&n.BranchNode)
	case *parse.TemplateNode:
		if n.Pipe != nil {
			walkNodes(n.Pipe, visit)
		}
	}
}

func TestNothingIsWrittenWhenThePageWouldBeTooLarge(t *testing.T) {
	var b bytes.Buffer
	err := HTML(context.Background(), &b, sample(t), HTMLOptions{MaxBytes: 20_000})
	if !errors.Is(err, ErrTooLarge) || b.Len() != 0 {
		t.Errorf("got %v and %d bytes", err, b.Len())
	}
}

func TestNothingIsWrittenWhenTheContextHasEnded(t *testing.T) {
	ctx, cancel := context.WithDeadline(context.Background(), time.Unix(0, 0))
	defer cancel()
	var b bytes.Buffer
	err := HTML(ctx, &b, sample(t), HTMLOptions{})
	if !errors.Is(err, context.DeadlineExceeded) || b.Len() != 0 {
		t.Errorf("got %v and %d bytes", err, b.Len())
	}
}

func TestAContextThatEndsMidwayStopsTheTemplates(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	b := bounded{ctx: ctx, left: 10}
	if _, err := b.Write([]byte("abc")); err != nil {
		t.Fatal(err)
	}
	cancel()
	if _, err := b.Write([]byte("abc")); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
}

// brokenWriter fails at the first write.
type brokenWriter struct{}

func (brokenWriter) Write([]byte) (int, error) { return 0, errors.New("disk full") }

func TestAFailingWriterIsReported(t *testing.T) {
	if err := HTML(context.Background(), brokenWriter{}, with(doc.Para("x")), HTMLOptions{}); err == nil {
		t.Error("HTML kept silent")
	}
	if err := Text(brokenWriter{}, with(doc.Para("x")), TextOptions{}); err == nil {
		t.Error("Text kept silent")
	}
}

func TestPaperIsAskedForByName(t *testing.T) {
	for paper, want := range map[Paper]string{A4: "size: A4;", Letter: "size: letter;", "": "", "A3; } * { display: none": ""} {
		var b bytes.Buffer
		if err := HTML(context.Background(), &b, with(doc.Para("x")), HTMLOptions{Paper: paper}); err != nil {
			t.Fatal(err)
		}
		got := regexp.MustCompile(` size: [^;}]*;`).FindString(b.String())
		if strings.TrimSpace(got) != want {
			t.Errorf("paper %q: got %q, want %q", paper, got, want)
		}
	}
}

func TestHeadingsDescendOneLevelAtATime(t *testing.T) {
	last := 0
	for _, m := range regexp.MustCompile(`<h([1-6])[ >]`).FindAllStringSubmatch(page(t, sample(t)), -1) {
		level := int(m[1][0] - '0')
		if level > last+1 {
			t.Errorf("h%d follows h%d", level, last)
		}
		last = level
	}
}

func TestEveryLinkInThePageHasItsTarget(t *testing.T) {
	p := page(t, sample(t))
	links := regexp.MustCompile(`href="#([^"]*)"`).FindAllStringSubmatch(p, -1)
	if len(links) < 6 {
		t.Fatalf("only %d links", len(links))
	}
	for _, m := range links {
		if n := strings.Count(p, fmt.Sprintf(`id="%s"`, m[1])); n != 1 {
			t.Errorf("%d elements have the id %q", n, m[1])
		}
	}
}

func TestATableWhoseWordsDoNotFitMayBreakThem(t *testing.T) {
	word := "WWWWWWWWWWWWWWWWWWWW"
	for _, tt := range []struct {
		name    string
		columns int
		cell    string
		want    string
	}{
		{"two short columns", 2, "Loft", `class="few short"`},
		{"three columns of long words, on a telephone", 3, word, `class="few dense short"`},
		{"five columns of short words", 5, "Loft", `class="many short"`},
		{"five columns of long words, on paper", 5, word, `class="many dense short"`},
		{"words that have a place to break count by their pieces", 2, "work/2026-03-02-ada-strip-down", `class="few short"`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			table := doc.NewTable("T")
			var cells []any
			for range tt.columns {
				table.Columns = append(table.Columns, doc.Col("x", 1))
				cells = append(cells, tt.cell)
			}
			table.Row(cells...)
			if p := page(t, with(table)); !strings.Contains(p, tt.want) {
				t.Errorf("the page lacks %s", tt.want)
			}
		})
	}
}

// many is a document of n sections with a table of twelve rows each.
func many(n int) *doc.Document {
	d := with(doc.Para("x"))
	d.Contents = 1
	for i := range n {
		table := doc.NewTable("Parts", doc.Col("Part", 3), doc.Col("Where", 2), doc.Num("Mass", 1))
		for r := range 12 {
			table.Row(doc.Say("Bracket {} {}", r, doc.FromRecord("parts/bracket", r)), "Loft, shelf 3", "1.2 kg")
		}
		d.Sections = append(d.Sections, doc.NewSection(fmt.Sprint("s-", i), "Section",
			doc.Lead("On the records, the car {}.", doc.Strong("can be put back")), table, doc.Warn("Lifting", "118 kg.")))
	}
	return d
}

func BenchmarkHTMLOf300Sections(b *testing.B) {
	d := many(300)
	for b.Loop() {
		var out bytes.Buffer
		if err := HTML(context.Background(), &out, d, HTMLOptions{}); err != nil {
			b.Fatal(err)
		}
		b.SetBytes(int64(out.Len()))
	}
}

func BenchmarkTextOf300Sections(b *testing.B) {
	d := many(300)
	for b.Loop() {
		var out bytes.Buffer
		if err := Text(&out, d, TextOptions{}); err != nil {
			b.Fatal(err)
		}
		b.SetBytes(int64(out.Len()))
	}
}

func TestANoticeStandsAtTheHeadOfEveryPrintedPageTheFirstToo(t *testing.T) {
	d := with(doc.Para("x"))
	d.Notice = "This car pins its own copy of the set: “heritage”"
	head := page(t, d)
	if n := strings.Count(head, `This car pins its own copy`); n != 2 {
		t.Errorf("the notice stands %d times in the heads", n)
	}
	if d.Notice = ""; strings.Contains(page(t, d), "pre-wrap; font: 8.5pt") {
		t.Error("a page without a notice has room for one")
	}
}
