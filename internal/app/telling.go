package app

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"unicode/utf8"

	"boltback/internal/canon"
	"boltback/internal/entry"
	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/steps"
)

// Telling is work that is told line by line. Every line is on disk, in the inbox, before the next is asked for; the whole
// is committed at once when it is done.
type Telling struct {
	desk    *Desk
	session *steps.Session
	// at is the file in the inbox, and saved the bytes that were last written to it; nil before the first line.
	at    string
	saved []byte
	// private refuses words that show a private value: every line is on disk at once.
	private func(what, said string) error
	// Resumed is how many lines an earlier run had saved, and Lost those of them that can no longer be taken.
	Resumed int
	Lost    []string
}

// tellingSlug ends the name of the file in which lines wait for being finished.
const tellingSlug = "steps"

// Telling begins a session, or goes on with the one that this person left unfinished.
func (d *Desk) Telling(ctx context.Context) (*Telling, error) {
	t := &Telling{desk: d, session: steps.New(d.bench())}
	for _, f := range d.s.Files() {
		if path.Dir(f.Path) == "inbox" && strings.HasSuffix(f.Path, "-"+d.slug()+"-"+tellingSlug+".json") {
			return t, t.resume(ctx, f.Path)
		}
	}
	t.at = d.free(fmt.Sprintf("inbox/%s-%s-%s", d.today, d.slug(), tellingSlug))
	return t, nil
}

// bench is what is known before the first step.
func (d *Desk) bench() steps.Bench {
	names := func(folder string) []record.Ref { return d.env.workshopNames(d.car.Yard, folder) }
	return steps.Bench{Context: d.context(), Stores: names("stores"), People: names("people"), Instruments: names("instruments"), Lies: d.lies, Workshop: d.habits.Workshop, By: d.person}
}

// lies lists what lies in a store, or in one place of it, by the records.
func (d *Desk) lies(store record.Ref, place string) []record.Ref {
	var parts []record.Ref
	for _, p := range replay.Of(d.s).Now().Parts() {
		if p.Where.Place == replay.InStore && p.Where.Store == store && (place == "" || p.Where.Shelf == place) {
			parts = append(parts, p.Ref)
		}
	}
	return parts
}

// resume takes up the lines of an earlier run. A session that had been committed when the run ended is not told twice.
func (t *Telling) resume(ctx context.Context, at string) error {
	text, err := fs.ReadFile(t.desk.env.Files.Folder(t.desk.car.Path), at)
	if err != nil {
		return fmt.Errorf("read %s: %w", at, err)
	}
	doc, err := canon.Parse(text, canon.DefaultLimits())
	if err != nil {
		return &Broken{Finding: faultIn(at, err)}
	}
	t.at, t.saved = at, text
	if done, err := t.committed(ctx, textAt(doc, "slug")); err != nil || done {
		return errors.Join(err, t.dropIf(done))
	}
	lines := strings.Split(strings.TrimSuffix(textAt(doc, "text"), "\n"), "\n")
	lines = slices.DeleteFunc(lines, func(l string) bool { return l == "" })
	t.session, t.Lost = t.session.Again(lines)
	t.Resumed = len(lines) - len(t.Lost)
	return nil
}

// committed says that the session of that name is in the last commit, once what a crash cut short has been carried to its end.
func (t *Telling) committed(ctx context.Context, work string) (bool, error) {
	if work == "" {
		return false, nil
	}
	if err := t.desk.repo.CarryOn(ctx); err != nil {
		return false, fmt.Errorf("%s: %w", t.desk.car.Name, err)
	}
	head, err := t.desk.repo.Head()
	if err != nil || head == "" {
		return false, err
	}
	files, err := t.desk.repo.Files(head)
	if err != nil {
		return false, err
	}
	_, err = fs.Stat(files, record.PathOf(record.Ref("work/"+work)))
	return err == nil, nil
}

func (t *Telling) dropIf(done bool) error {
	if !done {
		return nil
	}
	return t.Drop()
}

// Tell takes a line and has it on disk when it returns.
func (t *Telling) Tell(line string) (steps.Told, error) {
	if !utf8.ValidString(line) {
		return steps.Told{}, &Usage{Message: "the line is not in UTF-8", Hint: "set the terminal or the file to UTF-8"}
	}
	if t.private == nil {
		t.private = t.desk.keepsPrivate()
	}
	if err := t.private("the line", line); err != nil {
		return steps.Told{}, err
	}
	told, err := t.session.Tell(line)
	if err != nil {
		return told, usageOf(err)
	}
	return told, t.save("")
}

// Undo takes the last line back and says which it was; "" where there is none.
func (t *Telling) Undo() (string, error) {
	lines := t.session.Lines()
	if len(lines) == 0 {
		return "", nil
	}
	last := lines[len(lines)-1]
	t.session, _ = t.session.Again(lines[:len(lines)-1])
	return last, t.save("")
}

// Told lists what was told so far.
func (t *Telling) Told() []steps.Told { return t.session.Told() }

// Complete gives what a line may go on to.
func (t *Telling) Complete(line string) []string { return t.session.Complete(line) }

