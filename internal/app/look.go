package app

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"runtime"
	"sync"
	"time"

	"boltback/internal/canon"
	"boltback/internal/code"
	"boltback/internal/ledger"
	"boltback/internal/media"
	"boltback/internal/record"
	"boltback/internal/roll"
)

// Roll is what was seen in a folder or ZIP file of pictures.
type Roll struct {
	// Pictures are in the order of their names; what is beside each stands in Seen at the same place.
	Pictures []roll.Picture
	Seen     []Seen
	// Skipped are files that are no pictures, or cannot be read.
	Skipped []Skipped
	// Repeated is how many files were there twice.
	Repeated int
	// Shown are the moments that clocks in pictures of the ledger showed, by the names of the pictures.
	Shown map[string]time.Time
	files []incoming
	// close lets go of the folder or ZIP file.
	close func() error
}

// Close lets go of the folder or ZIP file.
func (r *Roll) Close() error { return r.close() }

// New is how many of the pictures are not in the ledger yet.
func (r *Roll) New() (n int) {
	for _, s := range r.Seen {
		if s.Paper == "" {
			n++
		}
	}
	return n
}

// Seen is what is kept of one picture after looking at it.
type Seen struct {
	Digest record.Digest
	Bytes  int64
	// Paper is the paper that the picture is already, "" for a new one; CopyOf one of the ledger that it is a copy of.
	Paper, CopyOf record.Ref
	// Blind says why its pixels could not be looked at, "" where they were.
	Blind string

	preview  []byte
	likeness media.Likeness
}

// CarryOn has a commit that a crash cut short carried to its end, before a desk is opened: its files would look like pictures
// that are here already, or that are not.
func (e Env) CarryOn(ctx context.Context, car Car) error {
	repo, err := e.repository(car)
	if err == nil {
		err = repo.CarryOn(ctx)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", car.Name, err)
	}
	return nil
}

// LookAt looks at all pictures of a folder or ZIP file, several at a time. Nothing is written.
func (d *Desk) LookAt(ctx context.Context, name string) (*Roll, error) {
	b, err := d.env.batchAt(name)
	if err != nil {
		return nil, err
	}
	looks := make([]look, len(b.files))
	if err := side(ctx, len(b.files), func(i int) { looks[i] = lookInto(ctx, b.files[i]) }); err != nil {
		return nil, errors.Join(err, b.close())
	}
	r := &Roll{Skipped: b.skipped, Shown: map[string]time.Time{}, close: b.close}
	known := d.papersByDigest()
	here := map[record.Digest]bool{}
	for i, l := range looks {
		switch {
		case l.skipped != "":
			r.Skipped = append(r.Skipped, Skipped{b.files[i].name, l.skipped})
		case here[l.seen.Digest]:
			r.Repeated++
		default:
			here[l.seen.Digest] = true
			d.known(r, &l, known)
			r.Pictures, r.Seen, r.files = append(r.Pictures, l.picture), append(r.Seen, l.seen), append(r.files, b.files[i])
		}
	}
	if len(r.Pictures) > mostPictures {
		return nil, errors.Join(&Usage{Message: fmt.Sprintf("there are %d pictures, and %d at most are taken at once", len(r.Pictures), mostPictures), Hint: "name the folder of one day's pictures"}, b.close())
	}
	d.copiesAmong(r)
	return r, nil
}

// side does n things, as many at a time as there are processors.
func side(ctx context.Context, n int, do func(int)) error {
	next := make(chan int)
	var workers sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), max(n, 1)) {
		workers.Go(func() {
			for i := range next {
				do(i)
			}
		})
	}
	var err error
	for i := 0; i < n && err == nil; i++ {
		select {
		case next <- i:
		case <-ctx.Done():
			err = ctx.Err()
		}
	}
	close(next)
	workers.Wait()
	return errors.Join(err, ctx.Err())
}

// look is what looking at one file gave.
type look struct {
	picture roll.Picture
	seen    Seen
	skipped string
}

