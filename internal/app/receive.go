package app

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"boltback/internal/attest"
	"boltback/internal/bag"
	"boltback/internal/edtf"
	"boltback/internal/finding"
	"boltback/internal/quantity"
	"boltback/internal/record"
)

// ReceiveRequest says what is received, by whom, and how.
type ReceiveRequest struct {
	// Bag is the folder of the bag, or the file it is packed into; Name the handle that the car gets here, "" for the one it had.
	Bag, Name string
	// By writes the transfer; "" is the user's own configuration.
	By record.Ref
	// Distance is the odometer as it was read, such as "61540 mi"; "" where nobody read it.
	Distance string
	// How is how the car came, as a transfer says it; "" is not stated.
	How string
	On  edtf.Day
	// Press makes the README anew, to hold the bag's against.
	Press Press
}

// Received says what a receipt did.
type Received struct {
	// Report is what the check of the bag found; where the bag is refused nothing else is set.
	Report  *bag.Report
	Refused bool
	Car     Car
	// Again says that the car was here already, with all that the bag holds of its history; nothing was added to it. Newer
	// says that it was here with less, and went on by what the bag has more.
	Again, Newer bool
	// Copy says that the bag hands nothing over, so that no receipt was written.
	Copy bool
	// Counts says that the receipt is signed with a key that counts in the history, so that the records go on without a break;
	// Standing says what its signature is worth.
	Counts   bool
	Standing attest.Standing
	// Doubts are sentences on what was taken and could not be held against anything.
	Doubts []string
	Written
}

// refusedHere are warnings of a check that a receipt does not pass over.
var refusedHere = []string{"bag-elsewhere", "bag-name-form"}

// Receive puts the car of a bag into the yard one stands in. The bag is checked whole before anything is written, and a car
// comes whole, with the transfer as its next commit, or not at all. A packed bag is read as a stream and never unpacked.
// Originals and disclosures are laid down before the car: named by their content, they are nobody's until a car refers to
// them, and go again if the receipt fails.
func (e Env) Receive(ctx context.Context, r ReceiveRequest) (done Received, err error) {
	here, err := e.Files.Absolute(".")
	if err != nil {
		return Received{}, err
	}
	yard := e.above(here, "yard.json")
	if yard == "" {
		return Received{}, &Usage{Message: "no yard here", Hint: "stand in the yard that the car comes to, or make one: boltback init"}
	}
	if r.Distance != "" {
		if _, err := readAsked(r.Distance, quantity.Length); err != nil {
			return Received{}, &Usage{Message: fmt.Sprintf("--distance %s: %v", r.Distance, err), Hint: "as the instrument shows it, with its unit: --distance '61540 mi'"}
		}
	}
	source, shut, err := e.bagAt(r.Bag)
	if err != nil {
		return Received{}, err
	}
	defer func() { err = errors.Join(err, shut()) }()
	report, err := bag.Check(ctx, source)
	if err != nil {
		return Received{}, err
	}
	if !report.Valid() || slices.ContainsFunc(report.Findings, func(f finding.Finding) bool { return slices.Contains(refusedHere, f.Code) }) {
		return Received{Report: report, Refused: true}, nil
	}
	in := &arrival{env: e, source: source, request: r, yard: yard, report: report, head: fieldOf(report, "External-Identifier")}
	if r.Name == "" {
		in.request.Name = fieldOf(report, "Internal-Sender-Identifier")
	}
	if !record.IsSlug(in.request.Name) {
		return Received{}, &Usage{Message: "the bag does not name the car by a handle that a folder here can have", Hint: "--name grey-tern"}
	}
	if err := e.handleFits(Car{Name: in.request.Name, Yard: yard}); err != nil {
		return Received{}, err
	}
	done, err = in.receive(ctx)
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

// receive brings in a car that the yard has not, brings one up to date that is here with less, and of one that is here
// whole brings in what was missing beside it.
func (in *arrival) receive(ctx context.Context) (done Received, err error) {
	if err := in.look(); err != nil {
		return Received{}, err
	}
	car := Car{Name: in.request.Name, Path: filepath.Join(in.yard, "cars", in.request.Name), Yard: in.yard}
	same, err := in.known(car)
	if err != nil {
		return Received{}, err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, in.takeBack())
		}
	}()
	if same != nil {
		return in.receiveAgain(ctx, *same)
	}
	if err := in.layDown(ctx, car); err != nil {
		return Received{}, err
	}
	err = in.env.Files.Build(car.Path, func(folder string) (err error) {
		done, _, err = in.build(ctx, car, folder)
		return err
	})
	done.Car = car
	return done, err
}

// receiveAgain brings a car up to date that is here. What the bag has more is made into a car aside, as if it came for the
// first time, and then taken over at once.
func (in *arrival) receiveAgain(ctx context.Context, car Car) (done Received, err error) {
	repo, err := in.env.repository(car)
	if err == nil { // a receipt that a crash cut short is the car's next commit, and not made anew
		err = repo.CarryOn(ctx)
	}
	if err != nil {
		return Received{}, err
	}
	for revision, err := range repo.Log() {
		if err != nil {
			return Received{}, err
		}
		if revision.ID == in.head {
			return Received{Car: car, Again: true}, in.env.Files.Aside(car.Path, func(string) error { return in.layDown(ctx, car) })
		}
	}
	err = in.env.Files.Aside(car.Path, func(folder string) error {
		var next Repository
		if done, next, err = in.build(ctx, car, folder); err != nil {
			return err
		}
		if err := in.layDown(ctx, car); err != nil {
			return err
		}
		return repo.Advance(ctx, next)
	})
	var fork *Forked
	if errors.As(err, &fork) {
		if !done.Copy {
			fork.Theirs-- // the receipt, which was made aside
		}
		err = &Doubtful{fmt.Errorf("%s is another copy of this car: %w", car.Name, fork)}
	}
	done.Car, done.Newer = car, true
	return done, err
}

// known looks for the car in the yard, by its ledger's id; nil where it is not here.
func (in *arrival) known(want Car) (*Car, error) {
	cars, err := in.env.carsOf(in.yard)
	if err != nil {
		return nil, err
	}
	for _, car := range cars {
		s, err := in.env.glance(car)
		if err != nil {
			return nil, err
		}
		if in.ledger != "" && s.Head().ID == in.ledger {
			return &car, nil
		}
	}
	for _, car := range cars {
		if car.Name == want.Name {
			return nil, &Usage{Message: "the yard has another car called " + car.Name, Hint: "--name gives this one another handle"}
		}
	}
	return nil, nil
}
