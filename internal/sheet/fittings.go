package sheet

import (
	"strings"

	"boltback/internal/ledger"
	"boltback/internal/record"
)

// FittingsFrom lists the parts of a zone (of all, if zone is empty) that are to
// go on, with the joints that hold them. Which parts are to go on is for the
// caller to say, who knows where each is today.
func FittingsFrom(s *ledger.Snapshot, zone string, toGoOn func(record.Ref) bool) []FittingLine {
	held := map[record.Ref]FittingLine{}
	for _, j := range ledger.All[record.Joint](s) {
		for _, p := range j.Body.Clamps {
			h := held[p]
			h.Joint = joined(h.Joint, j.Name(), "; ")
			h.Fasteners = joined(h.Fasteners, fastenerWords(j.Body.Fasteners), "; ")
			h.Bag = oneBag(h.Bag, j.Body.Fasteners)
			held[p] = h
		}
	}
	_, car := s.Car()
	var list []FittingLine
	for _, p := range ledger.All[record.Part](s) {
		if p.ID == car.Root || !inZone(zone, p.Body.Zone) || !toGoOn(p.ID) {
			continue
		}
		line := held[p.ID]
		line.Tag, line.Part, line.Position = p.Body.Tag, warned(p.Name(), strings.Join(p.Body.Hazards, ", ")), p.Body.Position
		list = append(list, line)
	}
	return list
}
