package dossier

import (
	"fmt"
	"slices"

	"boltback/internal/doc"
)

// Reader is whom a dossier is for. Each asks questions of his own, and these are the chapters of his dossier; a question
// that the records do not answer stands there unanswered.
type Reader string

// The readers. The keeper's dossier is the complete one; a first responder's is one sheet.
const (
	Keeper    Reader = "keeper"
	Buyer     Reader = "buyer"
	Insurer   Reader = "insurer"
	Inspector Reader = "inspector"
	Mechanic  Reader = "mechanic"
	Responder Reader = "responder"
)

// Readers lists the readers, the keeper first.
func Readers() []Reader { return []Reader{Keeper, Buyer, Insurer, Inspector, Mechanic, Responder} }

// subtitle says for whom the document is.
func (r Reader) subtitle() string {
	switch r {
	case Buyer:
		return "Dossier for a buyer, from the records of the car"
	case Insurer:
		return "Dossier for an insurer, from the records of the car"
	case Inspector:
		return "Dossier for the inspection, from the records of the car"
	case Mechanic:
		return "Dossier for the next mechanic, from the records of the car"
	case Responder:
		return "Sheet for first responders, from the records of the car"
	}
	return "Dossier of the build, from the records of the car"
}

// question is one thing that a reader wants to know, and how the records are asked.
type question struct {
	ask    string
	answer func(*book) answer
}

// answer is what the records say to a question.
type answer struct {
	// short is the answer in a sentence; nil where the records give none, and then wants says what record would.
	short doc.Text
	wants string
	// chapters of the complete dossier that belong to the answer, and blocks of its own.
	chapters []string
	blocks   []doc.Block
}

// chapter is a section of the complete dossier.
type chapter struct {
	id    string
	build func(*book) *doc.Section
}

// chapters in the order of the complete dossier.
var chapters = []chapter{
	{"identity", (*book).identity},
	{"before-and-as-built", (*book).beforeAndAsBuilt},
	{"way-back", (*book).wayBack},
	{"parts-off", (*book).partsOff},
	{"parts-fitted", (*book).partsFitted},
	{"alterations", (*book).alterations},
	{"sessions", (*book).sessions},
	{"tightenings", (*book).tightenings},
	{"readings", (*book).readings},
	{"workings", (*book).workings},
	{"concerns", (*book).concerns},
	{"settings", (*book).settings},
	{"codes", (*book).codes},
	{"sign-offs", (*book).signOffs},
	{"keepers", (*book).keepers},
	{"stale", (*book).staleToday},
	{"wording", (*book).wordingToday},
	{"papers", (*book).papers},
}

func chapterNamed(id string) chapter {
	return chapters[slices.IndexFunc(chapters, func(c chapter) bool { return c.id == id })]
}

// complete is every chapter in its order.
func (b *book) complete() []*doc.Section {
	var sections []*doc.Section
	for _, c := range chapters {
		if s := c.build(b); s != nil {
			sections = append(sections, s)
		}
	}
	return sections
}

// answered is a reader's questions as chapters, behind the count of how many the records answer.
func (b *book) answered(questions []question) []*doc.Section {
	var sections []*doc.Section
	placed := map[string]place{}
	var open []doc.Text
	for i, q := range questions {
		a := q.answer(b)
		s := doc.NewSection(fmt.Sprintf("question-%d", i+1), q.ask)
		if a.short == nil {
			open = append(open, doc.Text{doc.See(s.ID, q.ask)})
			s.Add(doc.Lead("{}", doc.Missing("The records do not answer this.")), doc.Para("What would answer it: {}.", a.wants))
		} else {
			s.Add(&doc.Paragraph{Text: a.short, Lead: true})
		}
		s.Add(a.blocks...)
		for _, id := range a.chapters {
			b.addChapter(s, id, placed)
		}
		sections = append(sections, s)
	}
	return append([]*doc.Section{questionsCounted(len(questions), open)}, sections...)
}

// place is where a chapter stands: its anchor, and the question under which it does.
type place struct{ anchor, ask string }

// addChapter sets a chapter under the first question that it answers; later ones point there.
func (b *book) addChapter(s *doc.Section, id string, placed map[string]place) {
	if at, ok := placed[id]; ok {
		s.Add(doc.Para("More under {}.", doc.See(at.anchor, "“"+at.ask+"”")))
		return
	}
	if section := chapterNamed(id).build(b); section != nil {
		placed[id] = place{section.ID, s.Title}
		s.Add(section)
	}
}

func questionsCounted(all int, open []doc.Text) *doc.Section {
	s := doc.NewSection("questions", "How far the records answer")
	if len(open) == 0 {
		s.Add(doc.Lead("The records give an answer to each of the {} questions. Whether it is a good one is for the reader to judge.", all))
		return s
	}
	s.Add(doc.Lead("Of {} the records answer {}. Not answered:", count(all, "question"), all-len(open)))
	list := doc.Bullets()
	for _, q := range open {
		list.Items = append(list.Items, doc.Item{Text: q})
	}
	s.Add(list)
	return s
}

func (b *book) workings() *doc.Section { return WorkingsSummary(b.in.Workings) }

// brief tells whether the reader wants the whole picture sooner than every reading of it.
func (b *book) brief() bool { return b.in.Reader == Buyer }

// asked tells whether the document answers a reader's questions, so that long lists of what bears a statement out are cut
// short; the complete dossier and the verbs name every record.
func (b *book) asked() bool { return len(questions[b.in.Reader]) > 0 }

// few is a list of sources as the reader wants it: all, or the first with the number of the others.
func (b *book) few(sources []doc.Span) []doc.Span {
	most := len(sources)
	switch {
	case b.brief():
		most = 2
	case b.asked():
		most = 4
	}
	return atMost(sources, most)
}

// atMost cuts a list of sources to its first, with the number of the others; one more than that is no reason to cut.
func atMost(sources []doc.Span, most int) []doc.Span {
	if len(sources) <= most+1 {
		return sources
	}
	return append(sources[:most:most], doc.FromClause(fmt.Sprintf("and %d more", len(sources)-most)))
}

// staleToday is left out where the work was not replayed.
func (b *book) staleToday() *doc.Section {
	if b.in.Work == nil {
		return nil
	}
	return b.stale(b.in.Work, b.in.Day)
}

// wordingToday is left out where no sentence was judged.
func (b *book) wordingToday() *doc.Section {
	if len(b.in.Wording) == 0 {
		return nil
	}
	return b.said(b.in.Wording)
}
