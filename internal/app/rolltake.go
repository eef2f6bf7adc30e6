package app

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/code"
	"boltback/internal/entry"
	"boltback/internal/ledger"
	"boltback/internal/media"
	"boltback/internal/record"
	"boltback/internal/roll"
)

// taking is a roll on its way into the ledger.
type taking struct {
	d    *Desk
	r    *Roll
	plan Plan
	// ids are the papers that the pictures are or become, place by place; "" for those that are not taken.
	ids    []record.Ref
	shows  map[int]record.Ref
	bodies []record.Body
	saved  []Change
}

// TakeRoll makes one session of a plan, with its parts, papers and previews in one commit, after the pictures themselves lie
// safely among the originals. What is in the ledger already is not taken again.
func (d *Desk) TakeRoll(ctx context.Context, r *Roll, plan Plan, o RollOrder) (Written, error) {
	t := &taking{d: d, r: r, plan: plan, ids: make([]record.Ref, len(r.Pictures)), shows: map[int]record.Ref{}}
	t.name()
	session, err := t.session(o)
	if err != nil {
		return Written{}, err
	}
	if err := t.papers(ctx); err != nil {
		return Written{}, err
	}
	if err := t.parts(); err != nil {
		return Written{}, err
	}
	message := "take in pictures"
	if session != nil {
		at, err := d.place(session, d.freeSlug(session, t.job()))
		if err != nil {
			return Written{}, err
		}
		if err := t.add(at, session); err != nil {
			return Written{}, err
		}
		message = fmt.Sprintf("%s from pictures: %d lines", t.job(), len(session.Lines))
	}
	if len(t.saved) == 0 {
		return Written{}, nil
	}
	return d.save(ctx, t.saved, t.bodies, message)
}

func (t *taking) job() string {
	if t.plan.Job != "" {
		return t.plan.Job
	}
	return map[string]string{"removal": "strip-down", "fitting": "fitting", "sighting": "seen"}[t.plan.Act]
}

// add encodes a record, reads it back as anyone will, and puts it among the changes.
func (t *taking) add(at string, body record.Body) error {
	text, err := record.Encode(body)
	if err != nil {
		return fmt.Errorf("write %s: %w", at, err)
	}
	if _, err := record.Decode(at, text); err != nil {
		return &Broken{Finding: faultIn(at, err)}
	}
	t.saved = append(t.saved, Change{Path: at, Content: text})
	t.bodies = append(t.bodies, body)
	return nil
}

// name gives each picture that is taken its paper: day, tag, and the beginning of its digest, so that two benches never give
// one name to two pictures.
func (t *taking) name() {
	const short = 8
	name := func(i int, of string) {
		if t.ids[i] = t.r.Seen[i].Paper; t.ids[i] == "" {
			t.ids[i] = record.Ref(fmt.Sprintf("papers/%s-%s-%s", t.dayOf(i), strings.ToLower(of), t.r.Seen[i].Digest[:short]))
		}
	}
	for n, l := range t.plan.Lines {
		if t.plan.Rows[n].Out {
			continue
		}
		for _, i := range l.Pictures {
			t.shows[i] = t.plan.Rows[n].Part
			name(i, string(l.Tag))
		}
	}
	for _, l := range t.plan.Loose {
		switch {
		case l.Cause == roll.OfClock:
			name(l.Picture, "clock")
		case l.Cause.Settled():
			name(l.Picture, "bench")
		}
	}
}

func (t *taking) dayOf(i int) string {
	if at := t.plan.Moments[i].Time; !at.IsZero() {
		return at.Format("2006-01-02")
	}
	return t.d.today.String()
}

// session makes the session of the lines that are new; nil where there are none.
func (t *taking) session(o RollOrder) (*record.Session, error) {
	d := t.d
	session := record.New(record.KindSession).(*record.Session)
	session.By, session.Basis = d.person, "from photo"
	session.Started, session.Ended = t.stamp(t.plan.First), t.stamp(t.plan.Last)
	for n, l := range t.plan.Lines {
		row := t.plan.Rows[n]
		if row.Out || row.Done != "" {
			continue
		}
		line := record.Line{Act: t.plan.Act, Parts: []record.Ref{row.Part}, Tag: labelOf(l), Bag: joined(l.Bags), Papers: t.papersOf(l.Pictures)}
		if l.Suffix != "" {
			line.Note = fmt.Sprintf("two parts bear the tag %s; they are told apart as a and b, and nothing was renumbered", l.Tag)
		}
		session.Lines = append(session.Lines, line)
	}
	if len(session.Lines) == 0 {
		return nil, nil
	}
	for _, l := range t.plan.Loose {
		if l.Cause.Settled() && t.r.Pictures[l.Picture].CopyOf < 0 && t.r.Seen[l.Picture].CopyOf == "" {
			session.Papers = append(session.Papers, t.ids[l.Picture])
		}
	}
	if o.Store != "" {
		for n := range session.Lines {
			if _, err := d.context().Apply(session, []string{fmt.Sprintf("lines.%d.store=%s", n, o.Store)}); err != nil {
				return nil, usageOf(err)
			}
		}
	}
	if lacks := entry.Lacks(session); len(lacks) > 0 {
		return nil, fmt.Errorf("the session lacks %s", strings.Join(lacks, ", "))
	}
	d.fill(session)
	return session, nil
}

