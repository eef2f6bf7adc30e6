package steps

import (
	"slices"
	"strings"

	"boltback/internal/edtf"
	"boltback/internal/entry"
	"boltback/internal/record"
)

// settings are the words for what holds for the steps that follow, or for the whole session.
var settings = []string{"by", "day", "at", "for", "name", "basis", "helper", "note"}

// set takes a line that sets something; ok is false where the line is none.
func (s *Session) set(line string) (told Told, ok bool, err error) {
	word, value, _ := strings.Cut(line, " ")
	word, value = strings.ToLower(word), strings.TrimSpace(value)
	if value == "" && slices.Contains(settings, word) {
		return Told{}, true, &entry.Fault{Word: word, Message: "something has to follow it", Hint: "for example: by ines, day 2026-03-02, at loft crate 2, for conversion"}
	}
	says := ""
	switch word {
	case "by", "helper":
		says, err = s.setPerson(word, value)
	case "day":
		says, err = s.setDay(value)
	case "at":
		says, err = s.setPlace(value)
	case "for":
		says, err = s.setPurpose(value)
	case "name":
		s.work.Name, says = value, "the session is called "+value
	case "basis":
		says, err = s.field(&s.work, "basis", value)
	case "note":
		s.addNote(value)
		says = "note of the session: " + value
	default:
		return Told{}, false, nil
	}
	if err != nil {
		return Told{}, true, err
	}
	told = Told{Line: line, Says: says}
	s.told = append(s.told, told)
	return told, true, nil
}

func (s *Session) addNote(text string) {
	if s.work.Note != "" {
		text = s.work.Note + "; " + text
	}
	s.work.Note = text
}

// field sets a member of a record in the words of the bench, and says what it became.
func (s *Session) field(body record.Body, name, value string) (string, error) {
	_, err := s.context.Apply(body, []string{name + "=" + value})
	return name + ": " + value, err
}

func (s *Session) setPerson(word, value string) (string, error) {
	ref, err := s.find(value, s.bench.People, "person")
	if err != nil {
		return "", err
	}
	if word == "helper" {
		s.work.Helpers = append(s.work.Helpers, ref)
		return "with the help of " + string(ref), nil
	}
	s.work.By = ref
	return "done by " + string(ref), nil
}

// find completes a short name: from the address book, or from the car.
func (s *Session) find(value string, book []record.Ref, kind string) (record.Ref, error) {
	var hits []record.Ref
	for _, ref := range book {
		last := string(ref[strings.LastIndexByte(string(ref), '/')+1:])
		if string(ref) == value || last == strings.ToLower(value) || kind == "person" && strings.HasPrefix(last, strings.ToLower(value)+"-") {
			hits = append(hits, ref)
		}
	}
	if len(hits) == 1 {
		return hits[0], nil
	}
	field := map[string]string{"person": "by", "instrument": "lines.0.instrument"}[kind]
	scratch := &record.Session{Head: record.Head{Kind: record.KindSession}, Lines: []record.Line{{}}}
	if _, err := s.context.Apply(scratch, []string{field + "=" + value}); err != nil {
		return "", err
	}
	if kind == "person" {
		return scratch.By, nil
	}
	return scratch.Lines[0].Instrument, nil
}

func (s *Session) setDay(value string) (string, error) {
	date, err := edtf.ReadDocument(s.context.Day(value), s.context.Country)
	switch {
	case err != nil:
		return "", &entry.Fault{Word: value, Message: err.Error(), Hint: "write it as 2026-03-02, today or yesterday"}
	case !date.Settled():
		return "", &entry.Fault{Word: value, Message: "this can be several days", Hint: "write one of: " + readings(date)}
	}
	s.work.Started = record.Date(date.Date.Text())
	return "done on " + date.Date.Text(), nil
}

func readings(date edtf.DocumentDate) string {
	var words []string
	for _, r := range date.Readings {
		words = append(words, r.Date.Text()+" ("+r.Words+")")
	}
	return strings.Join(words, "; ")
}

// setPurpose takes one of the schema's words, or the beginning of one.
func (s *Session) setPurpose(value string) (string, error) {
	for _, word := range entry.Words(record.KindSession, []string{"lines", "0", "purpose"}) {
		if value != "" && strings.HasPrefix(word, strings.ToLower(value)) {
			value = word
		}
	}
	scratch := &record.Session{Head: record.Head{Kind: record.KindSession}, Lines: []record.Line{{}}}
	_, err := s.context.Apply(scratch, []string{"lines.0.purpose=" + value})
	if err == nil {
		s.purpose = value
	}
	return "purpose of the steps that follow: " + value, err
}
