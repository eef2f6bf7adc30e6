package app

import (
	"bytes"
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
	"boltback/internal/edtf"
	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/quantity"
	"boltback/internal/record"
)

// ReceiveRequest says what is received, by whom, and how.
type ReceiveRequest struct {
	// Bag is the folder of the bag; Name the handle that the car gets here, "" for the one it had.
	Bag, Name string
	// By writes the transfer; "" is the user's own configuration.
	By record.Ref
	// Distance is the odometer as it was read, such as "61540 mi"; "" where nobody read it.
	Distance string
	// How is how the car came, as a transfer says it; "" is not stated.
	How string
	On  edtf.Day
}

// Received says what a receipt did.
type Received struct {
	// Report is what the check of the bag found; where the bag is refused nothing else is set.
	Report  *bag.Report
	Refused bool
	Car     Car
	// Again says that the car was here already, with all that the bag holds of its history; nothing was added to it.
	Again bool
	Written
}

// refusedHere are warnings of a check that a receipt does not pass over.
var refusedHere = []string{"bag-elsewhere", "bag-name-form"}

// Receive puts the car of a bag into the yard one stands in. The bag is checked whole before anything is written, and a car
// comes whole, with the transfer as its next commit, or not at all. Originals and disclosures are laid down before it: named
// by their content, they are nobody's until a car refers to them, and go again if the receipt fails.
func (e Env) Receive(ctx context.Context, r ReceiveRequest) (Received, error) {
	here, err := e.Files.Absolute(".")
	if err != nil {
		return Received{}, err
	}
	yard := e.above(here, "yard.json")
	if yard == "" {
		return Received{}, &Usage{Message: "no yard here", Hint: "stand in the yard that the car comes to, or make one: boltback init"}
	}
	root, err := e.Files.Absolute(r.Bag)
	if err != nil {
		return Received{}, err
	}
	if r.Distance != "" {
		if _, err := readAsked(r.Distance, quantity.Length); err != nil {
			return Received{}, &Usage{Message: fmt.Sprintf("--distance %s: %v", r.Distance, err), Hint: "as the instrument shows it, with its unit: --distance '61540 mi'"}
		}
	}
	report, err := e.CheckBag(ctx, r.Bag)
	if err != nil {
		return Received{}, err
	}
	if !report.Valid() || slices.ContainsFunc(report.Findings, func(f finding.Finding) bool { return slices.Contains(refusedHere, f.Code) }) {
		return Received{Report: report, Refused: true}, nil
	}
	if !e.has(filepath.Join(root, "data"), "history.bundle") {
		return Received{}, &Usage{Message: r.Bag + " is no folder with data/history.bundle in it", Hint: "unpack the bag if it is packed; boltback bag check looks at it before that"}
	}
	in := &arrival{env: e, bag: root, request: r, yard: yard, head: fieldOf(report, "External-Identifier")}
	if r.Name == "" {
		in.request.Name = fieldOf(report, "Internal-Sender-Identifier")
	}
	if !record.IsSlug(in.request.Name) {
		return Received{}, &Usage{Message: "the bag does not name the car by a handle that a folder here can have", Hint: "--name grey-tern"}
	}
	done, err := in.receive(ctx)
	done.Report = report
	return done, err
}

func fieldOf(r *bag.Report, label string) string {
	for _, f := range r.Info {
		if strings.EqualFold(f.Label, label) {
			return f.Value
		}
	}
	return ""
}

// arrival is a bag on its way into a yard.
type arrival struct {
	env       Env
	bag, yard string
	request   ReceiveRequest
	head      string
	laid      []string // files that were not there before
}

func (in *arrival) receive(ctx context.Context) (done Received, err error) {
	car := Car{Name: in.request.Name, Path: filepath.Join(in.yard, "cars", in.request.Name), Yard: in.yard}
	same, here, err := in.known(car)
	if err != nil {
		return Received{}, err
	}
	if here {
		car = same
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, in.takeBack())
		}
	}()
	if err := in.layDown("originals", filepath.Join(in.yard, "originals"), 0o444); err != nil {
		return Received{}, err
	}
	if err := in.layDown("private", car.privateFolder(), 0o400); err != nil {
		return Received{}, err
	}
	done.Car, done.Again = car, here
	if here {
		return done, nil
	}
	err = in.env.Files.Build(car.Path, func(folder string) (err error) {
		done.Written, err = in.build(ctx, car, folder)
		return err
	})
	return done, err
}

