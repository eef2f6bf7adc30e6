package signoff

import (
	"testing"

	"boltback/internal/record"
)

func TestEachKeyIsWorthWhatTheHistorySaysOnTheDay(t *testing.T) {
	s := begin(t)
	s.key(bram, "key-late", "from", "2031-01-01")
	s.key(bram, "key-old", "until", "2020-12-31")
	s.list()
	s.commit(ines)
	s.key(mallory, "key-own")
	s.list()
	s.commit(mallory)
	s.key(edda, "key-here")
	trust := s.walk(Pins{})
	set, err := ReadKeys(s.fs())
	if err != nil {
		t.Fatal(err)
	}
	want := map[record.Ref]KeyWorth{
		bram + "/key-late": KeyNotYet, bram + "/key-old": KeyExpired, mallory + "/key-own": KeyOfNobody, edda + "/key-here": KeyNotCommitted,
	}
	counting := 0
	for _, row := range trust.Rows(s.head, set, 2026, 6, 1) {
		if worth, asked := want[row.Ref]; asked && row.Worth != worth {
			t.Errorf("%s: %s, want %s", row.Ref, row.Worth, worth)
		} else if asked {
			delete(want, row.Ref)
		} else if row.Worth == KeyCounts {
			counting++
		}
	}
	if len(want) > 0 || counting == 0 {
		t.Errorf("not told of: %v; %d keys count", want, counting)
	}
}

func TestAKeySetWithMoreFilesIsWhatReadingThemGives(t *testing.T) {
	s := begin(t)
	before, err := ReadKeys(s.fs())
	if err != nil {
		t.Fatal(err)
	}
	s.key(bram, "key-new")
	s.put(ines+"/ended.json", "kind", "revocation", "of", ines+"/key-one", "on", "2026-05-01", "why", "lost")
	after, err := ReadKeys(s.fs())
	if err != nil {
		t.Fatal(err)
	}
	files := map[string][]byte{
		bram + "/key-new.json": []byte(s.files[bram+"/key-new.json"]), ines + "/ended.json": []byte(s.files[ines+"/ended.json"]),
		"parts/one.json": []byte(`{"kind": "part"}`), bram + "/broken.json": []byte(`{`),
	}
	if got := before.With(files); string(got.SignersFile()) != string(after.SignersFile()) || len(got.Keys) != len(after.Keys) || len(got.Endings) != len(after.Endings) {
		t.Errorf("with the files there are %d keys and %d endings, want %d and %d", len(got.Keys), len(got.Endings), len(after.Keys), len(after.Endings))
	}
}
