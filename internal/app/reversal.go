package app

import (
	"bytes"
	"fmt"
	"strings"

	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/requirement"
	"boltback/internal/reversal"
	"boltback/records"
)

// ReversalRequest says which baseline is to be restored, and under which suppositions.
type ReversalRequest struct {
	At, To  string
	On      edtf.Day
	Suppose []string
	// For names the requirement sets whose word on the way back is printed; none are those that the car pins.
	For []string
}

// Answer is a reversal statement, and the document that prints it with its work order and drawings.
type Answer struct {
	Statement *reversal.Statement
	Document  *doc.Document
}

// Reversal makes a reversal statement, and counts what is on the car, kept and gone.
func (e Env) Reversal(car Car, want ReversalRequest) (Answer, error) {
	s, commit, err := e.At(car, want.At)
	if err != nil {
		return Answer{}, err
	}
	law, err := lawOfWayBack(s, want.On, want.For)
	if err != nil {
		return Answer{}, err
	}
	options := reversal.Options{To: want.To, On: want.On, Commit: commit, Law: law}
	for _, word := range want.Suppose {
		supposition, err := suppose(word)
		if err != nil {
			return Answer{}, err
		}
		options.Suppose = append(options.Suppose, supposition)
	}
	work := replay.Of(s)
	statement, err := reversal.Make(work, options)
	if err != nil {
		return Answer{}, &Usage{Message: err.Error()}
	}
	originality, err := reversal.OriginalityOf(work, options, nil)
	if err != nil {
		return Answer{}, &Usage{Message: err.Error()}
	}
	in := dossier.Input{Snapshot: s, Commit: commit, Day: want.On, Program: e.Program, Reversal: statement, Drawn: statement.Draw(work, options)}
	return Answer{statement, dossier.Reversal(in, originality)}, nil
}

// lawOfWayBack gathers what requirement sets say of putting a car back: those named, or those that the car pins.
func lawOfWayBack(s *ledger.Snapshot, on edtf.Day, names []string) (law []string, err error) {
	law, _, err = saidBy(s, on, names, (*requirement.Set).GoingBack)
	return law, err
}

// saidBy gathers what requirement sets say of a subject, those named or those that the car pins, each sentence below its set's
// title; silent are the titles of those that say nothing of it.
func saidBy(s *ledger.Snapshot, on edtf.Day, names []string, says func(*requirement.Set) []string) (said, silent []string, err error) {
	if len(names) == 0 {
		names = requirement.Pinned(s)
	}
	if len(names) == 0 {
		return nil, nil, nil
	}
	sets, err := loadSets(requirement.NewLibrary(records.Requirements(), s, on), names)
	if err != nil {
		return nil, nil, err
	}
	for _, set := range sets {
		sentences := says(set)
		for _, sentence := range sentences {
			said = append(said, set.Title()+". "+sentence)
		}
		if len(sentences) == 0 {
			silent = append(silent, set.Title())
		}
	}
	return said, silent, nil
}

// suppose reads "parts/x=gone".
func suppose(word string) (reversal.Supposition, error) {
	part, how, ok := strings.Cut(word, "=")
	if !ok || how == "" {
		return reversal.Supposition{}, &Usage{Message: fmt.Sprintf("--suppose %s says nothing", word), Hint: "--suppose parts/carburettor=gone"}
	}
	if !strings.Contains(part, "/") {
		part = "parts/" + part
	}
	if how == "gone" {
		how = "lost"
	}
	return reversal.Supposition{Part: record.Ref(part), Gone: how}, nil
}

// StoreStatement writes a statement with its steps to a new file.
func (e Env) StoreStatement(name string, statement *reversal.Statement) error {
	path, err := e.Files.Absolute(name)
	if err != nil {
		return err
	}
	var text bytes.Buffer
	if err := statement.Encode(&text); err != nil {
		return err
	}
	_, err = e.Files.Replace(path, text.Bytes())
	return err
}

// Recheck replays the steps of a stored statement on the records as they are now, and says what differs.
func (e Env) Recheck(car Car, at, name string) ([]reversal.Change, error) {
	text, err := e.ReadFile(name)
	if err != nil {
		return nil, err
	}
	kept, err := reversal.Decode(bytes.NewReader(text))
	if err != nil {
		return nil, &Broken{Finding: faultIn(name, err)}
	}
	s, _, err := e.At(car, at)
	if err != nil {
		return nil, err
	}
	changes, err := reversal.Recheck(replay.Of(s), kept)
	if err != nil {
		return nil, &Usage{Message: err.Error()}
	}
	return changes, nil
}
