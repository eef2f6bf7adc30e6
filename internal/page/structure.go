package page

import (
	"fmt"

	"github.com/carlos7ags/folio/core"
)

// Role is what a piece of content is to a reader that can't see it (ISO
// 32000-1, 14.8.4).
type Role string

// The roles.
const (
	Section    Role = "Sect"
	Heading1   Role = "H1"
	Heading2   Role = "H2"
	Heading3   Role = "H3"
	Heading4   Role = "H4"
	Paragraph  Role = "P"
	Aside      Role = "Note"
	List       Role = "L"
	Item       Role = "LI"
	ItemLabel  Role = "Lbl"
	ItemBody   Role = "LBody"
	Table      Role = "Table"
	Row        Role = "TR"
	HeaderCell Role = "TH"
	Cell       Role = "TD"
	Caption    Role = "Caption"
	Figure     Role = "Figure"
	Code       Role = "Code"
	LinkText   Role = "Link"
	FormField  Role = "Form"
)

// HeadingOf is the role of a heading at a depth from 1; the deepest is 4.
func HeadingOf(depth int) Role { return Role(fmt.Sprintf("H%d", min(max(depth, 1), 4))) }

// Element is a piece of the structure.
type Element struct {
	Role Role
	// Alt says in words what a figure shows.
	Alt string
	// Columns is how many columns a cell covers; 0 counts as 1.
	Columns int
	// OfRow says that a header cell names its row rather than its column.
	OfRow bool
}

// element is a node of the structure with what belongs to it, in reading order.
type element struct {
	Element
	role  string
	inner []child
	// ref and dictionary are given when the file is written.
	ref        *core.PdfIndirectReference
	dictionary *core.PdfDictionary
}

// child is an element, a piece of content by page and number, or a link.
type child struct {
	element    *element
	page, mark int
	link       *core.PdfIndirectReference
}

// Tag says what the things are that do paints: the calls inside it may go over
// several pages and may be nested. What is painted outside of any is decoration,
// which a speaking reader passes over.
func (b *Book) Tag(e Element, do func()) {
	parent := b.open
	if parent == nil {
		parent = b.root
	}
	inside := &element{Element: e, role: string(e.Role)}
	parent.inner = append(parent.inner, child{element: inside})
	before := b.open
	b.open = inside
	do()
	b.open = before
}

// Decoration paints what is no content, such as rules and running heads, from
// within a tag.
func (b *Book) Decoration(do func()) {
	before := b.open
	b.open = nil
	do()
	b.open = before
}

// mark begins a new marked piece of content if what is painted now belongs to
// another element than what was painted last.
func (p *Page) mark() {
	want := p.book.open
	if p.inMark && p.marked == want {
		return
	}
	p.endMark()
	p.inMark, p.marked = true, want
	if want == nil {
		p.content.WriteString("/Artifact BMC\n")
		return
	}
	number := len(p.marks)
	p.marks = append(p.marks, want)
	want.inner = append(want.inner, child{page: p.number, mark: number})
	fmt.Fprintf(&p.content, "/%s <</MCID %d>> BDC\n", want.role, number)
}

func (p *Page) endMark() {
	if p.inMark {
		p.content.WriteString("EMC\n")
		p.inMark = false
	}
}

// structureTree adds the structure to the file. Pages are numbered by their
// place, links behind them, so that a reader finds the element of each.
func (b *Book) structureTree(f *file, pages []*core.PdfIndirectReference, links []linkEntry) *core.PdfIndirectReference {
	tree := dict("Type", name("StructTreeRoot"))
	treeRef := f.add(tree)
	reserve(f, b.root)
	tree.Set("K", core.NewPdfArray(b.root.ref))
	b.root.fill(pages, treeRef)
	numbers := core.NewPdfArray()
	for i, p := range b.pages {
		owners := core.NewPdfArray()
		for _, e := range p.marks {
			owners.Add(e.ref)
		}
		numbers.Add(core.NewPdfInteger(i))
		numbers.Add(owners)
	}
	for i, l := range links {
		if l.owner != nil {
			numbers.Add(core.NewPdfInteger(len(b.pages) + i))
			numbers.Add(l.owner.ref)
		}
	}
	tree.Set("ParentTree", f.add(dict("Nums", numbers)))
	tree.Set("ParentTreeNextKey", core.NewPdfInteger(len(b.pages)+len(links)))
	return treeRef
}

// reserve gives each element its number in the file.
func reserve(f *file, e *element) {
	e.dictionary = core.NewPdfDictionary()
	e.ref = f.add(e.dictionary)
	for _, c := range e.inner {
		if c.element != nil {
			reserve(f, c.element)
		}
	}
}

// fill writes the element and those inside it.
func (e *element) fill(pages []*core.PdfIndirectReference, parent *core.PdfIndirectReference) {
	d := e.dictionary
	d.Set("Type", name("StructElem"))
	d.Set("S", name(e.role))
	d.Set("P", parent)
	if e.Alt != "" {
		d.Set("Alt", core.NewPdfTextString(e.Alt))
	}
	if a := e.attributes(); a != nil {
		d.Set("A", a)
	}
	kids := core.NewPdfArray()
	for _, c := range e.inner {
		switch {
		case c.element != nil:
			kids.Add(c.element.ref)
			c.element.fill(pages, e.ref)
		case c.link != nil:
			kids.Add(dict("Type", name("OBJR"), "Obj", c.link, "Pg", pages[c.page]))
		default:
			kids.Add(dict("Type", name("MCR"), "Pg", pages[c.page], "MCID", core.NewPdfInteger(c.mark)))
		}
	}
	d.Set("K", kids)
}

// attributes are those of a table's cells.
func (e *element) attributes() *core.PdfDictionary {
	if e.Role != HeaderCell && e.Role != Cell {
		return nil
	}
	a := dict("O", name("Table"))
	if e.Role == HeaderCell {
		scope := "Column"
		if e.OfRow {
			scope = "Row"
		}
		a.Set("Scope", name(scope))
	}
	if e.Columns > 1 {
		a.Set("ColSpan", core.NewPdfInteger(e.Columns))
	}
	if a.Len() == 1 {
		return nil
	}
	return a
}
