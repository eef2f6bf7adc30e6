package history

import (
	"io"
	"time"

	"boltback/internal/finding"
	"boltback/internal/record"
)

// Edition is the edition of the shapes that Encode and EncodeEntries write.
const Edition = "1"

type changeShape struct {
	What   What         `json:"what"`
	Record record.Ref   `json:"record,omitempty"`
	Kind   record.Kind  `json:"kind,omitempty"`
	Path   string       `json:"path"`
	Title  string       `json:"title"`
	Was    record.Ref   `json:"was,omitempty"`
	Alike  int          `json:"alike,omitempty"`
	Values int          `json:"values,omitempty"`
	By     record.Ref   `json:"by,omitempty"`
	Over   record.Ref   `json:"over,omitempty"`
	Reason string       `json:"reason,omitempty"`
	Remark string       `json:"remark,omitempty"`
	Words  string       `json:"words"`
	Fields []fieldShape `json:"fields"`
}

type fieldShape struct {
	What     What     `json:"what"`
	Was      string   `json:"was,omitempty"`
	At       string   `json:"at,omitempty"`
	Label    string   `json:"label"`
	Old      Value    `json:"old"`
	New      Value    `json:"new"`
	Relation Relation `json:"relation,omitempty"`
	Remark   string   `json:"remark,omitempty"`
	Words    string   `json:"words"`
}

type entryShape struct {
	Revision string        `json:"revision"`
	When     string        `json:"when"`
	Author   string        `json:"author"`
	Message  string        `json:"message"`
	Signed   string        `json:"signed,omitempty"`
	Changes  []changeShape `json:"changes"`
	Delays   []delayShape  `json:"delays"`
}

type delayShape struct {
	Record record.Ref `json:"record"`
	Of     string     `json:"of"`
	Fewest *int       `json:"fewest"`
	Most   *int       `json:"most"`
	First  bool       `json:"first"`
	Late   string     `json:"late"`
	Words  string     `json:"words"`
}

// Encode writes changes as {"edition": "1", "changes": [...]}, indented by two
// spaces, in the order given, with a final newline. Values stand as the record has
// them; sealed ones as "sealed" and absent ones as null.
func Encode(w io.Writer, changes []Change) error {
	return write(w, struct {
		Edition string        `json:"edition"`
		Changes []changeShape `json:"changes"`
	}{Edition, changeShapes(changes)})
}

// EncodeEntries writes a story as {"edition": "1", "entries": [...]}; fewest and
// most are null where the record states no day.
func EncodeEntries(w io.Writer, entries []Entry) error {
	shapes := make([]entryShape, 0, len(entries))
	for _, e := range entries {
		s := entryShape{Revision: e.ID, When: e.When.Format(time.RFC3339), Author: e.Author, Message: e.Message, Signed: e.Signed,
			Changes: changeShapes(e.Changes), Delays: make([]delayShape, 0, len(e.Delays))}
		for _, d := range e.Delays {
			shape := delayShape{Record: d.Record, Of: d.Of, First: d.First, Late: string(d.Late), Words: d.String()}
			if d.Known {
				shape.Fewest, shape.Most = &d.Fewest, &d.Most
			}
			s.Delays = append(s.Delays, shape)
		}
		shapes = append(shapes, s)
	}
	return write(w, struct {
		Edition string       `json:"edition"`
		Entries []entryShape `json:"entries"`
	}{Edition, shapes})
}

func changeShapes(changes []Change) []changeShape {
	shapes := make([]changeShape, 0, len(changes))
	for _, c := range changes {
		s := changeShape{What: c.What, Record: c.Record, Kind: c.Kind, Path: c.Path, Title: c.Title, Was: c.Was, Alike: c.Alike, Values: c.Values,
			By: c.By, Over: c.Over, Reason: c.Reason, Remark: c.Remark, Words: c.String(), Fields: make([]fieldShape, 0, len(c.Fields))}
		for _, f := range c.Fields {
			shape := fieldShape{What: f.What, Was: f.Was, At: f.At, Label: f.Label, Relation: f.Relation, Remark: f.Remark, Words: f.String()}
			if f.Relation != Sealed {
				shape.Old, shape.New = f.Old, f.New
			}
			s.Fields = append(s.Fields, shape)
		}
		shapes = append(shapes, s)
	}
	return shapes
}

func write(w io.Writer, shape any) error {
	return finding.WriteJSON(w, shape)
}
