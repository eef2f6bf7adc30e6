package page

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"strings"

	"github.com/carlos7ags/folio/core"
)

// catalog adds everything to the file and returns the object from which a
// reader begins (ISO 32000-1, 7.7.2).
func (b *Book) catalog(f *file) (*core.PdfDictionary, error) {
	list := core.NewPdfArray()
	tree := dict("Type", name("Pages"), "Kids", list, "Count", core.NewPdfInteger(len(b.pages)))
	treeRef := f.add(tree)
	pages := make([]*core.PdfDictionary, len(b.pages))
	refs := make([]*core.PdfIndirectReference, len(b.pages))
	for i := range b.pages {
		pages[i] = dict("Type", name("Page"), "Parent", treeRef)
		refs[i] = f.add(pages[i])
		list.Add(refs[i])
	}
	links, err := b.addLinks(f, refs)
	if err != nil {
		return nil, err
	}
	resources, err := b.resources(f)
	if err != nil {
		return nil, err
	}
	for i, p := range b.pages {
		p.fillIn(f, pages[i], resources, linksOf(links, i))
	}
	c := dict("Type", name("Catalog"), "Pages", treeRef, "Lang", core.NewPdfTextString(b.info.Language),
		"MarkInfo", dict("Marked", core.NewPdfBoolean(true)),
		"StructTreeRoot", b.structureTree(f, refs, links),
		"Metadata", f.add(b.metadata()), "ViewerPreferences", b.preferences())
	names := dict("Dests", b.namedPlaces(refs))
	if len(b.attachments) > 0 {
		embedded, associated := b.embedded(f)
		names.Set("EmbeddedFiles", embedded)
		c.Set("AF", associated)
	}
	c.Set("Names", names)
	if o := b.outline(f, refs); o != nil {
		c.Set("Outlines", o)
		c.Set("PageMode", name("UseOutlines"))
	}
	return c, nil
}

func linksOf(all []linkEntry, page int) []linkEntry {
	var mine []linkEntry
	for _, l := range all {
		if l.page == page {
			mine = append(mine, l)
		}
	}
	return mine
}

// resources are the typefaces and pictures; all pages share them.
func (b *Book) resources(f *file) (*core.PdfIndirectReference, error) {
	fonts, pictures := core.NewPdfDictionary(), core.NewPdfDictionary()
	for i := range b.fonts {
		if err := b.fonts[i].embed(f, fonts, i); err != nil {
			return nil, err
		}
	}
	for i, p := range b.pictures {
		pictures.Set(pictureName(i), f.add(p.stream()))
	}
	return f.add(dict("Font", fonts, "XObject", pictures)), nil
}

// fillIn writes a page.
func (p *Page) fillIn(f *file, d *core.PdfDictionary, resources *core.PdfIndirectReference, links []linkEntry) {
	p.endMark()
	pt := p.book.pt
	d.Set("MediaBox", core.NewPdfArray(real(0), real(0), real(p.book.paper.Width*pt), real(p.book.paper.Height*pt)))
	d.Set("Resources", resources)
	d.Set("Contents", f.add(core.NewPdfStreamCompressed(bytes.Clone(p.content.Bytes()))))
	d.Set("StructParents", core.NewPdfInteger(p.number))
	d.Set("Tabs", name("S"))
	if len(links) > 0 {
		annotations := core.NewPdfArray()
		for _, l := range links {
			annotations.Add(l.ref)
		}
		d.Set("Annots", annotations)
	}
}

func (b *Book) preferences() *core.PdfDictionary {
	p := dict("DisplayDocTitle", core.NewPdfBoolean(true))
	if b.info.FullSize {
		p.Set("PrintScaling", name("None"))
	}
	return p
}

func (b *Book) infoDictionary() *core.PdfDictionary {
	d := dict("Title", core.NewPdfTextString(b.info.Title))
	for _, field := range []struct{ key, value string }{
		{"Subject", b.info.Subject}, {"Author", b.info.Author}, {"Creator", b.info.Program}, {"Producer", b.info.Program},
	} {
		if field.value != "" {
			d.Set(field.key, core.NewPdfTextString(field.value))
		}
	}
	if !b.info.Made.IsZero() {
		d.Set("CreationDate", core.NewPdfLiteralString(moment(b.info.Made)))
		d.Set("ModDate", core.NewPdfLiteralString(moment(b.info.Made)))
	}
	return d
}

// metadata says the same once more in the form that archives read (ISO 16684-1).
// It is not compressed, so that it can be read without a PDF reader.
func (b *Book) metadata() *core.PdfStream {
	var x strings.Builder
	x.WriteString("<?xpacket begin=\"\ufeff\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n" +
		`<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">` + "\n" +
		`<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:pdf="http://ns.adobe.com/pdf/1.3/" xmlns:xmp="http://ns.adobe.com/xap/1.0/">` + "\n")
	line := func(format, value string) {
		if value != "" {
			fmt.Fprintf(&x, format+"\n", escape(value))
		}
	}
	line(`<dc:title><rdf:Alt><rdf:li xml:lang="x-default">%s</rdf:li></rdf:Alt></dc:title>`, b.info.Title)
	line(`<dc:description><rdf:Alt><rdf:li xml:lang="x-default">%s</rdf:li></rdf:Alt></dc:description>`, b.info.Subject)
	line(`<dc:creator><rdf:Seq><rdf:li>%s</rdf:li></rdf:Seq></dc:creator>`, b.info.Author)
	line(`<dc:language><rdf:Bag><rdf:li>%s</rdf:li></rdf:Bag></dc:language>`, b.info.Language)
	line(`<pdf:Producer>%s</pdf:Producer>`, b.info.Program)
	line(`<xmp:CreatorTool>%s</xmp:CreatorTool>`, b.info.Program)
	if !b.info.Made.IsZero() {
		at := b.info.Made.UTC().Format("2006-01-02T15:04:05Z")
		line(`<xmp:CreateDate>%s</xmp:CreateDate>`, at)
		line(`<xmp:ModifyDate>%s</xmp:ModifyDate>`, at)
	}
	x.WriteString("</rdf:Description></rdf:RDF></x:xmpmeta>\n<?xpacket end=\"r\"?>")
	s := core.NewPdfStream([]byte(x.String()))
	s.Dict.Set("Type", name("Metadata"))
	s.Dict.Set("Subtype", name("XML"))
	return s
}

func escape(s string) string {
	var b bytes.Buffer
	xml.EscapeText(&b, []byte(s)) // a buffer takes everything
	return b.String()
}