// known looks for the car in the yard, by its ledger's id. One that has all of the bag's history is the car itself; one that
// has not is another copy, which is not touched.
func (in *arrival) known(want Car) (Car, bool, error) {
	cars, err := in.env.carsOf(in.yard)
	if err != nil {
		return Car{}, false, err
	}
	id, err := in.ledgerID()
	if err != nil {
		return Car{}, false, err
	}
	for _, car := range cars {
		s, err := in.env.glance(car)
		if err != nil {
			return Car{}, false, err
		}
		if s.Head().ID != id || id == "" {
			if car.Name == want.Name {
				return Car{}, false, &Usage{Message: "the yard has another car called " + car.Name, Hint: "--name gives this one another handle"}
			}
			continue
		}
		repo, err := in.env.repository(car)
		if err != nil {
			return Car{}, false, err
		}
		for revision, err := range repo.Log() {
			if err != nil {
				return Car{}, false, err
			}
			if revision.ID == in.head {
				return car, true, nil
			}
		}
		return Car{}, false, &Usage{Message: fmt.Sprintf("%s is a copy of this car that lacks a part of the bag's history", car.Name),
			Hint: "git pull from data/history.bundle brings it up to date where it has nothing of its own; boltback verify --against shows where two copies part"}
	}
	return Car{}, false, nil
}

// ledgerID reads which ledger the bag holds.
func (in *arrival) ledgerID() (string, error) {
	s, err := ledger.Open(in.env.Files.Folder(filepath.Join(in.bag, "data", "car")))
	if err != nil {
		return "", fmt.Errorf("the records in the bag: %w", err)
	}
	return s.Head().ID, nil
}

// layDown copies files that are named by their SHA-256 from the bag, as streams and read-only; one whose bytes are others is
// refused, there or here.
func (in *arrival) layDown(kind, to string, perm fs.FileMode) error {
	from := in.env.Files.Folder(filepath.Join(in.bag, "data"))
	entries, err := fs.ReadDir(from, kind)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	if err := in.env.Files.MakeFolder(to); err != nil {
		return err
	}
	for _, d := range entries {
		digest, _, _ := strings.Cut(d.Name(), ".")
		if !d.Type().IsRegular() || !record.IsDigest(digest) || len(d.Name()) > 80 {
			return &Doubtful{fmt.Errorf("data/%s/%s is not named by a SHA-256", kind, d.Name())}
		}
		if in.env.has(to, d.Name()) {
			err = copied(in.env.Files.Folder(to), d.Name(), record.Digest(digest))(io.Discard)
		} else {
			at := filepath.Join(to, d.Name())
			if err = in.env.Files.Assemble(at, perm, copied(from, kind+"/"+d.Name(), record.Digest(digest))); err == nil {
				in.laid = append(in.laid, at)
			}
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// takeBack removes what was laid down for a car that did not come.
func (in *arrival) takeBack() error {
	var errs []error
	for _, file := range in.laid {
		errs = append(errs, in.env.Files.Remove(file))
	}
	return errors.Join(errs...)
}

// build makes the car out of sight: its repository out of the bundle, held against the plain files, and the transfer.
func (in *arrival) build(ctx context.Context, car Car, folder string) (w Written, err error) {
	file, err := in.env.Files.Folder(filepath.Join(in.bag, "data")).Open("history.bundle")
	if err != nil {
		return Written{}, err
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	repo, err := in.env.Git.Unbundle(ctx, folder, file)
	if err != nil {
		return Written{}, err
	}
	head, err := repo.Head()
	if err != nil {
		return Written{}, err
	}
	if head != in.head {
		return Written{}, &Doubtful{fmt.Errorf("the history ends at %s, and the bag says %q", head, in.head)}
	}
	committed, err := repo.Files(head)
	if err != nil {
		return Written{}, err
	}
	plain := in.env.Files.Folder(filepath.Join(in.bag, "data", "car"))
	if err := errors.Join(sameFiles(committed, plain), sameFiles(plain, committed)); err != nil {
		return Written{}, &Doubtful{err}
	}
	car.Path = folder
	return in.transfer(ctx, car)
}

// sameFiles reports the first file of one side that the other has not, or has otherwise.
func sameFiles(a, b fs.FS) error {
	return fs.WalkDir(a, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		one, err := fs.ReadFile(a, name)
		if err != nil {
			return err
		}
		other, err := fs.ReadFile(b, name)
		if err != nil || !bytes.Equal(one, other) {
			return fmt.Errorf("data/car/%s is not as the last commit of the bundle has it", path.Clean(name))
		}
		return nil
	})
}