// save writes the lines durably. It refuses where another run has written since: two people at one session would lose lines.
func (t *Telling) save(work string) error {
	file := filepath.Join(t.desk.car.Path, filepath.FromSlash(t.at))
	now, err := fs.ReadFile(t.desk.env.Files.Folder(t.desk.car.Path), t.at)
	if err == nil && string(now) != string(t.saved) || err != nil && t.saved != nil {
		return &Usage{Message: t.at + " was changed by somebody else since the last line", Hint: "begin again: what stands there is taken up"}
	}
	text, err := canon.Marshal(kept{Slug: work, Text: strings.Join(t.session.Lines(), "\n"), Lacks: []string{"done"}})
	if err != nil {
		return fmt.Errorf("save the lines: %w", err)
	}
	if err := t.desk.env.Files.MakeFolder(filepath.Dir(file)); err != nil {
		return fmt.Errorf("save the lines: %w", err)
	}
	if _, err := t.desk.env.Files.Replace(file, text); err != nil {
		return fmt.Errorf("save the lines: %w", err)
	}
	t.saved = text
	return nil
}

// Drop takes the saved lines away and begins anew.
func (t *Telling) Drop() error {
	t.session = steps.New(t.desk.bench())
	if t.saved == nil {
		return nil
	}
	t.saved = nil
	if err := t.desk.env.Files.Remove(filepath.Join(t.desk.car.Path, filepath.FromSlash(t.at))); err != nil {
		return fmt.Errorf("take the saved lines away: %w", err)
	}
	return nil
}

// Done commits what was told: one session with the parts and joints it names first, and what is open as entries of the
// inbox, all in one commit. The car is read afresh, as much may have happened since the first line.
func (t *Telling) Done(ctx context.Context, message string) (Written, error) {
	lines := t.session.Lines()
	d, err := t.desk.env.Open(t.desk.car, t.desk.person, t.desk.today)
	if err != nil {
		return Written{}, err
	}
	if err := d.carryOnBook(ctx); err != nil {
		return Written{}, err
	}
	session, refused := steps.New(d.bench()).Again(lines)
	if len(refused) > 0 {
		return Written{}, &Usage{Message: fmt.Sprintf("the car was changed since, and this can no longer be taken: %s", refused[0]), Hint: "undo as far as that line, and tell it again"}
	}
	t.desk, t.session = d, session
	p, err := d.planSession(session.Result(), "")
	if err != nil {
		return Written{}, err
	}
	if len(p.changes) == 0 {
		return Written{}, &Usage{Message: "nothing was told yet", Hint: "off 0147 fuel tank, 4x M8, loft"}
	}
	if err := t.save(p.work); err != nil {
		return Written{}, err
	}
	if message == "" {
		message = p.message()
	}
	noted, err := d.storesIntoBook(ctx, p)
	if err != nil {
		return Written{}, err
	}
	w, err := d.save(ctx, p.changes, p.bodies, message)
	if err != nil {
		return w, err
	}
	w.Lacks, w.Notes = p.lacks, append(noted, w.Notes...)
	return w, t.Drop()
}

// plan is what is to be committed together.
type plan struct {
	changes []Change
	bodies  []record.Body
	// work is the name of the session without its folder, "" where there is none; lacks is what is open.
	work  string
	lacks []string
	lines int
}

func (p *plan) message() string {
	if p.work == "" {
		return fmt.Sprintf("save %d open steps to the inbox", len(p.lacks))
	}
	return fmt.Sprintf("record session %s: %d lines, %d new records", p.work, p.lines, max(0, len(p.bodies)-1))
}

// planSession turns what was told into files. Slug names the session where it has no name of its own.
func (d *Desk) planSession(r steps.Result, slug string) (*plan, error) {
	p := &plan{}
	for _, n := range r.New {
		if err := p.add(record.PathOf(n.ID), n.Body); err != nil {
			return nil, err
		}
	}
	if r.Work != nil {
		d.fill(r.Work)
		at := d.sessionPath(r.Work, slug)
		p.work, p.lines = strings.TrimSuffix(path.Base(at), ".json"), len(r.Work.Lines)
		if err := p.add(at, r.Work); err != nil {
			return nil, err
		}
	}
	for i, open := range r.Open {
		at := d.free(fmt.Sprintf("inbox/%s-%s-open-%d", d.today, d.slug(), i+1))
		text, err := canon.Marshal(kept{Text: open.Line, Lacks: []string{open.Open}})
		if err != nil {
			return nil, fmt.Errorf("save to the inbox: %w", err)
		}
		p.changes, p.lacks = append(p.changes, Change{Path: at, Content: text}), append(p.lacks, open.Line+": "+open.Open)
	}
	return p, nil
}

// add encodes a record and holds it against what a record may be.
func (p *plan) add(at string, body record.Body) error {
	text, err := record.Encode(body)
	if err != nil {
		return fmt.Errorf("write %s: %w", at, err)
	}
	if _, err := record.Decode(at, text); err != nil {
		return &Broken{Finding: faultIn(at, err)}
	}
	p.changes, p.bodies = append(p.changes, Change{Path: at, Content: text}), append(p.bodies, body)
	return nil
}

// sessionPath gives a path for a session that no other has.
func (d *Desk) sessionPath(work *record.Session, slug string) string {
	if slug == "" {
		slug = "bench"
	}
	if own := entry.Slug(work.Name); own != "" {
		slug = own
	}
	return d.free("work/" + dayIn(work) + "-" + d.whoDid(work) + "-" + slug)
}
