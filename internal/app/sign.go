package app

import (
	"context"
	"errors"
	"fmt"
	"path"
	"slices"
	"strings"

	"boltback/internal/attest"
	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/signoff"
)

// ErrNoKey says that no key is configured to sign with.
var ErrNoKey = errors.New("no key is configured to sign with")

// SignRequest is what somebody wants to sign for, in their words.
type SignRequest struct {
	Name, Meaning, Note     string
	Facets, Covers, RestsOn []string
	// Paper, SeenBy and By are for ink: the scan, who saw the original, and who signed it.
	Paper, SeenBy, By string
	// Show is called with what is about to be signed; an error of it signs nothing.
	Show func(s *ledger.Snapshot, body *record.SignOff, fingerprint string) error
}

// Sign makes a sign-off over records as the last commit has them, signs its bytes with the configured key, and commits both
// together. With a paper nothing is signed: the ink is transcribed.
func (d *Desk) Sign(ctx context.Context, want SignRequest) (Written, error) {
	s, r, err := d.env.Verify(d.car, VerifyRequest{On: d.today})
	if err != nil {
		return Written{}, err
	}
	d.s = s
	draft, err := d.toSign(want)
	if err != nil {
		return Written{}, err
	}
	var signer attest.Signer
	if want.Paper == "" {
		if signer, err = d.env.Signer(); errors.Is(err, ErrNoKey) {
			return Written{}, &Usage{Message: err.Error(), Hint: `put "key": "/home/you/.ssh/id_ed25519" into your configuration, or --paper with --by and --seen-by for ink`}
		} else if err != nil {
			return Written{}, fmt.Errorf("the key to sign with: %w", err)
		}
		if draft.Key, err = d.ownKey(r, signer.Public()); err != nil {
			return Written{}, err
		}
	}
	step, _ := r.Trust.Step(r.Head)
	body, err := draft.Complete(s, step.Tree, r.Trust.First())
	if err != nil {
		return Written{}, &Usage{Message: err.Error()}
	}
	if err := committed(body, r.Condition.Unsaved); err != nil {
		return Written{}, err
	}
	text, err := record.Encode(body)
	if err != nil {
		return Written{}, err
	}
	if err := d.privateIn([]Change{{Path: body.Path, Content: text}}, ""); err != nil {
		return Written{}, err
	}
	if err := want.Show(s, body, signer.Public().Fingerprint()); err != nil {
		return Written{}, err
	}
	return d.seal(ctx, body, text, signer)
}

// seal signs the bytes of a sign-off, unless it is ink, and commits record and signature together.
func (d *Desk) seal(ctx context.Context, body *record.SignOff, text []byte, signer attest.Signer) (Written, error) {
	changes := []Change{{Path: body.Path, Content: text}}
	message := fmt.Sprintf("sign off: %s", body.Meaning)
	if body.Form == "key" {
		armored, err := attest.Sign(signer, attest.SignOffs, text)
		if err != nil {
			return Written{}, fmt.Errorf("sign: %w", err)
		}
		changes = append(changes, Change{Path: signoff.SignatureOf(body.Path), Content: armored})
	} else {
		message = fmt.Sprintf("transcribe a sign-off in ink: %s", body.Meaning)
	}
	return d.save(ctx, changes, []record.Body{body}, message)
}

