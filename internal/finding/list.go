package finding

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
)

// Edition is the edition of the shape that Encode writes.
const Edition = "1"

// list is the shape of findings as JSON. It is versioned so that a reader can
// tell a newer shape from a broken one.
type list struct {
	Edition  string    `json:"edition"`
	Findings []Finding `json:"findings"`
}

// Encode writes findings as {"edition": "1", "findings": [...]}, indented by two
// spaces, in the order given, with a final newline. No findings is an empty list.
func Encode(w io.Writer, findings []Finding) error {
	if findings == nil {
		findings = []Finding{}
	}
	if err := WriteJSON(w, list{Edition, findings}); err != nil {
		return fmt.Errorf("findings cannot be written as JSON: %w", err)
	}
	return nil
}

// WriteJSON writes a value for people and programs: indented by two spaces, characters as they are but for those that
// would steer a terminal, and a final newline.
func WriteJSON(w io.Writer, v any) error {
	var text bytes.Buffer
	enc := json.NewEncoder(&text)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(v); err != nil {
		return err
	}
	_, err := w.Write(InJSON(text.Bytes()))
	return err
}

// Decode reads what Encode wrote. It refuses another edition, members it does
// not know and anything after the list.
func Decode(data []byte) ([]Finding, error) {
	var l list
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&l); err != nil {
		return nil, fmt.Errorf("not a list of findings: %w", err)
	}
	if l.Edition != Edition {
		return nil, fmt.Errorf("list of findings has edition %q, this program reads edition %q", l.Edition, Edition)
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return nil, errors.New("list of findings is followed by something else")
	}
	return l.Findings, nil
}
