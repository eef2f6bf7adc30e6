package app

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"boltback/internal/canon"
	"boltback/internal/edtf"
	"boltback/internal/entry"
	"boltback/internal/record"
	"boltback/internal/validate"
)

// editFor is how long a record that nobody signed may be edited plainly; after that a correction stands over it.
const editFor = 24 * time.Hour

// Entry is what somebody wants recorded.
type Entry struct {
	// Kind and Name say what and where: a slug, or the whole name of a record that may be there already.
	Kind record.Kind
	Name string
	// Words are name=value; From is a whole record as JSON, to which the words are applied.
	Words []string
	From  []byte
	// File is the photo or document that a paper is to describe; nil for none.
	File *NamedFile
	// FromInbox is the name of something saved before that is to be completed.
	FromInbox string
	Message   string
	// Ask is called with the places that a record cannot do without and lacks, and gives the words for them; nil asks nobody.
	Ask func(kind record.Kind, lacks []string) ([]string, error)
}

// Record writes a new record, edits a young one, or completes something from the inbox. What is incomplete goes to the
// inbox and says what it lacks: nothing is refused for that.
func (d *Desk) Record(ctx context.Context, want Entry) (Written, error) {
	draft, err := d.draft(want)
	if err != nil {
		return Written{}, err
	}
	notes, err := d.context().Apply(draft.body, want.Words)
	if err != nil {
		return Written{}, usageOf(err)
	}
	if want.File != nil {
		more, err := d.attach(&draft, want.File)
		if err != nil {
			return Written{}, err
		}
		notes = append(notes, more...)
	}
	lacks := entry.Lacks(draft.body)
	if len(lacks) > 0 && want.Ask != nil {
		words, err := want.Ask(draft.body.Heading().Kind, lacks)
		if err != nil {
			return Written{}, err
		}
		more, err := d.context().Apply(draft.body, words)
		if err != nil {
			return Written{}, usageOf(err)
		}
		notes, lacks = append(notes, more...), entry.Lacks(draft.body)
	}
	d.fill(draft.body)
	var w Written
	if len(lacks) > 0 {
		w, err = d.keep(ctx, draft, lacks)
	} else {
		w, err = d.write(ctx, draft, want.Message)
	}
	w.Notes, w.Lacks = append(notes, w.Notes...), lacks
	return w, err
}

// draft is a record on its way to a file.
type draft struct {
	body record.Body
	// path is where it lies already, "" for a new one; slug is the name wanted for a new one.
	path, slug string
	// inbox is the file it came from, "" for none.
	inbox string
	// original is the file that a paper describes, nil for none; beside is what is committed with the record.
	original *original
	beside   []Change
}

// draft finds or begins the body that an entry means.
func (d *Desk) draft(want Entry) (draft, error) {
	switch {
	case want.FromInbox != "":
		return d.fromInbox(want.FromInbox)
	case want.From != nil:
		return d.fromText(want)
	}
	if err := d.ofBook(want.Kind); err != nil && want.Kind != "" {
		return draft{}, err
	}
	if d.car.Book && want.Kind != "" {
		at, err := d.bookPlace(want.Kind, want.Name)
		if err != nil {
			return draft{}, err
		}
		id, _ := record.IDOf(at)
		want.Name = string(id)
	}
	if r := d.s.Record(record.Ref(strings.TrimSuffix(want.Name, ".json"))); r != nil {
		return draft{body: r.Body, path: r.Path}, d.editable(r)
	}
	if folder, _, _ := strings.Cut(record.PlaceOf(want.Kind), "/"); want.Kind != "" && d.s.Record(record.Ref(folder+"/"+want.Name)) != nil {
		r := d.s.Record(record.Ref(folder + "/" + want.Name))
		return draft{body: r.Body, path: r.Path}, d.editable(r)
	}
	if want.Kind == "" && want.Name == d.car.Name {
		return draft{}, &Usage{Message: fmt.Sprintf("%s is the car itself, and nothing is said of it", want.Name), Hint: fmt.Sprintf("boltback record --steps %s takes work line by line, also from a pipe", want.Name)}
	}
	if want.Kind == "" && slices.Contains(record.Kinds(), record.Kind(want.Name)) {
		return draft{}, &Usage{Message: "the " + want.Name + " needs a name of its own", Hint: fmt.Sprintf("boltback record %s NAME name=value ..., and boltback schema %s shows what it may hold", want.Name, want.Name)}
	}
	if want.Kind == "" {
		return draft{}, &Usage{Message: fmt.Sprintf("there is no record %s yet, and nothing says of what kind it is to be", want.Name), Hint: "boltback record KIND NAME name=value ..."}
	}
	return draft{body: record.New(want.Kind), slug: want.Name}, d.nameable(want.Name)
}

