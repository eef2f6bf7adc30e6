package app

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"boltback/internal/bag"
	"boltback/internal/dossier"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/requirement"
	"boltback/internal/reversal"
	"boltback/internal/signoff"
)

// parcel is all that goes into a bag, worked out before anything is written.
type parcel struct {
	env         Env
	car         Car
	repo        Repository
	head        string
	files       fs.FS
	press       Press
	handing     dossier.Handing
	dossier     Paginated
	originals   map[string]string // name in the bag to name in the yard's originals
	disclosures map[string][]byte // by name in the bag
}

// parcel gathers what goes along.
func (e Env) parcel(car Car, r HandoverRequest) (*parcel, error) {
	repo, err := e.repository(car)
	if err != nil {
		return nil, err
	}
	p := &parcel{env: e, car: car, repo: repo, press: r.Press, originals: map[string]string{}, disclosures: map[string][]byte{}}
	if p.head, err = repo.Head(); err != nil {
		return nil, fmt.Errorf("%s: %w", car.Name, err)
	}
	if p.files, err = repo.Files(p.head); err != nil {
		return nil, err
	}
	s, err := ledger.Load(p.files)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", car.Name, err)
	}
	if p.dossier, err = e.DossierForPaper(car, DossierOptions{Reader: dossier.Keeper, On: r.On}); err != nil {
		return nil, err
	}
	if p.handing, err = e.handing(repo, s, car.Name, r); err != nil {
		return nil, err
	}
	p.handing.Due, p.handing.DueDays = replay.DueBy(p.handing.Work, r.On, replay.Horizon{Days: dueAhead, SightingMonths: reversal.FloorsOf(s).SightingMonths}), dueAhead
	if p.handing.Barred, p.handing.Silent, err = saidBy(s, r.On, r.For, (*requirement.Set).LooseAsbestos); err != nil {
		return nil, err
	}
	return p, p.choose(s, r)
}

// handing is what the papers of a handover say of its history, as of its last commit: all that the README rests on.
func (e Env) handing(repo Repository, s *ledger.Snapshot, car string, r HandoverRequest) (h dossier.Handing, err error) {
	h = dossier.Handing{
		Car: car, To: strings.TrimSpace(r.To), Copy: r.Copy, Work: replay.Of(s), Program: e.Program, Day: r.On, Keyed: keyedSignOffs(s),
	}
	if h.Commit, err = repo.Head(); err != nil {
		return h, fmt.Errorf("%s: %w", car, err)
	}
	commits, err := repo.Commits()
	for _, c := range commits {
		h.Signed = len(c.Signature) > 0
		h.SomeSigned = h.SomeSigned || h.Signed
	}
	return h, err
}

// keyedSignOffs lists the sign-offs that stock ssh-keygen can check. One whose path would mean something to a shell is left to
// this program.
func keyedSignOffs(s *ledger.Snapshot) []dossier.KeyedSignOff {
	var list []dossier.KeyedSignOff
	for _, one := range ledger.All[record.SignOff](s) {
		signature := strings.TrimSuffix(one.Path, ".json") + ".sig"
		if _, there := s.HasFile(signature); !there || one.Body.Form == "paper" || !record.IsSlug(strings.TrimSuffix(path.Base(one.Path), ".json")) {
			continue
		}
		if _, known := s.HasFile(record.PathOf(one.Body.By)); !known {
			continue
		}
		list = append(list, dossier.KeyedSignOff{Path: one.Path, Signature: signature, Signer: signoff.Principal(one.Body.By)})
	}
	return list
}

// choose tells what goes along of what is private, and of the originals.
func (p *parcel) choose(s *ledger.Snapshot, r HandoverRequest) error {
	private := r.Private
	originals := originalFiles{fsys: p.env.Files.Folder(filepath.Join(p.car.Yard, "originals"))}
	if p.car.Yard == "" {
		originals.names = map[string]string{}
	}
	if len(private) == 0 && r.Choose != nil {
		var err error
		if private, err = asked(s, originals.list(), r.Choose); err != nil {
			return err
		}
	}
	for _, r := range s.Records() {
		chosen := slices.Contains(private, r.ID)
		if err := p.sealed(r, chosen); err != nil {
			return err
		}
		if paper, ok := r.Body.(*record.Paper); ok && paper.Original != nil {
			p.original(r.ID, paper, originals.list(), chosen)
		}
	}
	return nil
}

