package gitstore

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
)

// ForkedError says that two copies of a history each have commits of their own.
type ForkedError struct {
	Base         Hash // the newest commit that both have; zero if there is none
	Ours, Theirs int  // how many commits each has that the other has not
}

// Error names the commit at which they part.
func (e *ForkedError) Error() string {
	if e.Base.IsZero() {
		return "the two histories have no commit in common"
	}
	return fmt.Sprintf("the two histories part after commit %s: %d commits are here alone, %d there alone", e.Base, e.Ours, e.Theirs)
}

// Advance takes over what another copy of this history has more: its objects, its branches and tags, and last, all at once,
// the files and the branch that HEAD is on. It reports whether HEAD moved. Where this copy has commits that the other lacks
// nothing is touched; if the other has more too, the error is a *ForkedError. A branch or tag that stands for something else
// here is refused. What a crash leaves is the old state, with objects and names that are taken up the next time, or the new.
func (r *Repo) Advance(ctx context.Context, from *Repo) (moved bool, err error) {
	if r.Traits.Foreign {
		return false, ErrForeignOwner
	}
	if err := errors.Join(r.mendLeftovers(), r.CarryOn(ctx)); err != nil {
		return false, err
	}
	refs, err := from.Refs()
	if err != nil {
		return false, err
	}
	ours, err := r.head()
	if err != nil || len(refs) == 0 {
		return false, err
	}
	ahead, err := r.ahead(from, ours.id, refs[0].ID)
	if err != nil {
		return false, err
	}
	names, err := r.newNames(refs[1:], ours.ref)
	if err != nil || !ahead && len(names) == 0 {
		return false, err
	}
	paths := r.commitLocks(ours.ref)
	for _, ref := range names {
		paths = append(paths, r.refPath(ref.Name)+".lock")
	}
	l, err := r.lock(ctx, paths...)
	if err != nil {
		return false, err
	}
	// A lock that cannot be removed is removed by the next run.
	defer func() { _ = l.release() }()
	if err := r.takeFrom(ctx, from, refs); err != nil {
		return false, err
	}
	for _, ref := range names {
		if err := r.nameTag(ref.Name, ref.ID); err != nil {
			return false, err
		}
	}
	if !ahead {
		return false, nil
	}
	err = r.moveTo(begun{ours.ref, ours.id, refs[0].ID})
	return err == nil, err
}

// ahead reports whether the other copy's history goes on from ours.
func (r *Repo) ahead(from *Repo, ours, theirs Hash) (bool, error) {
	mine, err := r.ancestors(ours)
	if err != nil {
		return false, err
	}
	if mine[theirs] {
		return false, nil
	}
	others, err := from.ancestors(theirs)
	if err != nil || others[ours] {
		return err == nil, err
	}
	e := &ForkedError{Theirs: len(others)}
	for c, err := range r.Log(ours, LogOptions{}) {
		if err != nil {
			return false, err
		}
		if !others[c.ID] {
			e.Ours++
			continue
		}
		if e.Theirs--; e.Base.IsZero() {
			e.Base = c.ID
		}
	}
	return false, e
}

// ancestors are the commits that one leads to, itself included.
func (r *Repo) ancestors(of Hash) (map[Hash]bool, error) {
	all := map[Hash]bool{}
	for c, err := range r.Log(of, LogOptions{}) {
		if err != nil {
			return nil, err
		}
		all[c.ID] = true
	}
	return all, nil
}

// newNames are the branches and tags that are not here yet. The branch that HEAD is on moves by itself.
func (r *Repo) newNames(theirs []Ref, current string) ([]Ref, error) {
	var names []Ref
	for _, ref := range theirs {
		_, id, err := r.resolve(ref.Name)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			names = append(names, ref)
		case err != nil:
			return nil, err
		case id != ref.ID && ref.Name != current:
			return nil, fmt.Errorf("%s stands for %s here and for %s in the other copy; remove or rename one of them", ref.Name, id, ref.ID)
		}
	}
	return names, nil
}

// takeFrom stores the objects that the other copy's references lead to and that are not here, as one pack.
func (r *Repo) takeFrom(ctx context.Context, from *Repo, refs []Ref) error {
	all, err := from.search(ctx, refs, nil)
	if err != nil {
		return err
	}
	var missing []listed
	for _, o := range all {
		if !r.objects.has(o.id) {
			missing = append(missing, o)
		}
	}
	if len(missing) == 0 {
		return nil
	}
	in, out := io.Pipe()
	go func() { out.CloseWithError(from.writePack(ctx, out, missing)) }()
	_, err = r.takePack(bufio.NewReaderSize(in, 1<<16))
	return errors.Join(err, in.Close()) // which ends the writer, if it is not done
}

// moveTo brings files, index and branch from one commit to a later one whose objects are stored, with all locks held.
func (r *Repo) moveTo(b begun) error {
	if now, err := r.head(); err != nil || now.ref != b.ref || now.id != b.parent {
		return errors.Join(err, &ConflictError{Paths: []string{b.ref}, Reason: "moved by another commit meanwhile; try once more"})
	}
	p, edits, req, err := r.replan(b)
	if err != nil {
		return err
	}
	if err := r.note(b); err != nil {
		return err
	}
	if err := r.publish(b.ref, p, edits, req); err != nil {
		return errors.Join(err, r.forgetNote())
	}
	_ = r.forgetNote() // one that stays says what is true by now, and goes with the next commit
	return nil
}
