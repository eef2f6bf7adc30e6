package wording

import (
	"slices"
	"strings"

	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
)

// Standing says whether the records carry a sentence.
type Standing string

// The standings.
const (
	Supported    Standing = "supported"
	Withheld     Standing = "withheld"
	Contradicted Standing = "contradicted"
)

// Phrase is one sentence that an advertisement might hold.
type Phrase struct {
	// Code names the kind of sentence, such as no-new-hole; Thing the part it is about, Zone the zone.
	Code  string     `json:"code"`
	Thing record.Ref `json:"thing,omitempty"`
	Zone  string     `json:"zone,omitempty"`
	// Text is the sentence itself, as it may be said where it is supported.
	Text     string   `json:"text"`
	Standing Standing `json:"standing"`
	// Why says what carries it, what is missing or what speaks against it; Settle what would settle a withheld one: lower
	// case, no full stop.
	Why    string `json:"why"`
	Settle string `json:"settle,omitempty"`
	// For are the records that carry it; Against those that speak against it or leave it open.
	For     []record.Ref `json:"for,omitempty"`
	Against []record.Ref `json:"against,omitempty"`
	SeenBy  []Witness    `json:"seen-by,omitempty"`
}

// Witness is somebody by whose word a sentence stands.
type Witness struct {
	Person record.Ref `json:"person"`
	Name   string     `json:"name"`
	// Outside says that the person does not belong to the workshop that keeps the ledger.
	Outside bool         `json:"outside"`
	Records []record.Ref `json:"records"`
}

// finish sorts the records of a phrase, keeps what speaks against it out of what speaks for it, and names who saw it.
func (p Phrase) finish(w *replay.Work) Phrase {
	p.Against = sorted(p.Against)
	p.For = slices.DeleteFunc(sorted(p.For), func(r record.Ref) bool { return slices.Contains(p.Against, r) })
	p.SeenBy = witnesses(w, p.For)
	return p
}

func sorted(refs []record.Ref) []record.Ref {
	refs = slices.Clone(refs)
	slices.Sort(refs)
	return slices.Compact(refs)
}

// witnesses lists who stands behind records: who did or watched the work, took the reading, saw the feature, made the photo.
// The workshop's people come first, outsiders after, each by name.
func witnesses(w *replay.Work, refs []record.Ref) []Witness {
	home := w.Snapshot().Head().Workshop
	records := map[record.Ref][]record.Ref{}
	for _, ref := range refs {
		for _, person := range peopleOf(w.Snapshot(), ref) {
			records[person] = append(records[person], ref)
		}
	}
	var list []Witness
	for person, of := range records {
		list = append(list, Witness{Person: person, Name: w.Called(person), Outside: workshopOf(person) != home, Records: of})
	}
	slices.SortFunc(list, func(a, b Witness) int {
		if a.Outside != b.Outside {
			if b.Outside {
				return -1
			}
			return 1
		}
		return strings.Compare(string(a.Person), string(b.Person))
	})
	return list
}

// workshopOf gives the workshop a person belongs to: people/<workshop>/<slug>.
func workshopOf(person record.Ref) string {
	parts := strings.Split(string(person), "/")
	if len(parts) < 3 {
		return ""
	}
	return parts[1]
}

func peopleOf(s *ledger.Snapshot, ref record.Ref) []record.Ref {
	r := s.Current(ref)
	if r == nil {
		return nil
	}
	var people []record.Ref
	switch b := r.Body.(type) {
	case *record.Session:
		people = []record.Ref{b.By, b.Witness}
	case *record.Reading:
		people = []record.Ref{b.By}
	case *record.Existing:
		people = []record.Ref{b.SeenBy}
	case *record.Paper:
		people = []record.Ref{b.By}
	case *record.SignOff:
		people = []record.Ref{b.By}
	}
	return slices.DeleteFunc(people, func(p record.Ref) bool { return p == "" })
}
