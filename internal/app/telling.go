package app

import (
	"context"
	"fmt"
	"path"
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
	*waiting
	session *steps.Session
	// Resumed is how many lines an earlier run had saved, and Lost those of them that can no longer be taken.
	Resumed int
	Lost    []string
	// private refuses words that show a private value: every line is on disk at once.
	private func(what, said string) error
}

// tellingSlug ends the name of the file in which lines wait for being finished.
const tellingSlug = "steps"

// Telling begins a session, or goes on with the one that this person left unfinished.
func (d *Desk) Telling(ctx context.Context) (*Telling, error) {
	w, doc, err := d.waitingFor(tellingSlug)
	if err != nil {
		return nil, err
	}
	t := &Telling{waiting: w, session: steps.New(d.bench())}
	if doc == nil {
		return t, nil
	}
	return t, t.resume(ctx, doc)
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
func (t *Telling) resume(ctx context.Context, doc *canon.Document) error {
	done, err := t.written(ctx, textAt(doc, "slug"))
	if err != nil {
		return err
	}
	if done {
		return t.Drop(ctx)
	}
	lines := linesIn(doc)
	t.session, t.Lost = t.session.Again(lines)
	t.Resumed = len(lines) - len(t.Lost)
	return nil
}

// written says that the session of that name is in the last commit, once what a crash cut short has been carried to its end.
func (t *Telling) written(ctx context.Context, work string) (bool, error) {
	if work == "" {
		return false, nil
	}
	if err := t.desk.repo.CarryOn(ctx); err != nil {
		return false, fmt.Errorf("%s: %w", t.desk.car.Name, err)
	}
	return t.desk.committed(record.PathOf(record.Ref("work/" + work)))
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
	return told, t.keep("")
}

// Undo takes the last line back and says which it was; "" where there is none.
func (t *Telling) Undo() (string, error) {
	lines := t.session.Lines()
	if len(lines) == 0 {
		return "", nil
	}
	last := lines[len(lines)-1]
	t.session, _ = t.session.Again(lines[:len(lines)-1])
	return last, t.keep("")
}

// Told lists what was told so far.
func (t *Telling) Told() []steps.Told { return t.session.Told() }

// Complete gives what a line may go on to.
func (t *Telling) Complete(line string) []string { return t.session.Complete(line) }

func (t *Telling) keep(work string) error { return t.save(work, t.session.Lines()) }

// Drop takes the saved lines away and begins anew.
func (t *Telling) Drop(ctx context.Context) error {
	t.session = steps.New(t.desk.bench())
	return t.drop(ctx)
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
	if err := t.keep(p.work); err != nil {
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
	return w, t.Drop(ctx)
}

// plan is what is to be committed together.
type plan struct {
	changes []Change
	bodies  []record.Body
	// work is the name of the session without its folder, "" where there is none; lacks is what is open.
	work  string
	lacks []string
	lines int
	// sameNamed counts the sessions and readings of one table that would have one path.
	sameNamed map[string]int
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
