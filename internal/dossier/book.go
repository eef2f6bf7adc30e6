package dossier

import (
	"fmt"
	"strings"

	"boltback/internal/doc"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// book is the car opened for reading: what several sections need, worked out once.
type book struct {
	in        Input
	s         *ledger.Snapshot
	carRecord *record.Record // nil where the ledger has none
	car       *record.Car
	log       *movements
	anchors   map[record.Ref]string // records that have a section of their own in this document
}

func open(in Input) *book {
	b := &book{in: in, s: in.Snapshot, anchors: map[record.Ref]string{}}
	b.carRecord, b.car = b.s.Car()
	b.log = readMovements(b.s)
	return b
}

// link notes which records have a section of their own, so that sources point at it.
func (b *book) link() {
	for _, r := range b.s.OfKind(record.KindSession) {
		if standing, _ := b.s.StandingOf(r); standing != ledger.Withdraws {
			b.anchors[r.ID] = doc.Anchor(string(r.ID))
		}
	}
}

// source is the quiet reference to a place in a record.
func (b *book) source(r *record.Record, pointer string) doc.Span {
	if r == nil {
		return doc.FromRecord("car.json", 0)
	}
	line := 0
	if pointer != "" && r.Doc != nil {
		line = r.Doc.Locate(pointer).Line
	}
	span := doc.FromRecord(r.Path, line)
	span.Target = b.anchors[r.ID]
	return span
}

// name is what people call the record of that name, with its path behind it.
func (b *book) name(id record.Ref) doc.Text {
	if id == "" {
		return doc.Text{doc.Missing("")}
	}
	if r := b.s.Current(id); r != nil && titleOf(r) == string(r.ID) {
		return doc.Text{doc.See(b.anchors[r.ID], string(r.ID))}
	}
	return b.called(id).From(b.pathOf(id))
}

// called is name without the path.
func (b *book) called(id record.Ref) doc.Text {
	if id == "" {
		return doc.Text{doc.Missing("")}
	}
	if r := b.s.Current(id); r != nil {
		return doc.Text{doc.Plain(titleOf(r))}
	}
	if r := b.s.Record(id); r != nil {
		return doc.Say("{}, {}", doc.Struck(titleOf(r)), doc.Missing("withdrawn"))
	}
	return doc.Say("{}, {}", doc.Literal(string(id)), doc.Missing("no such record here"))
}

// titleOf is what people call a record: its name, a paper's caption, or its path.
func titleOf(r *record.Record) string {
	paper, isPaper := r.Body.(*record.Paper)
	switch {
	case !blank(r.Body.Heading().Name):
		return r.Body.Heading().Name
	case isPaper && !blank(paper.Caption):
		return paper.Caption
	}
	return string(r.ID)
}

func (b *book) pathOf(id record.Ref) doc.Span {
	if r := b.s.Current(id); r != nil {
		return b.source(r, "")
	}
	return doc.FromRecord(record.PathOf(id), 0)
}

// names lists records as people call them, with their paths.
func (b *book) names(ids []record.Ref) doc.Text {
	var list []doc.Text
	for _, id := range ids {
		list = append(list, b.name(id))
	}
	return joinTexts(list, ", ")
}

// callThem lists records as people call them, without their paths.
func (b *book) callThem(ids []record.Ref) doc.Text {
	var list []doc.Text
	for _, id := range ids {
		list = append(list, b.called(id))
	}
	return joinTexts(list, ", ")
}

// verdict says why a record does not simply stand; ok is false where it does.
func (b *book) verdict(r *record.Record) (t doc.Text, ok bool) {
	standing, by := b.s.StandingOf(r)
	switch standing {
	case ledger.Corrected, ledger.Withdrawn:
		word := map[ledger.Standing]string{ledger.Corrected: "Corrected", ledger.Withdrawn: "Withdrawn"}[standing]
		return doc.Say("{} by {}; reason: {}; it does not count.", word,
			doc.Text{doc.Plain(string(by.ID))}.From(b.source(by, "/reason")), quoted(by.Body.Heading().Reason)), true
	case ledger.Disputed:
		return doc.Say("Disputed: several records claim to correct or withdraw it, and none of them applies. It counts with that doubt: {}.",
			b.overThe(r)), true
	case ledger.NotApplied:
		return doc.Say("Not applied: {} is claimed by several records; reason given here: {}; it does not count.",
			b.name(r.Body.Heading().Corrects), quoted(r.Body.Heading().Reason)), true
	}
	return nil, false
}

func (b *book) overThe(r *record.Record) doc.Text {
	var list []doc.Text
	for _, over := range b.s.Over(r.ID) {
		list = append(list, doc.Text{doc.Plain(string(over.ID))}.From(b.source(over, "")))
	}
	return joinTexts(list, ", ")
}

// counts tells whether a record is taken for true, with or without a dispute.
func (b *book) counts(r *record.Record) bool {
	standing, _ := b.s.StandingOf(r)
	return standing == ledger.Stands || standing == ledger.Disputed
}

// struckUnless returns the text as it is, or struck through.
func struckUnless(counts bool, t doc.Text) doc.Text {
	if counts {
		return t
	}
	var struck doc.Text
	for _, span := range t {
		last := len(struck) - 1
		switch {
		case span.Style == doc.StyleSource:
			struck = append(struck, span)
		case last >= 0 && struck[last].Style == doc.StyleStruck:
			struck[last].Text += span.Text
		default:
			struck = append(struck, doc.Struck(span.Text))
		}
	}
	return struck
}

// stated is a text of a record, or the note that it is not stated.
func stated[T ~string](s T) doc.Span {
	switch s {
	case "", "not stated", "not recorded", "not looked for":
		return doc.Missing(string(s))
	}
	if blank(string(s)) {
		return doc.Missing("blank")
	}
	return doc.Plain(string(s))
}

// blank tells whether a text shows nothing.
func blank(s string) bool { return strings.TrimSpace(s) == "" }

// quoted sets free words of a record apart from the program's own.
func quoted[T ~string](s T) doc.Span {
	if s == "" {
		return doc.Missing("")
	}
	return doc.Plain("“" + string(s) + "”")
}

// asRead is a text of a record in which every character counts.
func asRead[T ~string](s T) doc.Span {
	if span := stated(s); span.Style == doc.StyleMissing {
		return span
	}
	return doc.Literal(string(s))
}

func joinTexts(list []doc.Text, separator string) doc.Text {
	var all doc.Text
	for i, t := range list {
		if i > 0 {
			all = append(all, doc.Plain(separator))
		}
		all = append(all, t...)
	}
	return all
}

func joinWords(words ...string) string {
	var kept []string
	for _, w := range words {
		if w != "" {
			kept = append(kept, w)
		}
	}
	return strings.Join(kept, " ")
}

// count is a number with its noun: "1 record", "2 records", "2 looms or hoses".
func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	others, last, either := strings.Cut(noun, " or ")
	if !either {
		return fmt.Sprintf("%d %s", n, many(noun))
	}
	list := strings.Split(others, ", ")
	for i := range list {
		list[i] = many(list[i])
	}
	return fmt.Sprintf("%d %s or %s", n, strings.Join(list, ", "), many(last))
}

// many is the plural of a noun.
func many(noun string) string {
	switch bare, y := strings.CutSuffix(noun, "y"); {
	case y && !strings.ContainsRune("aeiou", rune(bare[len(bare)-1])):
		return bare + "ies"
	case strings.HasSuffix(noun, "x") || strings.HasSuffix(noun, "sh") || strings.HasSuffix(noun, "ch") || strings.HasSuffix(noun, "ss"):
		return noun + "es"
	}
	return noun + "s"
}
