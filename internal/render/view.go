package render

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"boltback/internal/doc"
)

// The views are what the templates see: every string in them has been cleaned,
// and every choice that takes more than an if has been made.

type pageView struct {
	Title, Subtitle, Language, StyleHash, PageSize string

	RunningTitle, RunningRecords, RunningBasis, RunningNotice string
	// OneSheet has it set small when it is printed.
	OneSheet bool

	Provenance *provenanceView
	Contents   []entryView
	Sections   []blockView
	// Percents are the column widths that the page's tables use.
	Percents []int
}

type entryView struct {
	ID, Number, Title string
	Entries           []entryView
}

// blockView is a block by the name of its template.
type blockView struct {
	Kind  string
	Value any
}

type sectionView struct {
	ID, Number, Title string
	Level             int
	NewPage           bool
	Blocks            []blockView
}

type factView struct {
	Label string
	Value []spanView
}

type factsView struct {
	Caption string
	Items   []factView
}

type provenanceView struct {
	Items []factView
	Basis string
}

type paragraphView struct {
	Text []spanView
	Lead bool
}

type listView struct {
	Ordered, Boxes bool
	Start          int
	Items          []itemView
}

type itemView struct {
	Text   []spanView
	Blocks []blockView
}

type figureView struct {
	pictureView
	ID      string
	Caption []spanView
}

type photosView struct {
	Caption string
	Photos  []photoView
}

type photoView struct {
	pictureView
	Caption, Note []spanView
}

type cautionView struct {
	Kind string
	Text []spanView
}

type findingsView struct {
	Caption string
	Items   []findingView
}

type findingView struct {
	Level       string
	Where       *spanView
	What, Right []spanView
}

type verbatimView struct{ Caption, Text string }

// viewer builds the views and gathers what the style needs to know of them.
type viewer struct {
	ctx      context.Context
	percents map[int]bool
}

func viewPage(ctx context.Context, d *doc.Document, paper Paper) (*pageView, error) {
	v := viewer{ctx: ctx, percents: map[int]bool{}}
	page := &pageView{
		Title: oneLine(d.Title), Subtitle: oneLine(d.Subtitle), Language: oneLine(d.Language),
		OneSheet: d.Sheets == 1, RunningTitle: short(d.Title, 70), RunningNotice: short(d.Notice, 110), Contents: viewEntries(doc.Outline(d.Blocks(), d.Contents), ""),
	}
	if paper == A4 || paper == Letter {
		page.PageSize = string(paper)
	}
	if p := d.Provenance; p != nil {
		page.Provenance = viewProvenance(p)
		// The style says "commit" before it.
		page.RunningRecords = fmt.Sprintf("%s, %s", short(p.Commit, 12), short(p.Day, 20))
		page.RunningBasis = short(p.Basis, 80)
	}
	for i, s := range d.Sections {
		page.Sections = append(page.Sections, v.section(s, 2, fmt.Sprint(i+1)))
	}
	for p := range v.percents {
		page.Percents = append(page.Percents, p)
	}
	slices.Sort(page.Percents)
	return page, ctx.Err()
}

// oneLine cleans a string for a place that holds a single line.
func oneLine(s string) string { return doc.CleanLine(s, doc.LineLimit) }

// short cuts a string for a running head, where there is no room for a note.
func short(s string, limit int) string {
	s = doc.CleanLine(s, 0)
	if r := []rune(s); len(r) > limit {
		return strings.TrimRight(string(r[:limit]), " ") + "…"
	}
	return s
}

func viewEntries(entries []doc.Entry, prefix string) []entryView {
	var views []entryView
	for i, e := range entries {
		number := fmt.Sprintf("%s%d", prefix, i+1)
		views = append(views, entryView{e.ID, number, oneLine(e.Title), viewEntries(e.Entries, number+".")})
	}
	return views
}

func (v *viewer) section(s *doc.Section, level int, number string) blockView {
	return blockView{"section", sectionView{
		ID: s.ID, Number: number, Title: oneLine(s.Title), Level: min(level, 6), NewPage: s.NewPage,
		Blocks: v.blocks(s.Blocks, level+1, number),
	}}
}

// blocks stops looking once the context has ended; whoever asked for the page
// finds out from the context.
func (v *viewer) blocks(blocks []doc.Block, level int, number string) []blockView {
	var views []blockView
	sections := 0
	for _, b := range blocks {
		if v.ctx.Err() != nil {
			break
		}
		if s, ok := b.(*doc.Section); ok {
			sections++
			views = append(views, v.section(s, level, fmt.Sprintf("%s.%d", number, sections)))
			continue
		}
		views = append(views, v.block(b))
	}
	return views
}

func (v *viewer) block(b doc.Block) blockView {
	switch b := b.(type) {
	case *doc.Paragraph:
		return blockView{"paragraph", paragraphView{viewText(b.Text), b.Lead}}
	case *doc.Facts:
		return blockView{"facts", factsView{oneLine(b.Caption), viewFacts(b.Items)}}
	case *doc.Table:
		return blockView{"table", v.table(b)}
	case *doc.Matrix:
		return blockView{"table", v.matrix(b)}
	case *doc.List:
		return blockView{"list", v.list(b)}
	case *doc.Figure:
		return blockView{"figure", figureView{viewDrawing(b), b.ID, viewText(b.Caption)}}
	case *doc.PhotoSheet:
		return blockView{"photos", viewPhotos(b)}
	case *doc.Caution:
		return blockView{"caution", cautionView{oneLine(b.Kind), viewText(b.Text)}}
	case *doc.Signature:
		return blockView{"signature", factsView{Items: viewFacts(signatureFacts(b))}}
	case *doc.Provenance:
		return blockView{"provenance", viewProvenance(b)}
	case *doc.Findings:
		return blockView{"findings", viewFindings(b)}
	case *doc.Verbatim:
		return blockView{"verbatim", verbatimView{oneLine(b.Caption), doc.Clean(b.Text, doc.TextLimit)}}
	}
	return blockView{}
}

func (v *viewer) list(l *doc.List) listView {
	view := listView{Ordered: l.Ordered, Boxes: l.Boxes, Start: l.Start}
	for _, i := range l.Items {
		view.Items = append(view.Items, itemView{viewText(i.Text), v.blocks(i.Blocks, 6, "")})
	}
	return view
}

func viewFacts(facts []doc.Fact) []factView {
	views := make([]factView, len(facts))
	for i, f := range facts {
		views[i] = factView{oneLine(f.Label), viewText(f.Value)}
	}
	return views
}

func viewProvenance(p *doc.Provenance) *provenanceView {
	return &provenanceView{viewFacts(provenanceFacts(p)), oneLine(p.Basis)}
}

func viewPhotos(s *doc.PhotoSheet) photosView {
	view := photosView{Caption: oneLine(s.Caption)}
	for _, p := range s.Photos {
		view.Photos = append(view.Photos, photoView{viewPhoto(p), viewText(p.Caption), viewText(photoNote(p))})
	}
	return view
}

func viewFindings(f *doc.Findings) findingsView {
	view := findingsView{Caption: oneLine(f.Caption)}
	for _, item := range f.Items {
		what := item.What
		if item.Code != "" {
			what = what.From(doc.Span{Style: doc.StyleSource, Text: item.Code})
		}
		fv := findingView{Level: oneLine(item.Level), What: viewText(what), Right: viewText(item.Right)}
		if item.Where != "" {
			where := viewSpan(doc.Literal(oneLine(item.Where)))
			fv.Where = &where
		}
		view.Items = append(view.Items, fv)
	}
	return view
}
