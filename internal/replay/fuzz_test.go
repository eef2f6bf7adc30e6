package replay_test

import (
	"testing"
	"testing/fstest"

	"boltback/internal/ledger"
	"boltback/internal/replay"
)

// FuzzStrangersRecords replays a car with a session, a joint and a part that anybody may have written: whatever can be read as a
// record is replayed without a panic, and twice the same.
func FuzzStrangersRecords(f *testing.F) {
	f.Add(`{"kind":"session","by":"people/a/b","started":"2026-03","lines":[{"act":"removal","parts":["parts/x"],"joints":["joints/x"],"became":"parts/x"}]}`,
		`{"kind":"joint","clamps":["parts/x","parts/x"],"picks-up":"joints/x"}`, `{"kind":"part","contains":["parts/x"],"same-as":"parts/x","found":"yes"}`)
	f.Add(`{"kind":"session","by":"people/a/b","after":["work/2026-01-01-a-s"],"lines":[{"act":"fitting","parts":["joints/x","parts/shell"],"joints":["parts/x"],"system":"parts/x"},{"act":"tightening","parts":[]},{"act":"sighting","parts":[],"store":"stores/a/b","seal":"unbroken","counted":"everything there"}]}`,
		`{"kind":"joint","host":"x"}`, `{"kind":"part","runs":[{"end":"a"}]}`)
	f.Add(`{"kind":"session","by":"people/a/b","started":"../2026","ended":"2020-01-01","lines":[{"act":"restoration","parts":["parts/x"],"undoes":"work/2026-01-01-a-s"},{"act":"drain","parts":[],"system":"systems/x"}]}`,
		`{"kind":"joint","clamps":["parts/shell"]}`, `{"kind":"part","position-single":"yes","position":"a"}`)
	f.Fuzz(func(t *testing.T, session, joint, part string) {
		files := fstest.MapFS{
			"ledger.json":                {Data: []byte(`{"kind":"ledger","edition":"1"}`)},
			"car.json":                   {Data: []byte(`{"kind":"car","root":"parts/shell","baseline":{"name":"as found","parts":[{"part":"parts/x","position":"a"}]}}`)},
			"work/2026-01-01-a-s.json":   {Data: []byte(session)},
			"work/2026-01-02-a-two.json": {Data: []byte(session)},
			"joints/x.json":              {Data: []byte(joint)},
			"parts/x.json":               {Data: []byte(part)},
		}
		s, err := ledger.Load(files)
		if err != nil {
			t.Skip()
		}
		w := replay.Of(s)
		if fullText(w.Now()) != fullText(w.With(s).Now()) {
			t.Fatal("replayed twice, the states differ")
		}
		replay.Staleness(w, replay.Day{})
		replay.ZonesOf(w).Surveys("a")
	})
}