// toSign completes names and refuses words that mean nothing.
func (d *Desk) toSign(want SignRequest) (signoff.Draft, error) {
	draft := signoff.Draft{By: d.person, On: record.Date(d.today.String()), Meaning: strings.TrimSpace(want.Meaning), Note: want.Note, Name: want.Name}
	var err error
	if draft.Facets, err = facets(want.Facets); err != nil {
		return draft, err
	}
	for _, list := range []struct {
		words []string
		into  *[]record.Ref
	}{{want.Covers, &draft.Covers}, {want.RestsOn, &draft.RestsOn}} {
		for _, word := range list.words {
			r, err := Record(d.s, word)
			if err != nil {
				return draft, err
			}
			*list.into = append(*list.into, r.ID)
		}
	}
	if want.Paper != "" {
		if err := d.ink(want, &draft); err != nil {
			return draft, err
		}
	} else if want.By != "" || want.SeenBy != "" {
		return draft, &Usage{Message: "--by and --seen-by are about ink on paper", Hint: "--paper PAPER --by WHO-SIGNED --seen-by WHO-SAW-IT"}
	}
	stem := "signoffs/" + string(draft.On) + "-" + path.Base(string(draft.By)) + "-"
	draft.Slug = strings.TrimSuffix(strings.TrimPrefix(d.free(stem+slugOf(draft)), stem), ".json")
	return draft, nil
}

// ink fills in who signed on paper, its scan, and who saw the original.
func (d *Desk) ink(want SignRequest, draft *signoff.Draft) error {
	if want.By == "" || want.SeenBy == "" {
		return &Usage{Message: "ink needs who signed it and who of the workshop saw the original", Hint: "--by PERSON --seen-by PERSON"}
	}
	scan, err := Record(d.s, want.Paper)
	if err != nil {
		return err
	}
	if scan.Kind != record.KindPaper {
		return &Usage{Message: fmt.Sprintf("%s is a %s, not a paper", scan.ID, scan.Kind), Hint: "record the scan as a paper first"}
	}
	draft.Scan = scan.ID
	if draft.By, err = d.find(record.Ref(want.By)); err != nil {
		return err
	}
	draft.SeenBy, err = d.find(record.Ref(want.SeenBy))
	return err
}

// facets reads the sides of the car that a sign-off vouches for.
func facets(words []string) ([]string, error) {
	var all []string
	for _, f := range replay.Facets() {
		all = append(all, string(f))
	}
	for _, w := range words {
		if !slices.Contains(all, w) {
			hint := "facets are: " + strings.Join(all, ", ")
			if near := finding.Nearest(w, all); near != "" {
				hint = fmt.Sprintf("did you mean %q? %s", near, hint)
			}
			return nil, &Usage{Message: fmt.Sprintf("the car has no facet %q", w), Hint: hint}
		}
	}
	return words, nil
}

// slugOf makes the last piece of a sign-off's path from its name or first facet.
func slugOf(draft signoff.Draft) string {
	from := draft.Name
	if from == "" && len(draft.Facets) > 0 {
		from = draft.Facets[0]
	}
	if slug := pieceOf(from); slug != "" {
		return slug
	}
	return "sign-off"
}

// ownKey finds the entry of the person's own key, and refuses one with which the sign-off would be void from the start.
func (d *Desk) ownKey(r *signoff.Report, public attest.PublicKey) (record.Ref, error) {
	set, err := signoff.ReadKeys(d.env.Files.Folder(d.car.Path))
	if err != nil {
		return "", err
	}
	y, m, day := d.today.Date()
	for _, row := range r.Trust.Rows(r.Head, set, y, m, day) {
		if row.Key != public || row.Person != d.person {
			continue
		}
		if row.Worth != signoff.KeyCounts {
			return "", &Usage{Message: fmt.Sprintf("%s does not count: %s", row.Ref, row.Worth), Hint: "boltback keys shows which keys count; a key is added by a commit signed with one that counts already"}
		}
		return row.Ref, nil
	}
	return "", &Usage{Message: fmt.Sprintf("the ledger has no key %s of %s", public.Fingerprint(), d.person), Hint: "boltback keys --add KEY.pub --person " + string(d.person)}
}

// committed refuses to sign what the last commit does not hold: nobody could tell later what it was.
func committed(body *record.SignOff, unsaved []string) error {
	for _, c := range body.Covers {
		if at := record.PathOf(c.Record); slices.Contains(unsaved, at) {
			return &Usage{Message: at + " is not committed as it lies here", Hint: "boltback commit comes first, so that what is signed stands in the history"}
		}
	}
	return nil
}
