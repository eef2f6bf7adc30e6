package validate

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/edtf"
	"boltback/internal/finding"
	"boltback/internal/identity"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// Summary is as much of a car as the checks over a whole yard ask for, so that they need not open its records again.
type Summary struct {
	// Car is the car's handle.
	Car string
	// Tags are the tags on its parts, Numbers its chassis numbers that were made out in full.
	Tags, Numbers []Mark
	// Moves are the parts that went to another car or came from one.
	Moves []Move
	// Copies are the files of people, instruments and stores that it holds.
	Copies []Copy
	// HandedOver says that its records are marked as handed over.
	HandedOver bool
}

// Mark is something that tells things apart: a tag or a number, in the form in which it is compared, with the part that
// bears it.
type Mark struct {
	Key, Raw string
	Part     record.Ref
	Name     string
	At       Place
}

// Move is one part that left for another car, or came from one.
type Move struct {
	Part   record.Ref
	Name   string
	Leaves bool
	Day    record.Date
	// Marks are the part's tag and numbers, or its record's name where it has neither.
	Marks []string
	// Other is the handle of the other car, for whoever may know it; "" otherwise: it is a private value.
	Other string
	At    Place
}

// Place is where something stands in a car.
type Place struct {
	File         string
	Line, Column int
	Pointer      string
}

// Copy is a file of the address book, or of a car that copied it.
type Copy struct {
	Path   string
	Digest record.Digest
}

// Piece is what one file gives to the summary of its car.
type Piece struct {
	Tags, Numbers []Mark
	Moves         []Move
	// Copy is the digest of a file that was copied from the address book, "" for any other.
	Copy record.Digest
	// HandedOver says that the file marks the records as handed over.
	HandedOver bool
}

// bookFolders are what a car copies from its workshop.
var bookFolders = []string{"people", "instruments", "stores"}

// Summarize gives the summary of a car.
func Summarize(car string, s *ledger.Snapshot) Summary {
	sum := Summary{Car: car}
	records := slices.Clone(s.Records())
	slices.SortFunc(records, func(a, b *record.Record) int { return strings.Compare(a.Path, b.Path) })
	for _, r := range records {
		sum.add(r.Path, pieceOf(s, r))
	}
	return sum
}

// Summary gives the summary of the car that a check left this state of.
func (s *State) Summary(car string) Summary {
	sum := Summary{Car: car}
	for i := range s.Files {
		sum.add(s.Files[i].Path, s.Files[i].Yard)
	}
	return sum
}

func (sum *Summary) add(path string, p *Piece) {
	if p == nil {
		return
	}
	sum.Tags = append(sum.Tags, p.Tags...)
	sum.Numbers = append(sum.Numbers, p.Numbers...)
	sum.Moves = append(sum.Moves, p.Moves...)
	sum.HandedOver = sum.HandedOver || p.HandedOver
	if p.Copy != "" {
		sum.Copies = append(sum.Copies, Copy{path, p.Copy})
	}
}

// pieceOf gives what a record has for its yard, nil where that is nothing. It rests on the record, on what decides whether
// it counts, and for a session on the parts that it moves to another car.
func pieceOf(s *ledger.Snapshot, r *record.Record) *Piece {
	if slices.Contains(bookFolders, record.FolderOf(r.ID)) {
		return &Piece{Copy: r.Digest}
	}
	if standing, _ := s.StandingOf(r); standing != ledger.Stands && standing != ledger.Disputed {
		return nil
	}
	var p Piece
	switch body := r.Body.(type) {
	case *record.Ledger:
		p.HandedOver = body.HandedOver != nil
	case *record.Car:
		p.Numbers = chassisIn(r, body.Numbers)
	case *record.Part:
		p.Numbers = chassisIn(r, body.Numbers)
		if tag := strings.TrimSpace(body.Tag); tag != "" {
			p.Tags = []Mark{{tag, tag, r.ID, r.Name(), placeIn(r, "/tag")}}
		}
	case *record.Session:
		p.Moves = movesIn(s, r, body)
	}
	if len(p.Tags)+len(p.Numbers)+len(p.Moves) == 0 && !p.HandedOver {
		return nil
	}
	return &p
}

