package app

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"

	"boltback/internal/canon"
	"boltback/internal/finding"
	"boltback/internal/record"
)

// Habits are a yard's defaults at entry; nothing stored depends on them later.
type Habits struct {
	Workshop     string `json:"workshop,omitempty"`
	Name         string `json:"name,omitempty"`
	Country      string `json:"country,omitempty"`
	DecimalComma bool   `json:"decimal-comma,omitempty"`
	Paper        string `json:"paper,omitempty"`
	Language     string `json:"language,omitempty"`
	Note         string `json:"note,omitempty"`
}

// habits reads yard.json; a car that lies in no yard has none.
func (e Env) habits(yard string) (Habits, error) {
	var h Habits
	if yard == "" {
		return h, nil
	}
	text, err := fs.ReadFile(e.Files.Folder(yard), "yard.json")
	if err != nil {
		return h, fmt.Errorf("read yard.json: %w", err)
	}
	doc, err := canon.Parse(text, canon.DefaultLimits())
	if err == nil {
		err = canon.Unmarshal(doc, &h)
	}
	if err != nil {
		return h, &Broken{Finding: faultIn("yard.json", err)}
	}
	return h, nil
}

// workshopNames lists the people, instruments or stores of the workshop's address book.
func (e Env) workshopNames(yard, folder string) []record.Ref {
	if yard == "" {
		return nil
	}
	book := e.Files.Folder(filepath.Join(yard, "workshop"))
	var names []record.Ref
	shops, _ := fs.ReadDir(book, folder) // an address book that is not there names nobody
	for _, shop := range shops {
		entries, _ := fs.ReadDir(book, folder+"/"+shop.Name())
		for _, entry := range entries {
			ref := record.Ref(folder + "/" + shop.Name() + "/" + entry.Name())
			if _, err := fs.Stat(book, record.PathOf(ref)); err == nil { // a run that was cut short leaves a folder alone
				names = append(names, ref)
			}
		}
	}
	return names
}

// workshopPerson gives the name of somebody in the address book, or "".
func (e Env) workshopPerson(yard string, person record.Ref) string {
	if yard == "" || !fs.ValidPath(string(person)) {
		return ""
	}
	at := record.PathOf(person)
	text, err := fs.ReadFile(e.Files.Folder(filepath.Join(yard, "workshop")), at)
	if err != nil {
		return ""
	}
	r, err := record.Decode(at, text)
	if err != nil {
		return ""
	}
	return r.Body.Heading().Name
}

// faultIn turns an error of reading a file into a finding.
func faultIn(path string, err error) finding.Finding {
	f := finding.Finding{Code: "syntax", File: path, Message: err.Error()}
	var syntax *canon.SyntaxError
	if errors.As(err, &syntax) {
		f.Line, f.Column, f.Pointer, f.Message, f.Hint = syntax.Line, syntax.Column, syntax.Pointer, syntax.Message, syntax.Hint
	}
	return f
}
