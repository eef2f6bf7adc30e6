package dossier

import (
	"bytes"
	"fmt"
	"time"

	"boltback/internal/canon"
	"boltback/internal/doc"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// papers lists the photos and documents, their dates kept apart, and shows the
// previews that are here.
func (b *book) papers() *doc.Section {
	s := doc.NewSection("papers", "Photos and papers")
	list := ledger.All[record.Paper](b.s)
	if len(list) == 0 {
		s.Add(doc.Para("No photo and no paper is on record."))
		return s
	}
	s.Add(doc.Para("Three dates are kept apart: the one inside the file, set by a camera's clock; the one that somebody claims or that is written on the paper; " +
		"and the day on which the workshop got it. Without its original, a preview is the workshop's word."))
	t := doc.NewTable("Photos and papers on record", doc.Col("Paper", 6), doc.Col("Dates", 5), doc.Col("Shows", 5), doc.Col("Original", 5))
	t.ID = "paper-list"
	var photos []doc.Photo
	for _, p := range list {
		t.Row(b.paperCell(p), b.paperDates(p.Body), b.showsCell(p.Body), b.original(p.Body))
		if p.Body.Preview != nil && p.Body.Preview.Digest != "" {
			photos = append(photos, b.photo(p))
		}
	}
	s.Add(t)
	if len(photos) > 0 {
		s.Add(&doc.PhotoSheet{Caption: "Previews", Photos: photos})
	}
	return s
}

func (b *book) paperCell(p ledger.Entry[record.Paper]) doc.Text {
	t := doc.Say("{}; {}", doc.Strong(titleOf(p.Record)), stated(p.Body.Class))
	if p.Body.Name != "" && p.Body.Caption != "" {
		t = t.And("; {}", p.Body.Caption)
	}
	if p.Body.By != "" {
		t = t.And("; by {}", b.called(p.Body.By))
	}
	if p.Body.CopyOf != "" {
		t = t.And("; a copy of {}", b.called(p.Body.CopyOf))
	}
	if c := p.Body.Certificate; c != nil {
		t = t.And("; number {}, issued by {}, covers {}", asRead(c.Number), stated(c.Issuer), listed(c.Scope))
		if c.From != "" || c.Until != "" {
			t = t.And(", valid {} to {}", stated(c.From), stated(c.Until))
		}
	}
	for _, step := range p.Body.CallsFor {
		t = t.And("; step {} calls for {}, count {}, size {}, zone {}", stated(step.Step), stated(step.Does), countOr(step.Count), stated(step.Size), stated(step.Zone))
	}
	if p.Body.Revision != "" {
		t = t.And("; revision {}", p.Body.Revision)
	}
	if p.Body.Replaces != "" {
		t = t.And("; replaces {}", b.called(p.Body.Replaces))
	}
	if by := b.laterThan(p.ID); len(by) > 0 {
		t = t.And("; {} by {}", doc.Strong("replaced"), b.callThem(by))
	}
	if p.Body.Note != "" {
		t = t.And("; {}", quoted(p.Body.Note))
	}
	if verdict, ok := b.verdict(p.Record); ok {
		t = t.And("; {}", verdict)
	}
	return t.From(b.source(p.Record, ""))
}

func countOr(n int64) doc.Span {
	if n == 0 {
		return doc.Missing("")
	}
	return doc.Plain(fmt.Sprint(n))
}

func (b *book) paperDates(p *record.Paper) doc.Text {
	t := doc.Say("in the file: {}; claimed: {}; received: {}", stated(p.Embedded), stated(p.Claimed), stated(p.Received))
	switch taken := b.s.TakenOf(p); {
	case taken.Doubt != "":
		t = t.And("; {} was to set the camera's clock right and does not: {}", b.called(p.Clock), taken.Doubt)
	case taken.Proof != "":
		t = t.And("; by {} taken {}, the camera's clock {}", b.called(taken.Proof), taken.Date.String(), offBy(taken.Behind))
	}
	if p.WrittenDate != "" {
		t = t.And("; written on it: {}", doc.Literal(p.WrittenDate))
	}
	return t.And("; came by {}", stated(p.Way))
}

func (b *book) showsCell(p *record.Paper) doc.Text {
	if len(p.Shows) == 0 {
		return doc.Text{doc.Missing("")}
	}
	return b.callThem(p.Shows)
}

// offBy says how far a camera's clock was behind or ahead.
func offBy(behind time.Duration) string {
	switch {
	case behind > 0:
		return behind.String() + " behind"
	case behind < 0:
		return (-behind).String() + " ahead"
	}
	return "right"
}

// laterThan names the papers that replace this one, such as a drawing's later revision.
func (b *book) laterThan(id record.Ref) []record.Ref {
	var by []record.Ref
	for _, use := range b.s.Uses(id) {
		standing, _ := b.s.StandingOf(use.From)
		if use.Pointer == "/replaces" && (standing == ledger.Stands || standing == ledger.Disputed) {
			by = append(by, use.From.ID)
		}
	}
	return by
}

// original says whether the original file is here, and where the paper is kept.
func (b *book) original(p *record.Paper) doc.Text {
	var t doc.Text
	switch {
	case p.Original == nil || p.Original.Digest == "":
		t = doc.Text{doc.Missing("no original on record")}
	case b.in.Originals == nil:
		t = doc.Text{doc.Missing("not looked for")}.From(doc.FromDigest(string(p.Original.Digest)))
	case b.in.Originals(p.Original.Digest):
		t = doc.Say("here").From(doc.FromDigest(string(p.Original.Digest)))
	default:
		t = doc.Text{doc.Missing("not here")}.From(doc.FromDigest(string(p.Original.Digest)))
	}
	if p.Original != nil && p.Original.Bytes > 0 {
		t = t.And(", {} bytes", p.Original.Bytes)
	}
	if isHEIC(p) {
		t = t.And("; {}", heicSaid)
	}
	if p.Holder != "" {
		t = t.And("; the paper itself is kept at {}", p.Holder)
	}
	return t
}

// heicSaid tells why such a picture is nowhere shown.
const heicSaid = "a HEIC file, of which only the metadata is read and the picture is not shown"

func isHEIC(p *record.Paper) bool { return p.Original != nil && p.Original.Type == "image/heic" }

// photo is the preview of a paper, if its bytes are here and are the ones recorded.
func (b *book) photo(p ledger.Entry[record.Paper]) doc.Photo {
	image, absent := b.preview(p.Body.Preview.Digest)
	return doc.Photo{
		Image:   image,
		Absent:  absent,
		Caption: doc.Say("{}", titleOf(p.Record)),
		Source: doc.Say("{}; received {}; original: {}", b.called(p.Body.By), stated(p.Body.Received), b.original(p.Body)).
			From(b.source(p.Record, ""), doc.FromDigest(string(p.Body.Preview.Digest))),
		Taken:   string(p.Body.Embedded),
		Claimed: string(p.Body.Claimed),
	}
}

func (b *book) preview(digest record.Digest) (image []byte, absent string) {
	if b.in.Pictures == nil {
		return nil, "not here"
	}
	image, ok := b.in.Pictures(digest)
	switch {
	case !ok || len(image) == 0:
		return nil, "not here"
	case canon.Digest(image) != string(digest):
		return nil, fmt.Sprintf("not shown: the file here has the SHA-256 %s, the record states %s", canon.Digest(image), digest)
	case !bytes.HasPrefix(image, []byte("\xff\xd8\xff")) && !bytes.HasPrefix(image, []byte("\x89PNG\r\n\x1a\n")):
		return nil, "not shown: neither a JPEG nor a PNG file"
	}
	return image, ""
}