// fromText begins from a whole record as JSON.
func (d *Desk) fromText(want Entry) (draft, error) {
	doc, err := canon.Parse(want.From, canon.DefaultLimits())
	if err != nil {
		return draft{}, &Broken{Finding: faultIn("--from", err)}
	}
	kind := want.Kind
	if member := doc.Root.Get("kind"); member != nil {
		kind = record.Kind(member.Text)
	}
	body := record.New(kind)
	if body == nil {
		return draft{}, &Usage{Message: fmt.Sprintf("there is no kind of record called %q", kind), Hint: `the text begins with { "kind": ... }`}
	}
	if err := canon.Unmarshal(doc, body); err != nil {
		return draft{}, &Broken{Finding: faultIn("--from", err)}
	}
	body.Heading().Kind = kind
	if err := d.ofBook(kind); err != nil {
		return draft{}, err
	}
	return draft{body: body, slug: want.Name}, d.nameable(want.Name)
}

// nameable refuses a name that no file could have. Those of the address book hold their owner's too, and have a place of their own.
func (d *Desk) nameable(name string) error {
	if d.car.Book || record.IsSlug(name) {
		return nil
	}
	return &Usage{Message: fmt.Sprintf("%q cannot be part of a file's name", name), Hint: "lower-case letters, digits and single dashes: fuel-tank"}
}

// editable refuses to edit a record that somebody signed, or that has stood for a day.
func (d *Desk) editable(r *record.Record) error {
	if validate.NeverChanges(r.Kind) {
		return &Usage{Message: fmt.Sprintf("%s is an entry, and entries never change", r.ID), Hint: "what is so now is a new entry; a wrong one is corrected: boltback correct " + string(r.ID) + " name=value --reason WHY"}
	}
	if by := d.coveredBy(r.ID); by != "" {
		return &Usage{Message: fmt.Sprintf("%s is covered by %s and is not edited", r.ID, by), Hint: fmt.Sprintf("boltback correct %s name=value --reason WHY", r.ID)}
	}
	if editedInPlace(r.Kind) {
		return nil
	}
	var first time.Time
	for revision, err := range d.repo.History(r.Path) {
		if err != nil {
			return fmt.Errorf("the history of %s: %w", r.ID, err)
		}
		first = revision.When
	}
	if !first.IsZero() && d.env.Now().Sub(first) > editFor {
		return &Usage{Message: fmt.Sprintf("%s has stood since %s and is not edited any more", r.ID, first.Format("2006-01-02")), Hint: fmt.Sprintf("boltback correct %s name=value --reason WHY", r.ID)}
	}
	return nil
}

// editedInPlace reports whether a record of a kind is set right by editing it: its history shows the change.
func editedInPlace(kind record.Kind) bool {
	switch kind {
	case record.KindLedger, record.KindCar, record.KindPerson, record.KindInstrument, record.KindStore:
		return true
	}
	return false
}

// coveredBy gives a sign-off that covers a record, or "".
func (d *Desk) coveredBy(id record.Ref) record.Ref {
	for _, use := range d.s.Uses(id) {
		if use.From.Kind == record.KindSignOff && strings.HasPrefix(use.Pointer, "/covers/") {
			return use.From.ID
		}
	}
	return ""
}

// fill adds what the desk knows: who did it and who wrote it down, where the record has a place for it and nobody said.
func (d *Desk) fill(body record.Body) {
	now := record.Date(d.env.Now().Format("2006-01-02T15:04:05Z07:00"))
	switch b := body.(type) {
	case *record.Session:
		if b.EnteredBy == "" {
			b.EnteredBy, b.Entered = d.person, now
		}
	case *record.Reading:
		if b.EnteredBy == "" {
			b.EnteredBy, b.Entered = d.person, now
		}
	}
}