// papersOf are the papers of a line's pictures.
func (t *taking) papersOf(pictures []int) []record.Ref {
	var refs []record.Ref
	for _, i := range pictures {
		refs = append(refs, t.ids[i])
	}
	return refs
}

func joined(tags []code.Tag) string {
	words := make([]string, len(tags))
	for i, tag := range tags {
		words[i] = string(tag)
	}
	return strings.Join(words, ", ")
}

// stamp is the moment of a picture as a session states it: proven, with the zone; else as the camera's clock showed it, or
// only its day where several clocks disagree.
func (t *taking) stamp(i int) record.Date {
	if i < 0 {
		return ""
	}
	w := t.plan.Moments[i]
	switch {
	case w.Proven():
		return record.Date(w.Time.In(t.d.env.Zone).Format("2006-01-02T15:04:05Z07:00"))
	case len(t.plan.Unproven) > 0 || t.r.cameras() > 1:
		return record.Date(w.Time.Format("2006-01-02"))
	}
	return record.Date(t.r.Pictures[i].Facts.Taken.String())
}

// cameras counts the cameras of a roll.
func (r *Roll) cameras() int {
	names := map[string]bool{}
	for _, p := range r.Pictures {
		if !p.Facts.Taken.IsZero() {
			names[p.Facts.Camera] = true
		}
	}
	return len(names)
}

// papers keeps the originals of new pictures and describes them.
func (t *taking) papers(ctx context.Context) error {
	previews := map[record.Digest]bool{}
	for i := range t.r.Pictures {
		if err := ctx.Err(); err != nil {
			return err
		}
		if t.ids[i] == "" || t.r.Seen[i].Paper != "" {
			continue
		}
		paper := t.paper(i)
		if err := t.keep(i, paper); err != nil {
			return fmt.Errorf("%s: %w", t.r.Pictures[i].Name, err)
		}
		if err := t.add(string(t.ids[i])+".json", paper); err != nil {
			return err
		}
		if paper.Preview != nil && !previews[paper.Preview.Digest] { // two files may show the very same
			previews[paper.Preview.Digest] = true
			t.saved = append(t.saved, Change{Path: previewPath(paper.Preview), Content: t.r.Seen[i].preview})
		}
	}
	return nil
}

var errChanged = errors.New("the file is not the one that was looked at; run it again")

// keep reads a picture once more, and keeps it where it is still the one that was looked at.
func (t *taking) keep(i int, paper *record.Paper) error {
	file, err := t.r.files[i].content()
	if err != nil {
		return err
	}
	if canon.Digest(file) != string(paper.Original.Digest) {
		return errChanged
	}
	return t.d.keepOriginal(&original{string(paper.Original.Digest) + record.ExtensionOf(paper.Original.Type), file})
}

// paper describes one picture: its dates apart, the clock that sets it right, and what it shows.
func (t *taking) paper(i int) *record.Paper {
	p, seen := t.r.Pictures[i], t.r.Seen[i]
	paper := record.New(record.KindPaper).(*record.Paper)
	paper.Class = "photo"
	paper.Original = &record.Content{Digest: seen.Digest, Bytes: seen.Bytes, Type: string(p.Facts.Type)}
	if seen.preview != nil {
		paper.Preview = contentOf(seen.preview, string(media.JPEG))
	}
	t.d.describe(paper, p.Facts)
	if part := t.shows[i]; part != "" {
		paper.Shows = []record.Ref{part}
	}
	w := t.plan.Moments[i]
	switch {
	case w.Proof == i:
		paper.Name, paper.Clock = "Bench clock", t.ids[i] // it sets itself right
		paper.Claimed = record.Date(w.Time.Format("2006-01-02T15:04:05Z07:00"))
	case w.Proven():
		paper.Clock = t.ids[w.Proof]
	}
	t.copied(i, paper)
	return paper
}

// copied says of which picture another is a copy: it shows what that shows.
func (t *taking) copied(i int, paper *record.Paper) {
	if of := t.r.Pictures[i].CopyOf; of >= 0 {
		paper.CopyOf = t.ids[of]
		if part := t.shows[of]; part != "" {
			paper.Shows = []record.Ref{part}
		}
		return
	}
	paper.CopyOf = t.r.Seen[i].CopyOf
	if of, ok := ledger.Get[record.Paper](t.d.s, paper.CopyOf); ok {
		paper.Shows = of.Body.Shows
	}
}

// parts records the parts that only their tags tell of.
func (t *taking) parts() error {
	for n, l := range t.plan.Lines {
		row := t.plan.Rows[n]
		if row.Out || row.Done != "" || !row.New {
			continue
		}
		part := record.New(record.KindPart).(*record.Part)
		part.Name, part.Tag = row.Called, labelOf(l)
		if t.plan.Act == "removal" {
			part.Found = "inferred"
		}
		if err := t.add(string(row.Part)+".json", part); err != nil {
			return err
		}
	}
	return nil
}

// freeSlug gives the slug for which the session's file is not there yet: the job, or the job with the next number.
func (d *Desk) freeSlug(session *record.Session, job string) string {
	slug := job
	for n := 2; ; n++ {
		at := fmt.Sprintf("work/%s-%s-%s.json", dayIn(session), d.whoDid(session), slug)
		if _, taken := d.s.HasFile(at); !taken {
			return slug
		}
		slug = fmt.Sprintf("%s-%d", job, n)
	}
}
