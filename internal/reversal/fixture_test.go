package reversal_test

import (
	"fmt"
	"testing/fstest"

	"boltback/internal/ledger"
	"boltback/internal/record"
)

// bench builds ledgers in memory. A fixture that cannot be read is a mistake in the test, and ends it.
type bench struct{ files fstest.MapFS }

func newBench() *bench {
	b := &bench{files: fstest.MapFS{}}
	b.put("ledger", &record.Ledger{Head: record.Head{Kind: record.KindLedger}, Edition: "1", Workshop: "tallow-lane"})
	return b
}

func (b *bench) car(c record.Car) {
	c.Kind, c.Make, c.Model = record.KindCar, "Corvane", "Tern 1500"
	b.put("car", &c)
}

func (b *bench) put(id record.Ref, body record.Body) {
	src, err := record.Encode(body)
	if err != nil {
		panic(err)
	}
	b.files[record.PathOf(id)] = &fstest.MapFile{Data: src}
}

func (b *bench) part(id record.Ref, p record.Part) { p.Kind = record.KindPart; b.put(id, &p) }

func (b *bench) joint(id record.Ref, j record.Joint) { j.Kind = record.KindJoint; b.put(id, &j) }

func (b *bench) work(id record.Ref, w record.Session) {
	w.Kind, w.By = record.KindSession, "people/tallow-lane/ines-okafor"
	b.put(id, &w)
}

func (b *bench) load() *ledger.Snapshot {
	s, err := ledger.Load(b.files)
	if err != nil {
		panic(err)
	}
	if unread := s.AllUnread(); len(unread) > 0 {
		panic(fmt.Sprint(unread[0].Path, ": ", unread[0].Fault))
	}
	return s
}
