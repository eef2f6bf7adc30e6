package ledger

import (
	"fmt"
	"io/fs"
	"slices"
	"sync"
	"testing"

	"pgregory.net/rapid"

	"boltback/internal/record"
)

// watched notes which files are read.
type watched struct {
	fs.FS
	mu   *sync.Mutex
	read *[]string
}

func (w watched) ReadFile(name string) ([]byte, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	*w.read = append(*w.read, name)
	return fs.ReadFile(w.FS, name)
}

var someCar = map[string]string{
	"car.json": "car", "parts/tank.json": "part", "parts/broken.json": `{"kind": "part"`, "parts/pump.json": "part",
	"parts/pump-2.json": `{"kind": "part", "corrects": "parts/pump", "reason": "misread"}`,
	"joints/strap.json": `{"kind": "joint", "clamps": ["parts/tank"]}`, "notes.txt": "{",
	"people/quayside/odile/person.json": "person",
}

func opened(t rapid.TB) (*Snapshot, *[]string) {
	read := new([]string)
	s, err := Open(watched{car(someCar), new(sync.Mutex), read})
	if err != nil {
		t.Fatal(err)
	}
	return s, read
}

func TestAnOpenedCarReadsOnlyWhatIsAskedFor(t *testing.T) {
	s, read := opened(t)
	tank := s.Record("parts/tank")
	if tank == nil || s.Record("parts/tank") != tank || s.Record("parts/none") != nil || s.Unread("parts/broken") == nil || s.Record("people/quayside/odile") == nil {
		t.Error("what is there is not found")
	}
	if len(s.Faults()) != 1 || len(s.Files()) != len(someCar)+1 {
		t.Errorf("faults %v, %d files", s.Faults(), len(s.Files()))
	}
	if want := []string{"parts/tank.json", "parts/broken.json", "people/quayside/odile/person.json"}; !slices.Equal(*read, want) {
		t.Errorf("%q were read, want %q", *read, want)
	}
	if uses := s.Uses("parts/tank"); len(uses) != 1 || s.Record("parts/tank") != tank {
		t.Errorf("uses %v", uses)
	}
	slices.Sort(*read)
	if len(slices.Compact(slices.Clone(*read))) != len(*read) {
		t.Errorf("a file was read twice: %q", *read)
	}
}

// TestAnOpenedCarAnswersLikeALoadedOne asks questions in any order.
func TestAnOpenedCarAnswersLikeALoadedOne(t *testing.T) {
	questions := []func(*Snapshot) string{
		func(s *Snapshot) string { return fmt.Sprint(s.Names()) },
		func(s *Snapshot) string { return fmt.Sprint(len(s.AllUnread()), len(s.Records()), s.Faults()) },
		func(s *Snapshot) string { return fmt.Sprint(len(s.Uses("parts/tank")), len(s.Over("parts/pump"))) },
		func(s *Snapshot) string { return s.Current("parts/pump").Path },
		func(s *Snapshot) string { return fmt.Sprint(len(All[record.Part](s)), len(s.OfKind(record.KindJoint))) },
		func(s *Snapshot) string { _, ok := Get[record.Part](s, "parts/pump"); return fmt.Sprint(ok) },
		func(s *Snapshot) string { return s.Place(s.Record("parts/pump-2")).Path },
		func(s *Snapshot) string {
			standing, _ := s.StandingOf(s.Record("parts/pump"))
			return standing.String()
		},
		func(s *Snapshot) string { r, _ := s.Car(); return r.Path + s.Head().Edition },
		func(s *Snapshot) string { return s.Unread("parts/broken").Fault.Message },
	}
	whole := load(t, someCar)
	rapid.Check(t, func(t *rapid.T) {
		s, _ := opened(t)
		for _, i := range rapid.SliceOfN(rapid.IntRange(0, len(questions)-1), 1, 6).Draw(t, "questions") {
			if got, want := questions[i](s), questions[i](whole); got != want {
				t.Fatalf("question %d: got %s, want %s", i, got, want)
			}
		}
	})
}

func TestAnOpenedCarMayBeAskedByManyAtOnce(t *testing.T) {
	s, _ := opened(t)
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() { s.Record("parts/tank") })
		all.Go(func() { s.Records() })
		all.Go(func() { s.Unread("parts/broken") })
	}
	all.Wait()
}