// write commits a complete record.
func (d *Desk) write(ctx context.Context, draft draft, message string) (Written, error) {
	at := draft.path
	if at == "" {
		var err error
		if at, err = d.place(draft.body, draft.slug); err != nil {
			return Written{}, err
		}
	}
	encoded, err := record.Encode(draft.body)
	if err != nil {
		return Written{}, fmt.Errorf("write %s: %w", at, err)
	}
	text, taken, err := d.sealTaken(draft.inbox, at, encoded)
	if err != nil {
		return Written{}, err
	}
	changes := append([]Change{{Path: at, Content: text}}, draft.beside...)
	if draft.inbox != "" {
		changes = append(changes, Change{Path: draft.inbox, Delete: true})
	}
	if message == "" {
		message = saying(draft)
	}
	if draft.original != nil {
		if err := d.keepOriginal(draft.original); err != nil {
			return Written{}, err
		}
	}
	replaced := d.replaced(at, text)
	w, err := d.save(ctx, changes, []record.Body{draft.body}, message)
	if err == nil {
		taken.clean(&w)
		w.Notes = append(w.Notes, replaced...)
	}
	return w, err
}

// replaced says of which private values the files are of no record any more, once a record is as it is to be. They stay: a copy
// of the record in another car, or its history, may still be shown with them.
func (d *Desk) replaced(at string, text []byte) []string {
	id, _ := record.IDOf(at)
	old := d.s.Record(id)
	if old == nil {
		return nil
	}
	var notes []string
	for _, n := range record.SecretsIn(old.Kind, old.Doc.Root) {
		if _, here := d.disclosure(record.Sealed(n.Text)); here && !bytes.Contains(text, []byte(n.Text)) {
			notes = append(notes, fmt.Sprintf("the private value of before is still in private/%s/%s.json; deleting that file is enough to forget it", d.car.Name, n.Text))
		}
	}
	return notes
}

func saying(draft draft) string {
	head := draft.body.Heading()
	name := head.Name
	if name == "" {
		name = draft.slug + strings.TrimSuffix(draft.path, ".json")
	}
	verb := "record"
	switch {
	case head.Corrects != "":
		return fmt.Sprintf("correct %s: %s", head.Corrects, head.Reason)
	case head.Withdraws != "":
		return fmt.Sprintf("withdraw %s: %s", head.Withdraws, head.Reason)
	case draft.path != "":
		verb = "edit"
	}
	return fmt.Sprintf("%s %s %s", verb, head.Kind, name)
}

// place gives the path of a new record: dated kinds begin with the first possible day and who did it.
func (d *Desk) place(body record.Body, slug string) (string, error) {
	kind := body.Heading().Kind
	place := record.PlaceOf(kind)
	if strings.Contains(place, "<date>") {
		if kind != record.KindTransfer { // a transfer is nobody's work
			slug = d.whoDid(body) + "-" + slug
		}
		slug = dayIn(body) + "-" + slug
		place = strings.Replace(place, "<date>-<slug>", slug, 1)
	}
	at := strings.Replace(place, "<slug>", slug, 1)
	if inBook(place) {
		if !d.car.Book {
			return "", &Usage{Message: fmt.Sprintf("a %s belongs to the workshop's address book", kind), Hint: fmt.Sprintf("boltback record %s NAME, in the yard; cars copy from it when they refer to it", kind)}
		}
		var err error
		if at, err = d.bookPlace(kind, slug); err != nil {
			return "", err
		}
	}
	if id, _ := record.IDOf(at); d.s.Record(id) != nil || d.s.Unread(id) != nil {
		return "", &Usage{Message: at + " is there already", Hint: "choose another name; nothing is written over"}
	}
	return at, nil
}

// dayIn gives the first possible day of a dated record, 0000-00-00 where there is none.
func dayIn(body record.Body) string {
	var date record.Date
	switch b := body.(type) {
	case *record.Session:
		date = b.Started
	case *record.Reading:
		date = b.On
	case *record.SignOff:
		date = b.On
	case *record.Transfer:
		date = b.On
	}
	if d, err := edtf.Parse(string(date)); err == nil {
		if day, ok := d.First(); ok {
			return day.String()
		}
	}
	return "0000-00-00"
}

// whoDid gives the slug of whoever did what a dated record tells of.
func (d *Desk) whoDid(body record.Body) string {
	var by record.Ref
	switch b := body.(type) {
	case *record.Session:
		by = b.By
	case *record.Reading:
		by = b.By
	case *record.SignOff:
		by = b.By
	}
	if pieces := strings.Split(string(by), "/"); len(pieces) == 3 {
		return pieces[2]
	}
	return d.slug()
}

// usageOf turns a word that could not be taken into an answer about words.
func usageOf(err error) error {
	var fault *entry.Fault
	if errors.As(err, &fault) {
		return &Usage{Message: fault.Error(), Hint: fault.Hint}
	}
	return err
}
