package history

import (
	"slices"

	"boltback/internal/ledger"
	"boltback/internal/record"
)

// side is one of the two states: its records, and which of them count.
type side interface {
	record(id record.Ref) *record.Record
	standing(r *record.Record) (ledger.Standing, *record.Record)
	claimants(id record.Ref) []*record.Record // the records that correct or withdraw it
}

// whole is a state of which everything is known.
type whole struct{ s *ledger.Snapshot }

func (w whole) record(id record.Ref) *record.Record { return w.s.Record(id) }

func (w whole) standing(r *record.Record) (ledger.Standing, *record.Record) { return w.s.StandingOf(r) }

func (w whole) claimants(id record.Ref) []*record.Record { return w.s.Over(id) }

// loose is a state of which only the files of one commit are known, and others
// on request.
type loose struct {
	records map[record.Ref]*record.Record
	over    map[record.Ref][]*record.Record
	read    func(path string) []byte
}

func newLoose(read func(string) []byte) *loose {
	return &loose{map[record.Ref]*record.Record{}, map[record.Ref][]*record.Record{}, read}
}

// take reads a file and keeps the record that it holds; nil bytes are no file.
func (l *loose) take(path string, src []byte) *file {
	if src == nil {
		if id, ok := record.IDOf(path); ok {
			l.records[id] = nil // it is known not to be there
		}
		return nil
	}
	f := parse(path, src)
	if f.record != nil {
		l.records[f.id] = f.record
		for _, below := range overOf(f.record) {
			l.over[below] = append(l.over[below], f.record)
		}
	}
	return f
}

func (l *loose) record(id record.Ref) *record.Record {
	r, known := l.records[id]
	if known || l.read == nil {
		return r
	}
	path := record.PathOf(id)
	if src := l.read(path); src != nil {
		r = parse(path, src).record
	}
	l.records[id] = r
	return r
}

func (l *loose) claimants(id record.Ref) []*record.Record { return l.over[id] }

func (l *loose) standing(r *record.Record) (ledger.Standing, *record.Record) {
	over, head := l.over[r.ID], r.Body.Heading()
	switch {
	case head.Withdraws != "":
		return ledger.Withdraws, nil
	case head.Corrects != "" && len(l.over[head.Corrects]) > 1:
		return ledger.NotApplied, l.records[head.Corrects]
	case len(over) == 0, len(over) == 1 && (over[0].Kind != r.Kind || over[0].ID == r.ID):
		return ledger.Stands, nil
	case len(over) > 1:
		return ledger.Disputed, nil
	case over[0].Body.Heading().Withdraws == r.ID:
		return ledger.Withdrawn, over[0]
	}
	return ledger.Corrected, over[0]
}

// overOf names the records that one stands over.
func overOf(r *record.Record) []record.Ref {
	var below []record.Ref
	head := r.Body.Heading()
	for _, id := range []record.Ref{head.Corrects, head.Withdraws} {
		if id != "" {
			below = append(below, id)
		}
	}
	return below
}

// standings lists the records that count otherwise than before. Only those can
// that one of the files stands over, and others that claim to do so too.
func standings(pairs []pair, before, after side) []Change {
	seen := map[record.Ref]bool{}
	var changes []Change
	look := func(id record.Ref) {
		if seen[id] {
			return
		}
		seen[id] = true
		if c, ok := standing(id, before, after); ok {
			changes = append(changes, c)
		}
	}
	for _, p := range pairs {
		for _, f := range []*file{p.old, p.new} {
			if f == nil || f.record == nil {
				continue
			}
			for _, below := range overOf(f.record) {
				look(below)
				for _, claims := range slices.Concat(before.claimants(below), after.claimants(below)) {
					look(claims.ID)
				}
			}
		}
	}
	return changes
}

// standing compares how one record counts on both sides; it must be there on both.
func standing(id record.Ref, before, after side) (Change, bool) {
	old, now := before.record(id), after.record(id)
	if old == nil || now == nil {
		return Change{}, false
	}
	stood, overOld := before.standing(old)
	stands, by := after.standing(now)
	same := stood == stands && (stands == ledger.NotApplied || refOf(overOld) == refOf(by))
	if same || stands == ledger.Withdraws || stood == ledger.Withdraws {
		return Change{}, false
	}
	c := Change{Record: id, Path: now.Path, Kind: now.Kind, Title: titleOf(now), By: refOf(by), Old: old, New: by}
	switch stands {
	case ledger.Corrected:
		c.What, c.Old = Corrected, now
		c.Fields = fieldsBetween(fileOf(now), fileOf(by), nil, headMembers)
	case ledger.Withdrawn:
		c.What = Withdrawn
	case ledger.Disputed:
		c.What, c.Remark = Disputed, "several records claim to correct or withdraw it, and none of them applies"
	case ledger.NotApplied:
		c.What, c.By, c.New, c.Over = NotApplied, "", now, now.Body.Heading().Corrects
		by = now
	default:
		c.What, c.By, c.New = StandsAgain, refOf(overOld), now
		if by = overOld; stood == ledger.NotApplied {
			c.By, by = "", now // what it stands over is not over it
		}
	}
	if by != nil {
		c.Reason = by.Body.Heading().Reason
	}
	return c, true
}

func refOf(r *record.Record) record.Ref {
	if r == nil {
		return ""
	}
	return r.ID
}
