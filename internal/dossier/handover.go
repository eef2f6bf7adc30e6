package dossier

import (
	"boltback/internal/canon"
	"boltback/internal/doc"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// handoverGaps are what the next keeper would miss: settings that cannot be loaded again, codes that nobody holds, and
// transfers that leave open who had the car and what became of its parts.
func (b *book) handoverGaps(g *gaps) {
	b.settingGaps(g)
	var held, checked []doc.Span
	for _, c := range ledger.All[record.Code](b.s) {
		at := b.source(c.Record, "")
		held = gap(held, len(c.Body.Held) == 0, at)
		for i, h := range c.Body.Held {
			checked = gap(checked, h.CheckedOn == "", b.source(c.Record, canon.ElementPointer("/held", i)))
		}
	}
	g.add("who holds a key, code or password", held)
	g.add("when a key, code or password was last seen to be there", checked)
	b.transferGaps(g)
}

func (b *book) settingGaps(g *gaps) {
	var unit, firmware, version, file, held []doc.Span
	for _, s := range ledger.All[record.Setting](b.s) {
		at := b.source(s.Record, "")
		unit = gap(unit, s.Body.Unit == "", at)
		firmware = gap(firmware, s.Body.Firmware == "", at)
		version = gap(version, s.Body.Version == "", at)
		file = gap(file, s.Body.File == nil || s.Body.File.Digest == "", at)
		held = gap(held, s.Body.Held == "", at)
	}
	g.add("the unit that a setting belongs to", unit)
	g.add("the firmware that a setting belongs to", firmware)
	g.add("the version of a settings file", version)
	g.add("the fingerprint of a settings file", file)
	g.add("where a settings file is held", held)
}

func (b *book) transferGaps(g *gaps) {
	var day, keeper, distance, custody, joins []doc.Span
	list := b.transfersInOrder()
	for i, t := range list {
		at := b.source(t.Record, "")
		day = gap(day, t.Body.On == "", at)
		keeper = gap(keeper, t.Body.From == nil || t.Body.To == nil || t.Body.From.Sort == "" || t.Body.To.Sort == "", at)
		distance = gap(distance, t.Body.Distance == "", at)
		for j, c := range t.Body.Custody {
			custody = gap(custody, c.Goes == "" || c.Goes == "not stated", b.source(t.Record, canon.ElementPointer("/custody", j)))
		}
		if i > 0 {
			_, open := b.gapBetween(list[i-1], t)
			joins = gap(joins, open, at)
		}
	}
	g.add("the day of a change of keeper", day)
	g.add("who gave the car away or got it", keeper)
	g.add("the distance at a change of keeper", distance)
	g.add("how the car came from one keeper to the next", joins)
	g.add("what becomes of parts off the car", custody)
	if len(list) > 0 {
		var parts []doc.Span
		for _, id := range b.unnamed(list[len(list)-1]) {
			parts = append(parts, b.pathOf(id))
		}
		g.add("what became of a part off the car when the car last changed hands", parts)
	}
}
