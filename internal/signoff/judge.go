package signoff

import (
	"bytes"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"
	"time"

	"boltback/internal/attest"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// Scene is what sign-offs are judged in.
type Scene struct {
	Ledger *ledger.Snapshot // the car as it stands
	Trust  *Trust
	Head   string // the commit that it stands at
	Files  func(id string) (Files, error)
	// Touched lists work after a sign-off on the facets that it vouches for; nil
	// means that nobody looked, and the verdicts say so.
	Touched func(r *record.Record, body *record.SignOff) []Touch
}

// Judge judges all sign-offs of a car, by name. Records that only withdraw
// another are left out. An error means that the history could not be read.
func Judge(scene Scene) ([]Verdict, error) {
	j := judge{Scene: scene, trees: map[string]int{}}
	for i := range scene.Trust.Steps {
		if _, known := j.trees[scene.Trust.Steps[i].Tree]; !known {
			j.trees[scene.Trust.Steps[i].Tree] = i
		}
	}
	var verdicts []Verdict
	for _, r := range scene.Ledger.OfKind(record.KindSignOff) {
		body, ok := r.Body.(*record.SignOff)
		if !ok || body.Withdraws != "" {
			continue
		}
		v, err := j.one(r, body)
		if err != nil {
			return nil, fmt.Errorf("sign-off %s: %w", r.ID, err)
		}
		verdicts = append(verdicts, v)
	}
	j.counter(verdicts)
	return verdicts, nil
}

type judge struct {
	Scene
	trees map[string]int // id of a tree to the first step that has it
}

// one judges a sign-off by itself.
func (j *judge) one(r *record.Record, body *record.SignOff) (Verdict, error) {
	v := Verdict{
		Record: r.ID, By: body.By, On: body.On, Meaning: body.Meaning, Form: body.Form, Facets: body.Facets,
		SeenBy: body.SeenBy, Scan: body.Scan, Status: Current, Unbound: unbound(body),
	}
	var err error
	if v.Entered, err = j.entered(r, body); err != nil {
		return v, err
	}
	first, _, dated := bounds(body.On)
	if !dated || first.IsZero() {
		return v.void(UnreadableDate, string(body.On)), nil
	}
	v.After = v.Entered != nil && first.After(v.Entered.Committer.When.Add(24*time.Hour))
	switch body.Form {
	case "paper":
		if body.Scan == "" || body.SeenBy == "" {
			return v.void(Unfinished, "scan and who saw the ink"), nil
		}
		v.Status = Transcribed
	case "key":
		if why, detail := j.checkKey(r, body, &v); why != "" {
			return v.void(why, detail), nil
		}
	default:
		return v.void(Unfinished, "form"), nil
	}
	if why, detail := j.checkPlace(r, body); why != "" {
		return v.void(why, detail), nil
	}
	if err := j.compare(body, &v); err != nil {
		return v, err
	}
	j.settle(r, &v)
	return v, nil
}

func (v Verdict) void(why Why, detail string) Verdict {
	v.Status, v.Why, v.Detail = Void, why, detail
	return v
}

// entered gives the commit with which a sign-off came in as it reads now, its
// signature included; nil where that is not committed.
func (j *judge) entered(r *record.Record, body *record.SignOff) (*Step, error) {
	names := []string{r.Path}
	if body.Form == "key" {
		names = append(names, SignatureOf(r.Path))
	}
	if _, known := j.Trust.Step(j.Head); !known {
		return nil, nil
	}
	head, err := j.Files(j.Head)
	if err != nil {
		return nil, err
	}
	var latest *Step
	for _, name := range names {
		committed, err := fs.ReadFile(head, name)
		if err != nil || !bytes.Equal(committed, j.read(name)) {
			return nil, nil
		}
		id, err := head.Content(name)
		if err != nil {
			return nil, err
		}
		step, known := j.Trust.Entered(name, id)
		if !known {
			return nil, nil
		}
		if latest == nil || j.Trust.at[step.ID] > j.Trust.at[latest.ID] {
			latest = step
		}
	}
	return latest, nil
}

// unbound lists entries that a sign-off rests on and does not cover.
func unbound(body *record.SignOff) []record.Ref {
	var list []record.Ref
	for _, ref := range append([]record.Ref{body.Key}, body.RestsOn...) {
		covered := slices.ContainsFunc(body.Covers, func(c record.Covered) bool { return c.Record == ref })
		if ref != "" && !covered {
			list = append(list, ref)
		}
	}
	return list
}

// checkKey verifies the signature over the file's bytes, and whose it is.
func (j *judge) checkKey(r *record.Record, body *record.SignOff, v *Verdict) (Why, string) {
	for _, needed := range [][2]string{{"key", string(body.Key)}, {"ledger", body.Ledger}, {"tree", body.Tree}, {"path", body.Path}} {
		if needed[1] == "" {
			return Unfinished, needed[0]
		}
	}
	content, err := j.readFile(r.Path)
	if err != nil {
		return NoSignature, ""
	}
	armored, err := j.readFile(SignatureOf(r.Path))
	if err != nil || len(armored) == 0 {
		return NoSignature, ""
	}
	facts, err := attest.Verify(content, armored, attest.SignOffs)
	if err != nil {
		return BadSignature, err.Error()
	}
	looked := j.ringFor(v).lookOn(facts.Key, body.On)
	v.Key = looked.Entry
	if why := whyNot(looked.Standing); why != "" {
		return why, looked.Ending.Why
	}
	if end, ended := j.Trust.RingAt(j.Head).first[looked.Entry.Ref]; ended {
		if _, last, _ := bounds(body.On); !last.Before(end.From) {
			return KeyRevoked, end.Why
		}
	}
	if looked.Entry.Ref != body.Key || looked.Entry.Person != body.By {
		return OtherSigner, string(looked.Entry.Person)
	}
	return "", ""
}

// ringFor is the ring that judges: that before the commit which brought the
// sign-off in, so that no key counts for what was there before it. The ring at
// the head judges what is not committed.
func (j *judge) ringFor(v *Verdict) *Ring {
	switch {
	case v.Entered == nil:
		return j.Trust.RingAt(j.Head)
	case len(v.Entered.Parents) == 0:
		return j.Trust.RingAt(v.Entered.ID)
	}
	return j.Trust.RingAt(v.Entered.Parents[0])
}

// lookOn looks a key up for a date: it is enough that it was valid at one end of
// what the date may mean.
func (r *Ring) lookOn(key attest.PublicKey, on record.Date) Looked {
	first, last, _ := bounds(on)
	if l := r.look(key, attest.SignOffs, first); l.Standing == attest.Good {
		return l
	}
	return r.look(key, attest.SignOffs, last)
}

func whyNot(s attest.Standing) Why {
	switch s {
	case attest.Good:
		return ""
	case attest.OutsideValidity:
		return KeyNotValid
	case attest.NotForPurpose:
		return KeyNotAllowed
	case attest.Revoked:
		return KeyRevoked
	}
	return UnknownKey
}

// SignatureOf is the file in which the signature of a sign-off lies.
func SignatureOf(file string) string { return strings.TrimSuffix(file, ".json") + ".sig" }

// longestFile bounds what is read of a sign-off and its signature.
const longestFile = 4 << 20

func (j *judge) readFile(name string) ([]byte, error) {
	if size, here := j.Ledger.HasFile(name); !here || size > longestFile {
		return nil, fmt.Errorf("%s is not here, or enormous", name)
	}
	f, err := j.Ledger.Open(name)
	if err != nil {
		return nil, err
	}
	content, err := io.ReadAll(io.LimitReader(f, longestFile))
	if cerr := f.Close(); err == nil {
		err = cerr
	}
	return content, err
}

// checkPlace holds a sign-off against the place, the ledger and the car that it
// was made for, so that it cannot be moved to another.
func (j *judge) checkPlace(r *record.Record, body *record.SignOff) (Why, string) {
	if body.Path != "" && body.Path != r.Path {
		return OtherPath, body.Path
	}
	if body.Ledger != "" && body.Ledger != j.Trust.First() {
		return OtherLedger, body.Ledger
	}
	if here := j.numbers(); len(body.Numbers) > 0 && !slices.ContainsFunc(body.Numbers, func(n string) bool { return here[n] }) {
		return OtherCar, strings.Join(body.Numbers, ", ")
	}
	return "", ""
}

// numbers are the car's numbers as they read today.
func (j *judge) numbers() map[string]bool {
	_, car := j.Ledger.Car()
	list := map[string]bool{}
	for _, n := range car.Numbers {
		list[n.Raw] = true
	}
	return list
}
