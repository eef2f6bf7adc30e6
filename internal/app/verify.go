package app

import (
	"fmt"
	"regexp"
	"slices"

	"boltback/internal/attest"
	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/signoff"
)

// VerifyRequest says what a history is held against.
type VerifyRequest struct {
	// Pins are fingerprints of keys, or the id of a first commit; none leaves it to the user's own configuration.
	Pins []string
	// Kept are what somebody kept: ids of commits, digests of stamps, or files that hold one.
	Kept []string
	// Roots is a file with the certificates of trusted authorities; "" leaves them to the user's own configuration.
	Roots string
	// Against is the folder of another copy; "" for none.
	Against string
	On      edtf.Day
}

// Verify walks the whole history of a car and judges its sign-offs. It reads the repository and the folder, and remembers
// nothing from one time to the next.
func (e Env) Verify(car Car, want VerifyRequest) (*ledger.Snapshot, *signoff.Report, error) {
	repo, err := e.repository(car)
	if err != nil {
		return nil, nil, err
	}
	s, err := e.Snapshot(car)
	if err != nil {
		return nil, nil, err
	}
	commits, err := repo.Commits()
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", car.Name, err)
	}
	if len(commits) == 0 {
		return nil, nil, &Usage{Message: "nothing has been committed in " + car.Name + " yet"}
	}
	pins, err := e.pins(car, commits, want.Pins)
	if err != nil {
		return nil, nil, err
	}
	r, err := e.walk(car, repo, s, commits, pins, want.On)
	if err != nil {
		return nil, nil, err
	}
	if err := e.judgeStamps(r, repo, want.Roots); err != nil {
		return nil, nil, fmt.Errorf("%s: %w", car.Name, err)
	}
	for _, word := range want.Kept {
		if err := e.keep(r, repo, word); err != nil {
			return nil, nil, err
		}
	}
	if want.Against != "" {
		r.Compared, err = e.compare(r, want.Against)
	}
	return s, r, err
}

// walk goes through the commits, oldest first, and judges the sign-offs of the car as it was read.
func (e Env) walk(car Car, repo Repository, s *ledger.Snapshot, commits []signoff.Commit, pins signoff.Pins, on edtf.Day) (r *signoff.Report, err error) {
	defer func() {
		if err != nil {
			r, err = nil, fmt.Errorf("%s: %w", car.Name, err)
		}
	}()
	r = &signoff.Report{Car: car.Name, Head: commits[len(commits)-1].ID, Pins: pins, Ledger: s.Head().ID, On: on}
	if r.Condition, err = repo.Condition(); err != nil {
		return nil, err
	}
	first := newEntries(repo.Tree)
	if r.Trust, err = signoff.Walk(commits, first.tree, r.Pins); err != nil {
		return nil, err
	}
	scene := signoff.Scene{Ledger: s, Trust: r.Trust, Head: r.Head, Files: repo.Tree, Touched: touched(s, on)}
	if r.SignOffs, err = signoff.Judge(scene); err != nil {
		return nil, err
	}
	r.Late, r.CameIn = first.late(r.Trust), first.days(r.Trust)
	return r, nil
}

var commitID = regexp.MustCompile(`^[0-9a-f]{7,40}$`)

// pins reads those of the command, or else the user's own configuration's.
func (e Env) pins(car Car, commits []signoff.Commit, given []string) (signoff.Pins, error) {
	var pins signoff.Pins
	for _, p := range given {
		if len(p) == 40 && commitID.MatchString(p) {
			pins.First = p
		} else {
			pins.Keys = append(pins.Keys, p)
		}
	}
	if len(given) == 0 {
		identity, err := e.Identity()
		if err != nil {
			return pins, fmt.Errorf("your configuration: %w", err)
		}
		pins = identity.pinsFor(car.Name, signoff.FirstOf(commits))
	}
	for _, key := range pins.Keys {
		if !attest.ValidFingerprint(key) {
			return pins, &Usage{Message: fmt.Sprintf("%s is no fingerprint of a key, so the origin cannot be held against it", key), Hint: "a fingerprint reads SHA256: and 43 letters, digits, + and /, as ssh-keygen -l prints it"}
		}
	}
	return pins, nil
}

// touched gives the work after a sign-off that bears on the facets it vouches for, by the same replay as everywhere.
func touched(s *ledger.Snapshot, day edtf.Day) func(*record.Record, *record.SignOff) []signoff.Touch {
	of := map[record.Ref][]signoff.Touch{}
	for _, d := range replay.Staleness(replay.Of(s), day) {
		for _, f := range d.Facets {
			if f.Fresh != replay.Stale {
				continue
			}
			for _, t := range f.Touches {
				of[d.Record] = append(of[d.Record], signoff.Touch{
					Facet: string(f.Facet), By: t.Line.Place.ID, Pointer: t.Line.Pointer(), On: t.Line.Work.Started, Remark: f.Text,
				})
			}
		}
	}
	return func(r *record.Record, _ *record.SignOff) []signoff.Touch { return of[r.ID] }
}

// compare holds the history against another copy of it.
func (e Env) compare(r *signoff.Report, name string) (*signoff.Compared, error) {
	path, err := e.Files.Absolute(name)
	if err != nil {
		return nil, err
	}
	repo, err := e.Git.Open(path)
	if err != nil {
		return nil, &Usage{Message: fmt.Sprintf("--against %s: %v", name, err), Hint: "name the folder of another copy of this car's repository"}
	}
	commits, err := repo.Commits()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	other, err := signoff.Walk(commits, repo.Tree, r.Pins)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	c := &signoff.Compared{Name: name, Split: r.Trust.Against(other)}
	slices.Reverse(c.Ours)
	slices.Reverse(c.Theirs)
	return c, nil
}
