package dossier

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"boltback/internal/doc"
	"boltback/internal/identity"
)

const (
	noEvidence = "no evidence"
	notRead    = "not read"
)

// numberStates are the states of a cell: how the readings from one source agree
// with all other readings of that number.
var numberStates = []doc.State{
	{Mark: "=", Word: string(identity.StateAgree), Meaning: "every character was made out and is the same"},
	{Mark: "≈", Word: string(identity.StateCompatible), Meaning: "nothing that was made out differs"},
	{Mark: "⊂", Word: string(identity.StateIncomplete), Meaning: "one holds only a part of the other"},
	{Mark: "±", Word: string(identity.StateNearMiss), Meaning: "what a slip would make of one number; not taken for the same"},
	{Mark: "≠", Word: string(identity.StateConflict), Meaning: "two different numbers, until a record settles it"},
	{Mark: "1", Word: string(identity.StateSingleSource), Meaning: "nothing else bears it out"},
	{Mark: "!", Word: noEvidence, Meaning: "damaged, or nothing made out"},
	{Mark: "–", Word: notRead, Meaning: "not stated"},
}

// addNumbers sets the comparison first, then what follows from it, then each reading.
func (b *book) addNumbers(s *doc.Section, read []numberRead) {
	var claims []identity.Claim
	var readings []identity.Reading
	for _, n := range read {
		readings = append(readings, n.Reading)
		if slices.Contains(compared, n.Kind) {
			claims = append(claims, n.Claim)
		}
	}
	if len(claims) > 0 {
		matrices := identity.Matrix(claims)
		s.Add(numberMatrix(matrices))
		s.Add(b.numberSentences(matrices, claims, readings))
		s.Add(b.closeUps(read)...)
		s.Add(b.transcriptionChecks(read)...)
	}
	if !b.brief() {
		s.Add(b.readingsOfNumbers(read))
	}
}

// numberMatrix sets the sources below each other and the kinds of number beside
// each other, of which there are fewer.
func numberMatrix(matrices []identity.KindMatrix) *doc.Matrix {
	var sources []string
	for _, m := range matrices {
		for _, c := range m.Claims {
			if name := sourceName(c.Source); !slices.Contains(sources, name) {
				sources = append(sources, name)
			}
		}
	}
	slices.Sort(sources)
	var kinds []string
	for _, m := range matrices {
		kinds = append(kinds, string(m.Kind))
	}
	matrix := doc.NewMatrix("Numbers as read, by source", "Read on or in", numberStates, kinds...)
	matrix.ID = "numbers"
	for _, source := range sources {
		var cells []doc.MatrixCell
		for _, m := range matrices {
			cells = append(cells, numberCell(m, source))
		}
		matrix.Row(doc.Say("{}", source), cells...)
	}
	return matrix
}

func sourceName(s identity.Source) string {
	if blank(string(s)) {
		return "source not stated"
	}
	return string(s)
}

// verdicts from the best to the worst.
var verdicts = []identity.Verdict{identity.Agree, identity.Compatible, identity.Incomplete, identity.NearMiss, identity.Conflict}

// numberCell takes the worst agreement of the readings from one source with any
// other reading of that number. That two readings from one sort of source agree
// bears nothing out; that they differ does count.
func numberCell(m identity.KindMatrix, source string) doc.MatrixCell {
	state, worst := notRead, -1
	var seen []string
	var raws []doc.Text
	for i, c := range m.Claims {
		if sourceName(c.Source) != source {
			continue
		}
		if raw := c.Number.Raw; !slices.Contains(seen, raw) {
			seen = append(seen, raw)
			raws = append(raws, doc.Text{doc.Literal(raw)}.From(doc.FromRecord(c.Record, 0)))
		}
		if slices.Contains(m.Refused, i) {
			if state == notRead {
				state = noEvidence
			}
			continue
		}
		if worst < 0 {
			state = string(identity.StateSingleSource)
		}
		for _, p := range m.Pairs {
			rank := slices.Index(verdicts, p.Agreement.Verdict)
			same := m.Claims[p.I].Source == m.Claims[p.J].Source
			if (p.I == i || p.J == i) && rank > worst && (!same || rank > 0) {
				worst, state = rank, string(p.Agreement.Verdict)
			}
		}
	}
	return doc.MatrixCell{State: state, Note: joinTexts(raws, "; ")}
}