// lookInto reads one picture: what its file says, the codes in it, and the small picture that travels with the ledger.
func lookInto(ctx context.Context, f incoming) look {
	file, err := f.content()
	if err != nil {
		return look{skipped: err.Error()}
	}
	facts, fault := media.Inspect(file)
	l := look{picture: roll.Picture{Name: f.name, Facts: facts, CopyOf: -1}}
	l.seen = Seen{Digest: record.Digest(canon.Digest(file)), Bytes: int64(len(file))}
	if fault != nil {
		l.seen.Blind = fault.Error()
	}
	pixels, err := media.Pixels(file, facts)
	if err != nil {
		l.seen.Blind = cmp.Or(l.seen.Blind, err.Error())
		return l
	}
	small := media.Small(pixels, facts.Turn)
	l.seen.likeness = media.LikenessOf(small)
	if l.seen.preview, err = media.Preview(small); err != nil {
		l.seen.Blind = err.Error()
	}
	sight, err := code.Look(ctx, pixels)
	if err != nil {
		l.seen.Blind = err.Error()
	}
	l.picture.Unread = sight.Unread
	for _, found := range sight.Found {
		if payload, err := code.ParsePayload(found.Text); err == nil {
			l.picture.Codes = append(l.picture.Codes, payload)
		} else if !errors.Is(err, code.ErrNotOurs) {
			l.picture.Unread = true // ours, and it does not add up
		}
	}
	return l
}

// papersByDigest finds the papers of the car by what their originals are.
func (d *Desk) papersByDigest() map[record.Digest]ledger.Entry[record.Paper] {
	all := map[record.Digest]ledger.Entry[record.Paper]{}
	for _, p := range ledger.All[record.Paper](d.s) {
		if p.Body.Original != nil {
			all[p.Body.Original.Digest] = p
		}
	}
	return all
}

// known notes that a picture is in the ledger already, and what the clock in it showed.
func (d *Desk) known(r *Roll, l *look, papers map[record.Digest]ledger.Entry[record.Paper]) {
	p, here := papers[l.seen.Digest]
	if !here {
		return
	}
	l.seen.Paper = p.ID
	if was, err := time.Parse(time.RFC3339, string(p.Body.Claimed)); err == nil {
		r.Shown[l.picture.Name] = was
	}
}

// copiesAmong finds pictures without a word of a camera that look like a fuller one: in the roll, or in the ledger.
func (d *Desk) copiesAmong(r *Roll) {
	var previews map[record.Ref]media.Likeness
	for i := range r.Seen {
		s := &r.Seen[i]
		if r.Pictures[i].Facts.HasCamera() || s.Paper != "" {
			continue
		}
		for j, o := range r.Seen {
			if r.Pictures[j].Facts.HasCamera() && s.likeness.Like(o.likeness) {
				r.Pictures[i].CopyOf = j
				break
			}
		}
		if r.Pictures[i].CopyOf >= 0 {
			continue
		}
		if previews == nil {
			previews = d.likenesses()
		}
		for _, p := range ledger.All[record.Paper](d.s) {
			if of, here := previews[p.ID]; here && s.likeness.Like(of) {
				s.CopyOf = p.ID
				break
			}
		}
	}
}

// likenesses are the looks of the photos that the ledger has previews of.
func (d *Desk) likenesses() map[record.Ref]media.Likeness {
	all := map[record.Ref]media.Likeness{}
	for _, p := range ledger.All[record.Paper](d.s) {
		if p.Body.Preview == nil || p.Body.CopyOf != "" {
			continue
		}
		file, ok := preview(d.s, p.Body.Preview.Digest)
		if !ok {
			continue
		}
		facts, err := media.Inspect(file)
		if err != nil {
			continue
		}
		if pixels, err := media.Pixels(file, facts); err == nil {
			all[p.ID] = media.LikenessOf(media.Small(pixels, facts.Turn))
		}
	}
	return all
}
