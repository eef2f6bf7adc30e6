package app

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path/filepath"
	"strings"

	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/edtf"
	"boltback/internal/record"
)

// HandoverRequest says to whom a car's records go, and how much of what is private.
type HandoverRequest struct {
	To string
	// Out is the folder that the bag becomes, or a zip or gzipped tar file by the ending of its name; "" is the car's handle
	// with the day, in the working folder.
	Out string
	// Copy leaves the keeping of the records where it is: the car is not marked, and no parts are received.
	Copy bool
	// Keeper is whose key counts from then on; As is who hands over, "" for the user's own configuration.
	Keeper Keeper
	As     record.Ref
	// Private names the records whose private values, and the papers whose originals, are disclosed.
	Private []record.Ref
	// Choose is asked, where Private names nothing, about each record of which something would stay behind; nil asks nobody.
	Choose func(Withholding) (give bool, err error)
	// For are the requirement sets of where the car goes, which may bar parts from changing hands; none are those that it pins.
	For   []string
	On    edtf.Day
	Press Press
}

// Withholding is what would stay behind of one record: so many private values, and the original of a paper of that class, or "".
type Withholding struct {
	Record record.Ref
	Values int
	Class  string
}

// Press turns documents into files.
type Press struct {
	// Plain is Page for whatever sheet the reader's printer has.
	Text, Page, Plain func(ctx context.Context, w io.Writer, d *doc.Document) error
	// Paper writes a PDF file with records inside where there are any.
	Paper func(ctx context.Context, w io.Writer, d *doc.Document, name string, records []byte) error
}

// HandedOver says what a handover wrote.
type HandedOver struct {
	Path    string
	Handing dossier.Handing
	// Before says that the car was marked as handed over already, by a commit that this bag ends with too.
	Before bool
	// LetIn says that the next keeper's key counts from now on; it does not where the handover itself is not signed by a key
	// that counts.
	LetIn bool
}

// dueAhead is how many days ahead a handover looks for what falls due.
const dueAhead = 365

// Handover writes a bag (RFC 8493) with the car's records, their history, originals and what was disclosed, and marks the
// car as handed over, by a commit that the bag ends with. The mark is made in a copy aside; the car itself gets it when the
// whole bag is on disk but for its name. So there is neither, or both, or, after a crash between these two steps, the mark
// alone, and the next run gives the bag to it.
func (e Env) Handover(ctx context.Context, car Car, r HandoverRequest) (done HandedOver, err error) {
	out, err := e.checkHandover(&r, car)
	if err != nil {
		return HandedOver{}, err
	}
	m, err := e.readyToGo(ctx, car, r)
	if err != nil {
		return HandedOver{}, err
	}
	if r.Copy {
		return e.bagOf(ctx, car, r, out, nil)
	}
	repo, err := e.repository(car)
	if err != nil {
		return HandedOver{}, err
	}
	err = e.Files.Aside(car.Path, func(folder string) error {
		if m.commit != "" {
			done, err = e.bagOf(ctx, car, r, out, nil)
			done.Before = true
			return err
		}
		next, letIn, err := e.markedCopy(ctx, car, r, folder)
		if err != nil {
			return err
		}
		goOn := func() error {
			ahead, err := e.repository(next)
			if err == nil {
				err = repo.Advance(ctx, ahead)
			}
			return err
		}
		done, err = e.bagOf(ctx, next, r, out, goOn)
		done.LetIn = letIn
		return err
	})
	return done, err
}

// checkHandover completes and checks the words, and gives where the bag goes.
func (e Env) checkHandover(r *HandoverRequest, car Car) (out string, err error) {
	if strings.TrimSpace(r.To) == "" || strings.ContainsAny(r.To, "\r\n") {
		return "", &Usage{Message: "nobody says who gets the car", Hint: "--to 'the next owner': a name is printed on the papers, and stands in no record"}
	}
	if r.Copy && r.Keeper != (Keeper{}) {
		return "", &Usage{Message: "a copy lets nobody's key in", Hint: "leave --keeper and --keeper-key out, or --copy"}
	}
	if r.Out == "" {
		r.Out = car.Name + "-" + r.On.String()
	}
	if out, err = e.Files.Absolute(r.Out); err == nil {
		err = e.free(out, r.Out)
	}
	return out, err
}

