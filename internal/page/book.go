package page

import (
	"crypto/sha256"
	"fmt"
	"io"
	"slices"
	"time"

	"boltback/internal/figure"
)

// Paper is a size of paper, upright, in millimetres.
type Paper struct{ Width, Height float64 }

// The papers (ISO 216; 8½ by 11 inches).
var (
	A4     = Paper{210, 297}
	Letter = Paper{215.9, 279.4}
)

// PaperCalled returns the paper of that name, "A4" or "letter".
func PaperCalled(name string) (Paper, error) {
	switch name {
	case "A4", "a4":
		return A4, nil
	case "letter", "Letter":
		return Letter, nil
	}
	return Paper{}, fmt.Errorf("%q is no paper that is known here: A4 or letter", name)
}

// Info is what the file says about itself.
type Info struct {
	Title, Subject string
	// Author is normally the workshop.
	Author string
	// Language is the BCP 47 tag of the text, such as "en".
	Language string
	// Program is what made the file.
	Program string
	// Made is when; the zero time leaves it out.
	Made time.Time
	// FullSize asks printers not to scale, as forms and labels need.
	FullSize bool
	// Scale sets everything smaller, by a share of its size, on paper that seems larger by as much; 0 stands for 1.
	Scale float64
}

// Book is a file under work. It is for one goroutine.
type Book struct {
	info  Info
	paper Paper
	pt    float64 // points to a millimetre as it is set
	pages []*Page
	fonts [len(faceNames)]usedFace
	// root is the structure; open is where what is painted now belongs, nil for
	// what is only decoration.
	root, open  *element
	bookmarks   []bookmark
	anchors     map[string]place
	attachments []Attachment
	pictures    []picture
	pictureAt   map[[sha256.Size]byte]int // by the digest of the photo
	lacking     []rune
}

// place is a height on a page.
type place struct {
	page int
	y    float64
}

// New begins a file.
func New(info Info, paper Paper) *Book {
	scale := 1.0
	if info.Scale > 0 {
		scale = info.Scale
	}
	paper = Paper{paper.Width / scale, paper.Height / scale}
	return &Book{info: info, paper: paper, pt: scale * 72 / 25.4, root: &element{role: "Document"}, anchors: map[string]place{}}
}

// Paper is the size of the sheets in the millimetres of what is set on them; see [Info.Scale].
func (b *Book) Paper() Paper { return b.paper }

// Page adds an empty sheet.
func (b *Book) Page() *Page {
	p := &Page{book: b, number: len(b.pages)}
	p.begin()
	b.pages = append(b.pages, p)
	return p
}

// Pages are the sheets so far. What is added to one afterwards, such as "page 2
// of 7", lies on top.
func (b *Book) Pages() []*Page { return b.pages }

// Lacking lists the characters that no typeface here has. They were printed as
// code points, and whoever asked for the file is to be told.
func (b *Book) Lacking() []rune { return b.lacking }

func (b *Book) note(lacking []rune) {
	for _, r := range lacking {
		if !slices.Contains(b.lacking, r) {
			b.lacking = append(b.lacking, r)
		}
	}
}

// Write writes the file. It fails if a link leads to no anchor, if a picture
// can't be shown, or if w fails.
func (b *Book) Write(w io.Writer) error {
	f := &file{}
	catalog, err := b.catalog(f)
	if err != nil {
		return err
	}
	return f.write(w, f.add(catalog), f.add(b.infoDictionary()))
}

// Drawing paints a drawing with its upper left corner at x, y.
func (p *Page) Drawing(x, y float64, d *figure.Drawing) { d.Paint(p, x, y) }
