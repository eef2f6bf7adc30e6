// Package doc is the document model: what a report says and how its parts
// hang together, apart from how it looks. One document goes through several
// renderers (terminal text, HTML, PDF) without being written twice.
//
// A document is a tree of sections; a section holds blocks; a block holds
// texts; a text is a run of styled spans. Blocks are always used as pointers
// and the list of them is closed, so that a renderer can switch over all.
//
// Strings may come from strangers. They are kept here as they are; a renderer
// passes each of them through [Clean] or [CleanLine] on its way out, and breaks
// long words where [Pieces] says so.
package doc

// NotExamined is the sentence that every computed statement carries.
const NotExamined = "Computed from records; the car was not examined."

// Document is one report.
type Document struct {
	// Title names the report; Subtitle says for whom or of what kind it is and
	// may be empty.
	Title, Subtitle string
	// Language is the BCP 47 tag of the program's own sentences, such as "en".
	Language string
	// Provenance stands below the title and feeds the running heads.
	Provenance *Provenance
	// Contents is the number of section levels in the table of contents; 0
	// leaves the table out.
	Contents int
	// Notice is what whoever holds a single page must know, in one line: it stands at the head of every page, and may be empty.
	Notice string
	// Sheets asks paper renderers to set the document on so many sheets at most, smaller if need be; 0 sets no bound. What does
	// not fit at the smallest size that can be read goes on to another sheet; nothing is dropped.
	Sheets int
	// Sections are the chapters in order.
	Sections []*Section
}

// Block is one piece of a section. The list is closed: [Section],
// [Paragraph], [Facts], [Table], [Matrix], [List], [Figure], [PhotoSheet],
// [Caution], [Signature], [Provenance], [Findings] and [Verbatim], each as a
// pointer.
type Block interface{ block() }

// Section is a heading with what stands below it. Sections nest.
type Section struct {
	// ID is the anchor, unique in the document and stable from one rendering
	// to the next; see [Anchor].
	ID, Title string
	// NewPage asks paper renderers to begin the section on a fresh page.
	NewPage bool
	Blocks  []Block
}

// NewSection returns a section of the given blocks.
func NewSection(id, title string, blocks ...Block) *Section {
	return &Section{ID: id, Title: title, Blocks: blocks}
}

// Add appends blocks to the section.
func (s *Section) Add(blocks ...Block) { s.Blocks = append(s.Blocks, blocks...) }

// Provenance says what a statement rests on. All fields are printed; an empty
// one is left out, except that [Check] asks for Commit, Day and Basis.
type Provenance struct {
	// Subject is what the report is about, in the reader's words.
	Subject string
	// Commit is the revision that was read, with a remark when files were
	// changed since.
	Commit string
	// Day is the day that the report takes for today.
	Day string
	// Workshop wrote the records; Program computed the report.
	Workshop, Program string
	// Basis is normally [NotExamined].
	Basis string
}

func (*Section) block()    {}
func (*Paragraph) block()  {}
func (*Facts) block()      {}
func (*Table) block()      {}
func (*Matrix) block()     {}
func (*List) block()       {}
func (*Figure) block()     {}
func (*PhotoSheet) block() {}
func (*Caution) block()    {}
func (*Signature) block()  {}
func (*Provenance) block() {}
func (*Findings) block()   {}
func (*Verbatim) block()   {}