// readyToGo refuses a car with changes that no commit holds, since they would stay behind, and one whose records went to
// somebody else before what is in it now. A commit that a crash cut short, such as the mark of this very handover, is ended
// first: what was made aside without it would be another history.
func (e Env) readyToGo(ctx context.Context, car Car, r HandoverRequest) (m marked, err error) {
	if err := e.CarryOn(ctx, car); err != nil {
		return m, err
	}
	repo, err := e.repository(car)
	if err != nil {
		return m, err
	}
	head, err := repo.Head()
	if err != nil {
		return m, fmt.Errorf("%s: %w", car.Name, err)
	}
	unsaved, err := repo.Unsaved()
	if err != nil {
		return m, fmt.Errorf("%s: %w", car.Name, err)
	}
	if head == "" || len(unsaved) > 0 {
		return m, &Usage{Message: fmt.Sprintf("%s has changes that no commit holds, so they would stay behind", car.Name), Hint: "boltback commit, then hand it over"}
	}
	s, err := e.Snapshot(car)
	if err != nil {
		return m, err
	}
	for _, ref := range r.Private {
		if s.Record(ref) == nil {
			return m, &Usage{Message: fmt.Sprintf("--with-private %s: the car has no such record", ref), Hint: "name a record, such as transfers/2026-06-19-handed-back, or a paper whose original shall go along"}
		}
	}
	if m, err = e.markedSince(car, s); err != nil || m.commit == "" {
		return m, err
	}
	day := s.Head().HandedOver.On
	in, err := e.letIn(car, r.Keeper)
	switch {
	case err != nil:
	case len(m.paths) > 0:
		err = &Usage{Message: fmt.Sprintf("%s was handed over on %s, and %s came in since, so two copies of its history part here", car.Name, day, m.paths[0]), Hint: takenBack}
	case !in:
		err = &Usage{Message: fmt.Sprintf("%s was handed over on %s already, so this copy lets nobody else in any more", car.Name, day), Hint: "without --keeper it makes the bag once more; " + takenBack}
	}
	return m, err
}

// takenBack says how a handover that came to nothing is taken back.
const takenBack = "if the handover came to nothing, take handed-over out of ledger.json, and boltback commit"

// markedCopy makes the copy whose last commit says that the records are handed over, and says whether that commit counts, so
// that a key which it brings counts too.
func (e Env) markedCopy(ctx context.Context, car Car, r HandoverRequest, folder string) (next Car, counts bool, err error) {
	if next, err = e.copyOf(ctx, car, folder); err != nil {
		return next, false, err
	}
	d, err := e.Open(next, r.As, r.On)
	if err != nil {
		return next, false, err
	}
	if err := d.mark(ctx, r.Keeper); err != nil || r.Keeper == (Keeper{}) {
		return next, false, err
	}
	counts, _, err = e.counts(next, r.On)
	return next, counts, err
}

// bagOf writes the bag of a car as it stands; last is asked when all of it is on disk but for its name.
func (e Env) bagOf(ctx context.Context, car Car, r HandoverRequest, out string, last func() error) (HandedOver, error) {
	p, err := e.parcel(car, r)
	if err != nil {
		return HandedOver{}, err
	}
	switch folder, form := packing(filepath.Base(out)); form {
	case asZip:
		err = e.Files.Assemble(out, 0o644, func(w io.Writer) error { return p.zip(ctx, w, folder) }, last)
	case asTar:
		err = e.Files.Assemble(out, 0o644, func(w io.Writer) error { return p.tar(ctx, w, folder) }, last)
	default:
		err = e.Files.Build(out, func(folder string) error {
			err := p.lay(ctx, folder)
			if err == nil && last != nil {
				err = last()
			}
			return err
		})
	}
	return HandedOver{Path: out, Handing: p.handing}, err
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
