package replay

import (
	"cmp"
	"slices"

	"boltback/internal/ledger"
	"boltback/internal/record"
)

// counts says whether a record counts and is no party to a dispute: of two corrections of one record neither applies.
func counts(s *ledger.Snapshot, r *record.Record) bool {
	standing, _ := s.StandingOf(r)
	if standing != ledger.Stands && standing != ledger.Disputed {
		return false
	}
	seen := 0
	for below := s.Record(r.Body.Heading().Corrects); below != nil && seen < 1000; below = s.Record(below.Body.Heading().Corrects) {
		if standing, _ := s.StandingOf(below); standing == ledger.Disputed {
			return false
		}
		seen++
	}
	return true
}

// standing lists the records of a type that count, by the name of their place.
func standing[T any](s *ledger.Snapshot) []ledger.Entry[T] {
	var list []ledger.Entry[T]
	for _, e := range ledger.All[T](s) {
		if counts(s, e.Record) {
			list = append(list, e)
		}
	}
	slices.SortFunc(list, func(x, y ledger.Entry[T]) int { return cmp.Compare(s.Place(x.Record).ID, s.Place(y.Record).ID) })
	return list
}

// place gives the one name by which a record and its corrections go.
func (b *book) place(ref record.Ref) record.Ref {
	if r := b.snapshot.Record(ref); r != nil {
		return b.snapshot.Place(r).ID
	}
	return ref
}

// join makes one part of several records that say they are the same: the first name by order stands for all.
func (b *book) join() {
	for _, p := range standing[record.Part](b.snapshot) {
		if p.Body.SameAs == "" {
			continue
		}
		x, y := b.head(b.place(p.ID)), b.head(b.place(p.Body.SameAs))
		if x != y {
			b.same[max(x, y)] = min(x, y)
		}
	}
}

func (b *book) head(ref record.Ref) record.Ref {
	for next, ok := b.same[ref]; ok; next, ok = b.same[ref] {
		ref = next
	}
	return ref
}

// names numbers the things of one sort. A name that is used for two sorts of thing by mistake is one of each.
type names struct {
	numbers map[record.Ref]int32
	spoken  map[record.Ref]bool // that this ledger speaks of
}

// at gives the number of a name, next if it is new.
func (n names) at(ref record.Ref, next int) (number int32, isNew bool) {
	n.spoken[ref] = true
	if number, known := n.numbers[ref]; known {
		return number, false
	}
	n.numbers[ref] = int32(next)
	return int32(next), true
}

// partAt gives the number of a part, new or known.
func (b *book) partAt(ref record.Ref) int32 {
	ref = b.head(b.place(ref))
	n, isNew := b.names[partNames].at(ref, len(b.parts))
	if isNew {
		b.parts = append(b.parts, partInfo{ref: ref})
	}
	return n
}

func (b *book) jointAt(ref record.Ref) int32 {
	ref = b.place(ref)
	n, isNew := b.names[jointNames].at(ref, len(b.joints))
	if isNew {
		b.joints = append(b.joints, jointInfo{ref: ref, picks: none})
	}
	return n
}

func (b *book) systemAt(ref record.Ref) int32 {
	ref = b.place(ref)
	n, isNew := b.names[systemNames].at(ref, len(b.systems))
	if isNew {
		b.systems = append(b.systems, ref)
	}
	return n
}

// silent says that an earlier book knew something of which this ledger no longer speaks.
func (b *book) silent() bool {
	for _, n := range b.names {
		if len(n.spoken) < len(n.numbers) {
			return true
		}
	}
	return false
}

// joined puts two records of one part together: what the first leaves open the second may say, and found once is found.
func joined(first, second *record.Part) *record.Part {
	p := *first
	if p.Found == "" || p.Found == "no" || p.Found == "inferred" && second.Found == "yes" {
		p.Found = cmp.Or(second.Found, p.Found)
	}
	p.Position = cmp.Or(p.Position, second.Position)
	p.PositionSingle = cmp.Or(p.PositionSingle, second.PositionSingle)
	p.Class = cmp.Or(p.Class, second.Class)
	p.Zone = cmp.Or(p.Zone, second.Zone)
	p.Origin = cmp.Or(p.Origin, second.Origin)
	p.Mass, p.Station = cmp.Or(p.Mass, second.Mass), cmp.Or(p.Station, second.Station)
	p.Tag = cmp.Or(p.Tag, second.Tag)
	p.MayGoBack = cmp.Or(p.MayGoBack, second.MayGoBack)
	p.Contains = append(slices.Clone(p.Contains), second.Contains...)
	p.Runs = append(slices.Clone(p.Runs), second.Runs...)
	p.Numbers = append(slices.Clone(p.Numbers), second.Numbers...)
	p.Facets = append(slices.Clone(p.Facets), second.Facets...)
	p.Hazards = append(slices.Clone(p.Hazards), second.Hazards...)
	p.Condition = append(slices.Clone(p.Condition), second.Condition...)
	p.Papers = append(slices.Clone(p.Papers), second.Papers...)
	return &p
}