// chassisIn gives the chassis numbers that were made out in full.
func chassisIn(r *record.Record, numbers []record.Number) []Mark {
	var marks []Mark
	for i, n := range numbers {
		if form := identity.Key(n.Raw); n.What == "chassis" && !form.Pattern() && form.Known() > 0 {
			marks = append(marks, Mark{Key: form.String(), Raw: n.Raw, At: placeIn(r, canon.ElementPointer("/numbers", i)+"/raw")})
		}
	}
	return marks
}

func placeIn(r *record.Record, pointer string) Place {
	at := r.Doc.Locate(pointer)
	return Place{r.Path, at.Line, at.Column, pointer}
}

// movesIn gives the parts that a session sends to another car or takes from one.
func movesIn(s *ledger.Snapshot, r *record.Record, session *record.Session) []Move {
	var moves []Move
	for i, line := range session.Lines {
		leaves := line.Gone == "to another car" || line.OtherCar != "" && (line.Act == "removal" || line.Act == "out")
		comes := !leaves && line.OtherCar != "" && (line.Act == "in" || line.Act == "fitting")
		if !leaves && !comes {
			continue
		}
		for j, ref := range line.Parts {
			at := canon.ElementPointer(canon.ElementPointer("/lines", i)+"/parts", j)
			m := Move{Part: ref, Name: string(ref), Leaves: leaves, Day: session.Started, Marks: []string{"record " + string(ref)}, At: placeIn(r, at)}
			if p, ok := ledger.Get[record.Part](s, ref); ok {
				m.Name = p.Name()
				if marks := marksOf(p.Body); len(marks) > 0 {
					m.Marks = marks
				}
			}
			moves = append(moves, m)
		}
	}
	return moves
}

func marksOf(p *record.Part) []string {
	var marks []string
	if tag := strings.TrimSpace(p.Tag); tag != "" {
		marks = append(marks, "tag "+tag)
	}
	for _, n := range p.Numbers {
		if form := identity.Key(n.Raw); !form.Pattern() && form.Known() > 0 {
			marks = append(marks, n.What+" "+form.String())
		}
	}
	return marks
}

// Book lists the files of a workshop's address book. A yard without one has none.
func Book(workshop fs.FS) ([]Copy, error) {
	var book []Copy
	for _, folder := range bookFolders {
		err := fs.WalkDir(workshop, folder, func(at string, d fs.DirEntry, err error) error {
			switch {
			case errors.Is(err, fs.ErrNotExist):
				return nil
			case err != nil:
				return err
			case !d.Type().IsRegular() || len(record.KindsAt(at)) == 0:
				return nil
			}
			text, err := fs.ReadFile(workshop, at)
			if err == nil {
				book = append(book, Copy{at, record.Digest(canon.Digest(text))})
			}
			return err
		})
		if err != nil {
			return nil, fmt.Errorf("read the address book: %w", err)
		}
	}
	return book, nil
}

// Yard holds the cars of a yard against each other and against the workshop's address book. Each finding carries its car.
func Yard(book []Copy, cars []Summary) []finding.Finding {
	y := yard{cars: slices.Clone(cars)}
	slices.SortFunc(y.cars, func(a, b Summary) int { return strings.Compare(a.Car, b.Car) })
	y.marks()
	y.moves()
	for _, car := range y.cars {
		y.copies(book, car)
	}
	for i := range y.found {
		y.found[i].Severity, _ = severity(y.found[i].Code)
	}
	finding.Sort(y.found)
	return y.found
}

type yard struct {
	cars  []Summary
	found []finding.Finding
}

func (y *yard) report(car string, at Place, code, message, hint string) {
	y.found = append(y.found, finding.Finding{Code: code, Car: car, File: at.File, Line: at.Line, Column: at.Column, Pointer: at.Pointer, Message: message, Hint: hint})
}

