package replay_test

import (
	"fmt"
	"testing/fstest"

	"boltback/internal/ledger"
	"boltback/internal/record"
)

// bench builds small ledgers in memory. The first fault ends it, as a fixture that cannot be read is a mistake in the test.
type bench struct{ files fstest.MapFS }

func newBench(root record.Ref, baseline ...record.BaselinePart) *bench {
	b := &bench{files: fstest.MapFS{}}
	b.put("ledger", &record.Ledger{Head: record.Head{Kind: record.KindLedger}, Edition: "1", Workshop: "tallow-lane"})
	b.put("car", &record.Car{Head: record.Head{Kind: record.KindCar}, Make: "Corvane", Root: root,
		Baseline: &record.Baseline{Name: "as found", On: "2026-01-05", Parts: baseline}})
	return b
}

func (b *bench) put(id record.Ref, body record.Body) {
	src, err := record.Encode(body)
	if err != nil {
		panic(err)
	}
	b.files[record.PathOf(id)] = &fstest.MapFile{Data: src}
}

func (b *bench) part(id record.Ref, p record.Part) {
	p.Kind = record.KindPart
	b.put(id, &p)
}

func (b *bench) joint(id record.Ref, j record.Joint) {
	j.Kind = record.KindJoint
	b.put(id, &j)
}

// work writes a session; its day stands in the name unless started is given.
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

// refs makes names of parts.
func refs(names ...string) []record.Ref {
	var list []record.Ref
	for _, n := range names {
		list = append(list, record.Ref("parts/"+n))
	}
	return list
}

func jointRefs(names ...string) []record.Ref {
	var list []record.Ref
	for _, n := range names {
		list = append(list, record.Ref("joints/"+n))
	}
	return list
}
