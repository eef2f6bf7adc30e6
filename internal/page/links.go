package page

import (
	"fmt"
	"maps"
	"slices"

	"github.com/carlos7ags/folio/core"
)

// link is an area of a page that leads to an anchor.
type link struct {
	x, y, w, h float64
	anchor     string
	owner      *element
}

// linkEntry is a link as it stands in the file.
type linkEntry struct {
	owner *element
	page  int
	ref   *core.PdfIndirectReference
}

type bookmark struct {
	level int
	title string
	place
}

// Anchor names a height on the page, for links to lead to.
func (p *Page) Anchor(name string, y float64) { p.book.anchors[name] = place{p.number, y} }

// Link makes an area lead to an anchor, which may be set later. Inside a tag it
// belongs to that element, which should be a [LinkText].
func (p *Page) Link(x, y, w, h float64, anchor string) {
	p.links = append(p.links, link{x, y, w, h, anchor, p.book.open})
}

// Bookmark adds a line to the outline at the side. Levels count from 1.
func (p *Page) Bookmark(level int, title string, y float64) {
	p.book.bookmarks = append(p.book.bookmarks, bookmark{max(level, 1), title, place{p.number, y}})
}

// destination is a place as PDF says it: a page, and the height from its foot in points.
func (b *Book) destination(at place, pages []*core.PdfIndirectReference) *core.PdfArray {
	return core.NewPdfArray(pages[at.page], name("XYZ"), core.NewPdfNull(), real((b.paper.Height-at.y)*b.pt), core.NewPdfNull())
}

// addLinks adds the annotations of all pages, marked to be printed.
func (b *Book) addLinks(f *file, pages []*core.PdfIndirectReference) ([]linkEntry, error) {
	var entries []linkEntry
	for _, p := range b.pages {
		for _, l := range p.links {
			to, there := b.anchors[l.anchor]
			if !there {
				return nil, fmt.Errorf("a link on page %d leads to %q, which is nowhere in the file", p.Number(), l.anchor)
			}
			pt := b.pt
			top := b.paper.Height - l.y
			annotation := dict("Type", name("Annot"), "Subtype", name("Link"),
				"Rect", core.NewPdfArray(real(l.x*pt), real((top-l.h)*pt), real((l.x+l.w)*pt), real(top*pt)),
				"Border", core.NewPdfArray(core.NewPdfInteger(0), core.NewPdfInteger(0), core.NewPdfInteger(0)),
				"F", core.NewPdfInteger(4), "Dest", b.destination(to, pages))
			if l.owner != nil {
				annotation.Set("StructParent", core.NewPdfInteger(len(b.pages)+len(entries)))
			}
			e := linkEntry{l.owner, p.number, f.add(annotation)}
			if l.owner != nil {
				l.owner.inner = append(l.owner.inner, child{link: e.ref, page: p.number})
			}
			entries = append(entries, e)
		}
	}
	return entries, nil
}

// outline adds the bookmarks. A level that goes down by more than one step is
// taken for one step.
func (b *Book) outline(f *file, pages []*core.PdfIndirectReference) *core.PdfIndirectReference {
	if len(b.bookmarks) == 0 {
		return nil
	}
	root := &outlineNode{dictionary: dict("Type", name("Outlines"))}
	root.ref = f.add(root.dictionary)
	trail := []*outlineNode{root}
	for _, m := range b.bookmarks {
		level := min(m.level, len(trail))
		trail = trail[:level]
		n := &outlineNode{dictionary: dict("Title", core.NewPdfTextString(m.title), "Dest", b.destination(m.place, pages))}
		n.ref = f.add(n.dictionary)
		trail[level-1].inner = append(trail[level-1].inner, n)
		trail = append(trail, n)
	}
	root.join()
	return root.ref
}

// outlineNode is a bookmark with those below it.
type outlineNode struct {
	ref        *core.PdfIndirectReference
	dictionary *core.PdfDictionary
	inner      []*outlineNode
}

// join ties the bookmarks to each other and returns how many are visible. All
// are open.
func (n *outlineNode) join() int {
	count := len(n.inner)
	for i, c := range n.inner {
		c.dictionary.Set("Parent", n.ref)
		if i > 0 {
			c.dictionary.Set("Prev", n.inner[i-1].ref)
		}
		if i+1 < len(n.inner) {
			c.dictionary.Set("Next", n.inner[i+1].ref)
		}
		count += c.join()
	}
	if len(n.inner) > 0 {
		n.dictionary.Set("First", n.inner[0].ref)
		n.dictionary.Set("Last", n.inner[len(n.inner)-1].ref)
		n.dictionary.Set("Count", core.NewPdfInteger(count))
	}
	return count
}

// namedPlaces lists the anchors by name, so that other files can point at them.
func (b *Book) namedPlaces(pages []*core.PdfIndirectReference) *core.PdfDictionary {
	names := core.NewPdfArray()
	for _, n := range slices.Sorted(maps.Keys(b.anchors)) {
		names.Add(core.NewPdfLiteralString(n))
		names.Add(b.destination(b.anchors[n], pages))
	}
	return dict("Names", names)
}