// marks reports a tag or a chassis number that two cars have; a tag that went from one to the other with its part is left
// to the moves.
func (y *yard) marks() {
	type bearer struct {
		car  string
		mark Mark
	}
	tags, numbers := map[string]bearer{}, map[string]bearer{}
	for _, car := range y.cars {
		seen := map[string]bool{}
		for _, m := range car.Tags {
			first, twice := tags[m.Key]
			switch {
			case !twice:
				tags[m.Key] = bearer{car.Car, m}
			case first.car != car.Car && !y.moved("tag "+m.Key):
				y.report(car.Car, m.At, "tag-two-cars", fmt.Sprintf("tag %s is also on %s of %s", m.Raw, first.mark.Name, first.car), "look at both; a bag or a part can end in the wrong crate")
			}
		}
		for _, m := range car.Numbers {
			first, twice := numbers[m.Key]
			switch {
			case !twice:
				numbers[m.Key] = bearer{car.Car, m}
			case first.car != car.Car && !seen[m.Key]:
				seen[m.Key] = true
				y.report(car.Car, m.At, "number-two-cars", fmt.Sprintf("chassis number %s is also that of %s, where it reads %s", m.Raw, first.car, first.mark.Raw),
					"the same number on two cars may be a slip or worse; a short number can be borne by cars of two makes")
			}
		}
	}
}

// moved reports whether a part with a mark left some car of the yard or came to one.
func (y *yard) moved(mark string) bool {
	return slices.ContainsFunc(y.cars, func(s Summary) bool {
		return slices.ContainsFunc(s.Moves, func(m Move) bool { return slices.Contains(m.Marks, mark) })
	})
}

// moves reports each part that left one car of the yard and came to none, or came and left none.
func (y *yard) moves() {
	for i, car := range y.cars {
		for _, m := range car.Moves {
			elsewhere := m.Other != "" && !slices.ContainsFunc(y.cars, func(s Summary) bool { return s.Car == m.Other })
			if elsewhere || y.paired(i, m) {
				continue
			}
			if m.Leaves {
				y.report(car.Car, m.At, "move-one-sided", fmt.Sprintf("%s went to another car, and no car of this yard records that it came", m.Name), "record its coming there; if that car is of another yard, leave this so")
			} else {
				y.report(car.Car, m.At, "move-one-sided", fmt.Sprintf("%s came from another car, and no car of this yard records that it left", m.Name), "record its leaving there; if that car is of another yard, leave this so")
			}
		}
	}
}

// paired looks in the other cars for the other side of a move: a part with one of the same marks, and days that allow it.
func (y *yard) paired(from int, m Move) bool {
	for i, car := range y.cars {
		if i == from || m.Other != "" && m.Other != car.Car {
			continue
		}
		for _, n := range car.Moves {
			left, came := m, n
			if !m.Leaves {
				left, came = n, m
			}
			share := slices.ContainsFunc(m.Marks, func(mark string) bool { return slices.Contains(n.Marks, mark) })
			if m.Leaves != n.Leaves && share && edtf.Compare(dateOf(came.Day), dateOf(left.Day)) != edtf.Before {
				return true
			}
		}
	}
	return false
}

// copies holds what a car copied from the address book against it: a file that differs, and entries that were added since.
func (y *yard) copies(book []Copy, car Summary) {
	held := map[string]record.Digest{}
	for _, c := range car.Copies {
		held[c.Path] = c.Digest
	}
	lacks := map[string][]string{}
	for _, c := range book {
		owner := path.Dir(c.Path)
		leaf := record.PathOf(record.Ref(owner))
		mine, here := held[c.Path]
		_, known := held[leaf]
		switch {
		case here && mine != c.Digest:
			y.report(car.Car, Place{File: c.Path, Line: 1, Column: 1}, "copy-behind", "this is not as the workshop's address book has it", "copy it from the workshop, or mend the one that is wrong")
		case !here && known:
			lacks[leaf] = append(lacks[leaf], strings.TrimSuffix(path.Base(c.Path), ".json"))
		}
	}
	for leaf, names := range lacks {
		y.report(car.Car, Place{File: leaf, Line: 1, Column: 1}, "entry-behind", "the address book has entries that this car lacks: "+strings.Join(names, ", "), "a later calibration or licence can bear on work done here: copy them from the workshop")
	}
}