// numberSentences say what the readings come to and what follows from them.
func (b *book) numberSentences(matrices []identity.KindMatrix, claims []identity.Claim, readings []identity.Reading) *doc.List {
	list := doc.Bullets()
	for _, m := range matrices {
		var from []doc.Span
		for _, c := range m.Claims {
			from = append(from, doc.FromRecord(c.Record, 0))
		}
		list.Items = append(list.Items, doc.Item{Text: doc.Say("{}.", capital(m.Sentence())).From(atMost(from, 2)...)})
		list.Items = append(list.Items, differingPairs(m)...)
	}
	statements := slices.Concat(identity.Titled(claims), identity.Plates(identity.PlateEntries(readings)), identity.Statements(claims))
	for _, e := range identity.Enquiries(b.s, readings) {
		statements = append(statements, e.Statement)
	}
	seen := map[string]bool{}
	for _, st := range statements {
		if seen[st.Code+"\x00"+st.Sentence] {
			continue
		}
		seen[st.Code+"\x00"+st.Sentence] = true
		item := doc.Point("{}: {}.", doc.Strong(capital(st.Severity.String())), st.Sentence)
		if len(st.Asks) > 0 {
			item.Text = item.Text.And(" What would settle it: {}.", strings.Join(st.Asks, "; "))
		}
		for _, path := range st.Records {
			item.Text = item.Text.From(doc.FromRecord(path, 0))
		}
		list.Items = append(list.Items, item)
	}
	return list
}

// differingPairs says how far each two writings of a number agree that are not
// the same number in full; each pair of writings once.
func differingPairs(m identity.KindMatrix) []doc.Item {
	var items []doc.Item
	seen := map[[2]string]bool{}
	for _, p := range m.Pairs {
		a, b := m.Claims[p.I], m.Claims[p.J]
		key := [2]string{min(a.Number.Raw, b.Number.Raw), max(a.Number.Raw, b.Number.Raw)}
		if p.Agreement.Verdict == identity.Agree || seen[key] {
			continue
		}
		seen[key] = true
		items = append(items, doc.Item{Text: doc.Say("{}, {} and {}: {}.", doc.Strong(capital(string(p.Agreement.Verdict))),
			sourceName(a.Source), sourceName(b.Source), p.Agreement.Sentence()).From(doc.FromRecord(a.Record, 0), doc.FromRecord(b.Record, 0))})
	}
	return items
}

// readingsOfNumbers lists each reading with its characters and circumstances.
func (b *book) readingsOfNumbers(read []numberRead) *doc.Table {
	slices.SortStableFunc(read, func(x, y numberRead) int { return rankOfKind(x.Kind) - rankOfKind(y.Kind) })
	t := doc.NewTable("Each number as it was read", doc.Col("Number", 2), doc.Col("Characters", 5), doc.Col("Read where", 5), doc.Col("By whom, when", 4), doc.Col("Further", 5))
	t.ID = "numbers-read"
	for _, n := range read {
		t.Row(n.number.What, charactersCell(n), b.readWhere(n), b.readBy(n), b.further(n))
	}
	return t
}

// rankOfKind orders the readings: what identifies the car first.
func rankOfKind(k identity.Kind) int {
	if i := slices.Index(compared, k); i >= 0 {
		return i
	}
	return len(compared)
}

func charactersCell(n numberRead) doc.Text {
	t := doc.Text{doc.Literal(n.number.Raw)}
	if n.number.Addition != "" {
		t = t.And("; of it {} added later: {}", asRead(n.number.Base), n.number.Addition)
	}
	return t
}

func (b *book) readWhere(n numberRead) doc.Text {
	t := doc.Say("{}, {}", stated(n.Source), spotOr(n.number.Place))
	if n.part != "" {
		t = t.And("; on {}", b.called(n.part))
	}
	return t
}

func (b *book) readBy(n numberRead) doc.Text {
	return doc.Say("{}, {}", b.called(n.number.ReadBy), dayOr(n.number.On)).From(b.source(n.Record, n.Pointer))
}

func (b *book) further(n numberRead) doc.Text {
	t := doc.Say("{}", legibility(n.number.Legibility))
	if n.part != "" || n.number.FactoryMethod != "" {
		t = t.And("; applied as the maker did: {}", stated(n.number.FactoryMethod))
	}
	if n.part != "" || n.number.OnCar != "" {
		t = t.And("; on the car when read: {}", stated(n.number.OnCar))
	}
	if now, moved := b.rides(n.part); moved {
		t = t.And("; now, by the lines: {}", stated(now))
	}
	if n.number.Status != "" {
		t = t.And("; status: {}", n.number.Status)
	}
	if n.number.Paper != "" {
		t = t.And("; see {}", b.called(n.number.Paper))
	}
	if n.number.Note != "" {
		t = t.And("; {}", quoted(n.number.Note))
	}
	return t
}

func spotOr(place string) doc.Span {
	if place == "" {
		return doc.Missing("spot not stated")
	}
	return doc.Plain(place)
}

func legibility(s string) doc.Span {
	if s == "" {
		return doc.Missing("legibility not stated")
	}
	return doc.Plain(s)
}

// capital begins a sentence. A path stays as it is, for it is a name that somebody may type.
func capital(s string) string {
	first, size := utf8.DecodeRuneInString(s)
	word, _, _ := strings.Cut(s, " ")
	if size == 0 || first == utf8.RuneError || strings.Contains(word, "/") {
		return s
	}
	return string(unicode.ToUpper(first)) + s[size:]
}
