package dossier

import (
	"cmp"
	"slices"
	"strings"

	"boltback/internal/doc"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// closeUp is a photo or paper on which numbers of the car can be read, with the readings that name it.
type closeUp struct {
	paper ledger.Entry[record.Paper]
	reads []numberRead
}

// closeUps shows what each compared number was read from, so that its characters can be compared by eye: number by number,
// and each from the earliest reading on, so that the car as found stands beside the car as built. What has no picture is
// named.
func (b *book) closeUps(read []numberRead) []doc.Block {
	shown, without := b.closeUpsOf(read)
	var blocks []doc.Block
	if len(shown) > 0 {
		sheet := &doc.PhotoSheet{Caption: "Close-ups of the numbers, to compare by eye"}
		for _, c := range shown {
			sheet.Photos = append(sheet.Photos, b.closeUp(c))
		}
		blocks = append(blocks, sheet)
	}
	if len(without) > 0 {
		blocks = append(blocks, doc.Para("No picture is on record of: {}.", joinTexts(without, "; ")))
	}
	if kinds := b.notReadAgain(read); len(kinds) > 0 {
		blocks = append(blocks, doc.Para("No reading of a day after the last work is on record of: {}.", strings.Join(kinds, ", ")))
	}
	return blocks
}

// notReadAgain are the compared numbers that nobody is known to have read since the last work.
func (b *book) notReadAgain(read []numberRead) []string {
	_, last := b.workOnRecord()
	var kinds []string
	for _, k := range compared {
		of := func(n numberRead) bool { return n.Kind == k }
		if last.known && slices.ContainsFunc(read, of) && !slices.ContainsFunc(read, func(n numberRead) bool { return of(n) && last.before(readOn(n)) }) {
			kinds = append(kinds, k.Label())
		}
	}
	return kinds
}

// closeUpsOf sorts the compared readings by what they were read from; a reading for which no picture is on record, neither here
// nor elsewhere, is without, each sort of source once for each number.
func (b *book) closeUpsOf(read []numberRead) (shown []closeUp, without []doc.Text) {
	read = slices.DeleteFunc(slices.Clone(read), func(n numberRead) bool { return !slices.Contains(compared, n.Kind) })
	slices.SortStableFunc(read, func(x, y numberRead) int {
		return cmp.Or(rankOfKind(x.Kind)-rankOfKind(y.Kind), boolRank(!readOn(x).known)-boolRank(!readOn(y).known), readOn(x).compare(readOn(y)))
	})
	pictured, named := map[string]bool{}, map[string]bool{}
	for _, n := range read {
		paper, ok := b.picturedIn(n)
		if !ok {
			continue
		}
		pictured[readFrom(n)] = true
		at := slices.IndexFunc(shown, func(c closeUp) bool { return c.paper.Record.ID == paper.Record.ID })
		switch {
		case at < 0:
			shown = append(shown, closeUp{paper, []numberRead{n}})
		case !slices.ContainsFunc(shown[at].reads, func(o numberRead) bool { return o.Kind == n.Kind && o.number.Raw == n.number.Raw }):
			shown[at].reads = append(shown[at].reads, n)
		}
	}
	for _, n := range read {
		if key := readFrom(n); !pictured[key] && !named[key] {
			named[key] = true
			without = append(without, doc.Say("{} {} ({})", n.Kind.Label(), doc.Literal(n.number.Raw), sourceName(n.Source)).From(b.source(n.Record, n.Pointer)))
		}
	}
	return shown, without
}

// readFrom is the sort of source of a number: the stamping of the chassis number, say.
func readFrom(n numberRead) string { return string(n.Kind) + "\x00" + sourceName(n.Source) }

func readOn(n numberRead) period { return periodOf(n.number.On, "", n.Record) }

// picturedIn is the paper in which a number can be seen: the one that the reading names, or the one whose record it stands in.
func (b *book) picturedIn(n numberRead) (ledger.Entry[record.Paper], bool) {
	from := n.Record
	if n.number.Paper != "" {
		from = b.s.Current(n.number.Paper)
	}
	if from == nil {
		return ledger.Entry[record.Paper]{}, false
	}
	paper, isPaper := from.Body.(*record.Paper)
	if !isPaper || paper.Preview == nil || paper.Preview.Digest == "" {
		return ledger.Entry[record.Paper]{}, false
	}
	return ledger.Entry[record.Paper]{Record: from, Body: paper}, true
}

// closeUp is the whole preview, with the numbers as they were read from it.
func (b *book) closeUp(c closeUp) doc.Photo {
	image, absent := b.preview(c.paper.Body.Preview.Digest)
	var numbers []doc.Text
	alt := titleOf(c.paper.Record) + ", on which was read"
	for i, n := range c.reads {
		numbers = append(numbers, doc.Say("{} {}", n.Kind.Label(), doc.Literal(n.number.Raw)).From(b.source(n.Record, n.Pointer)))
		if i > 0 {
			alt += ","
		}
		alt += " the " + n.Kind.Label() + " " + n.number.Raw
	}
	return doc.Photo{
		Image:   image,
		Absent:  absent,
		Alt:     alt,
		Caption: doc.Say("{}. On it: {}; {}", doc.Strong(titleOf(c.paper.Record)), joinTexts(numbers, "; "), b.whenRead(c.reads[0])),
		Source:  b.called(c.paper.Body.By).From(b.source(c.paper.Record, "")),
		Taken:   string(c.paper.Body.Embedded),
		Claimed: string(c.paper.Body.Claimed),
	}
}

// whenRead says on which side of the work a reading lies, as far as the days tell.
func (b *book) whenRead(n numberRead) doc.Text {
	on := readOn(n)
	t := doc.Say("read {}", dayOr(n.number.On))
	switch first, last := b.workOnRecord(); {
	case !on.known:
		return t
	case first.known && on.before(first):
		return t.And(", as found: before the first work on record")
	case last.known && last.before(on):
		return t.And(", as built: after the last work on record")
	case first.known && first.before(on):
		return t.And(", after work began")
	}
	return t
}

// altering are the acts that change the car, other than those of a look or a move in the store.
var altering = []string{"removal", "fitting", "alteration", "repair", "restoration"}

// workOnRecord is the first and the last session that changed the car; either may be unknown.
func (b *book) workOnRecord() (first, last period) {
	for _, s := range ledger.All[record.Session](b.s) {
		if !b.counts(s.Record) || !slices.ContainsFunc(s.Body.Lines, func(l record.Line) bool { return slices.Contains(altering, l.Act) }) {
			continue
		}
		p := workPeriod(s.Body, s.Record)
		if !p.known {
			return period{}, period{}
		}
		if !first.known || p.compare(first) < 0 {
			first = p
		}
		if !last.known || last.compare(p) < 0 {
			last = p
		}
	}
	return first, last
}
