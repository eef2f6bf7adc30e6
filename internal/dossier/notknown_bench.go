package dossier

import (
	"strings"

	"boltback/internal/doc"
	"boltback/internal/record"
	"boltback/internal/replay"
)

// lackWords say what is not on record, in the order of the job.
var lackWords = []struct {
	sort replay.LackSort
	what string
}{
	{replay.LackPhoto, "a photo of a part in its place, from before it came off"},
	{replay.LackOtherSide, "the part of the other side, where one of a pair came off"},
	{replay.LackRepairPhoto, "a photo of a repair, from before it was closed up"},
	{replay.LackSerial, "the serial number of a part bought for the conversion"},
	{replay.LackProvenance, "a paper that says where a part bought for the conversion comes from"},
	{replay.LackBought, "the part that bears a serial number on an invoice"},
}

// benchGaps lists what good practice asks for and nobody recorded.
func (b *book) benchGaps(g *gaps) {
	if b.in.Work == nil {
		return
	}
	var readings []string
	places := map[replay.LackSort][]doc.Span{}
	for _, l := range replay.Lacking(b.in.Work, b.in.Day) {
		if l.Sort == replay.LackAsFound {
			readings = append(readings, l.What)
			continue
		}
		places[l.Sort] = append(places[l.Sort], b.lackAt(l))
	}
	if len(readings) > 0 && b.carRecord != nil {
		car := b.source(b.carRecord, "")
		g.add("a reading of the car as it was found, from before the work: "+strings.Join(readings, ", "), []doc.Span{car})
	}
	for _, w := range lackWords {
		g.add(w.what, places[w.sort])
	}
}

// lackAt is where a thing that is lacking belongs: the record that would have it, or the line it should have come before.
func (b *book) lackAt(l replay.Lack) doc.Span {
	if r := b.s.Current(l.Thing); r != nil && l.Sort != replay.LackRepairPhoto {
		return b.source(r, "")
	}
	if l.Step != replay.NoStep {
		line := b.in.Work.Line(l.Step)
		return b.source(line.Session, line.Pointer())
	}
	return doc.FromRecord(record.PathOf(l.Thing), 0)
}
