package app

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"boltback/internal/bag"
	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/reversal"
	"boltback/internal/signoff"
)

// HandoverRequest says to whom a car's records go, and how much of what is private.
type HandoverRequest struct {
	To string
	// Out is the folder that the bag becomes, or a zip or gzipped tar file by the ending of its name; "" is the car's handle
	// with the day, in the working folder.
	Out string
	// Private names the records whose private values, and the papers whose originals, are disclosed.
	Private []record.Ref
	On      edtf.Day
	Press   Press
}

// Press turns documents into files.
type Press struct {
	Text, Page func(ctx context.Context, w io.Writer, d *doc.Document) error
	// Paper writes a PDF file with records inside where there are any.
	Paper func(ctx context.Context, w io.Writer, d *doc.Document, name string, records []byte) error
}

// HandedOver says what a handover wrote.
type HandedOver struct {
	Path    string
	Handing dossier.Handing
}

// dueAhead is how many days ahead a handover looks for what falls due.
const dueAhead = 365

// Handover writes a bag (RFC 8493) with the car's records, their history, originals and what was disclosed. The bag is made
// whole or not at all, and the car is not changed.
func (e Env) Handover(ctx context.Context, car Car, r HandoverRequest) (HandedOver, error) {
	if strings.TrimSpace(r.To) == "" || strings.ContainsAny(r.To, "\r\n") {
		return HandedOver{}, &Usage{Message: "nobody says who gets the car", Hint: "--to 'the next owner': a name is printed on the papers, and stands in no record"}
	}
	if r.Out == "" {
		r.Out = car.Name + "-" + r.On.String()
	}
	out, err := e.Files.Absolute(r.Out)
	if err != nil {
		return HandedOver{}, err
	}
	if err := e.free(out, r.Out); err != nil {
		return HandedOver{}, err
	}
	p, err := e.parcel(car, r)
	if err != nil {
		return HandedOver{}, err
	}
	switch folder, form := packing(filepath.Base(out)); form {
	case asZip:
		err = e.Files.Assemble(out, 0o644, func(w io.Writer) error { return p.zip(ctx, w, folder) })
	case asTar:
		err = e.Files.Assemble(out, 0o644, func(w io.Writer) error { return p.tar(ctx, w, folder) })
	default:
		err = e.Files.Build(out, func(folder string) error { return p.lay(ctx, folder) })
	}
	return HandedOver{out, p.handing}, err
}

// free refuses a place where something lies.
func (e Env) free(out, name string) error {
	parent, base := filepath.Split(out)
	if _, err := fs.Stat(e.Files.Folder(parent), base); err == nil {
		return &Usage{Message: name + " is there already", Hint: "name a new folder: nothing that is there is written over"}
	} else if !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

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

// parcel gathers what goes along; a car with changes that no commit holds is refused, since they would stay behind.
func (e Env) parcel(car Car, r HandoverRequest) (*parcel, error) {
	repo, err := e.repository(car)
	if err != nil {
		return nil, err
	}
	p := &parcel{env: e, car: car, repo: repo, press: r.Press, originals: map[string]string{}, disclosures: map[string][]byte{}}
	if p.head, err = repo.Head(); err != nil {
		return nil, fmt.Errorf("%s: %w", car.Name, err)
	}
	unsaved, err := repo.Unsaved()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", car.Name, err)
	}
	if p.head == "" || len(unsaved) > 0 {
		return nil, &Usage{Message: fmt.Sprintf("%s has changes that no commit holds, so they would stay behind", car.Name), Hint: "boltback commit, then hand it over"}
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
	work := replay.Of(s)
	p.handing = dossier.Handing{
		Car: car.Name, To: strings.TrimSpace(r.To), Work: work, Commit: p.head, Program: e.Program, Day: r.On, DueDays: dueAhead,
		Due:   replay.DueBy(work, r.On, replay.Horizon{Days: dueAhead, SightingMonths: reversal.FloorsOf(s).SightingMonths}),
		Keyed: keyedSignOffs(s),
	}
	if err := p.signed(); err != nil {
		return nil, err
	}
	return p, p.choose(s, r.Private)
}

// signed notes whether the last commit bears a signature.
func (p *parcel) signed() error {
	commits, err := p.repo.Commits()
	if err == nil && len(commits) > 0 {
		p.handing.Signed = len(commits[len(commits)-1].Signature) > 0
	}
	return err
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
func (p *parcel) choose(s *ledger.Snapshot, private []record.Ref) error {
	for _, ref := range private {
		if s.Record(ref) == nil {
			return &Usage{Message: fmt.Sprintf("--with-private %s: the car has no such record", ref), Hint: "name a record, such as transfers/2026-06-19-handed-back, or a paper whose original shall go along"}
		}
	}
	originals := originalFiles{fsys: p.env.Files.Folder(filepath.Join(p.car.Yard, "originals"))}
	if p.car.Yard == "" {
		originals.names = map[string]string{}
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
		{Label: "Bag-Software-Agent", Value: p.env.Program},
	}
}