// asked asks about each record of which something would stay behind.
func asked(s *ledger.Snapshot, originals map[string]string, choose func(Withholding) (bool, error)) (chosen []record.Ref, err error) {
	for _, r := range s.Records() {
		w := Withholding{Record: r.ID}
		for _, leaf := range r.Leaves() {
			if leaf.Role == record.Secret && record.IsDigest(leaf.Text) {
				w.Values++
			}
		}
		if p, ok := r.Body.(*record.Paper); ok && slices.Contains(unseen, p.Class) && p.Original != nil && originals[string(p.Original.Digest)] != "" {
			w.Class = p.Class
		}
		if w.Values == 0 && w.Class == "" {
			continue
		}
		give, err := choose(w)
		if err != nil {
			return nil, err
		}
		if give {
			chosen = append(chosen, r.ID)
		}
	}
	return chosen, nil
}

// sealed sorts the private values of one record.
func (p *parcel) sealed(r *record.Record, chosen bool) error {
	for _, leaf := range r.Leaves() {
		if leaf.Role != record.Secret || !record.IsDigest(leaf.Text) {
			continue
		}
		value := dossier.PrivateValue{Record: r.ID, Pointer: leaf.Pointer, Digest: record.Sealed(leaf.Text)}
		if !chosen {
			p.handing.Withheld = append(p.handing.Withheld, value)
			continue
		}
		file, err := p.disclosure(value)
		if err != nil {
			return err
		}
		p.disclosures["private/"+leaf.Text+".json"] = file
		p.handing.Given = append(p.handing.Given, value)
	}
	return nil
}

// disclosure reads the file that discloses a value, of the car or of the workshop's address book, and holds it against its
// digest.
func (p *parcel) disclosure(v dossier.PrivateValue) ([]byte, error) {
	for _, folder := range []string{p.car.Name, "workshop"} {
		if p.car.Yard == "" {
			break
		}
		file, err := fs.ReadFile(p.env.Files.Folder(filepath.Join(p.car.Yard, "private")), folder+"/"+string(v.Digest)+".json")
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err == nil && record.DigestOf(file) != v.Digest {
			err = record.ErrOtherDigest
		}
		if err != nil {
			return nil, fmt.Errorf("the private value of %s at %s: %w", v.Record, v.Pointer, err)
		}
		return file, nil
	}
	return nil, &Usage{Message: fmt.Sprintf("the private value of %s at %s is not here, so it cannot be disclosed", v.Record, v.Pointer), Hint: "leave the record out of --with-private, or bring its file back into private/"}
}

// original sorts the original of one paper. What shows names, addresses and prices goes along only if chosen, even where
// another paper names the same bytes.
func (p *parcel) original(id record.Ref, paper *record.Paper, here map[string]string, chosen bool) {
	file := dossier.OriginalFile{Paper: id, Digest: paper.Original.Digest, Goes: dossier.GoesAlong}
	name := here[string(file.Digest)]
	switch {
	case name == "":
		file.Goes = dossier.NotHere
	case slices.Contains(unseen, paper.Class) && !chosen:
		file.Goes = dossier.StaysBehind
		delete(p.originals, "originals/"+name)
	default:
		if !slices.ContainsFunc(p.handing.Originals, func(o dossier.OriginalFile) bool {
			return o.Digest == file.Digest && o.Goes == dossier.StaysBehind
		}) {
			p.originals["originals/"+name] = name
		} else {
			file.Goes = dossier.StaysBehind
		}
	}
	p.handing.Originals = append(p.handing.Originals, file)
}

// info is what bag-info.txt says.
func (p *parcel) info() []bag.Field {
	return []bag.Field{
		{Label: "Bagging-Date", Value: p.handing.Day.String()},
		{Label: "External-Identifier", Value: p.head},
		{Label: "Internal-Sender-Identifier", Value: p.car.Name},
		{Label: "External-Description", Value: "The records of the car " + p.car.Name + ", handed over"},
		{Label: givenAs(p.handing.Copy), Value: p.handing.To},
		{Label: "Bag-Software-Agent", Value: p.env.Program},
	}
}
