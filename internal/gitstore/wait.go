package gitstore

import (
	"context"
	"fmt"
	"os"
	"time"
)

// The pauses between two attempts at a lock grow from the one to the other.
const (
	firstPause = 2 * time.Millisecond
	lastPause  = 50 * time.Millisecond
)

// wait is one waiting for a lock. As long as the lock changes hands there is
// progress, and we stay.
type wait struct {
	repo  *Repo
	ctx   context.Context
	seen  string
	since time.Time
	next  time.Duration
}

// pause sleeps until the next attempt. seen identifies the lock that stands
// now; when it has been the same for longer than our patience, the error is
// that of giveUp.
func (w *wait) pause(seen string, giveUp func() error) error {
	now := w.repo.opt.Now()
	if seen != w.seen || w.since.IsZero() {
		w.seen, w.since = seen, now
		w.next = firstPause
	}
	if now.Sub(w.since) >= w.repo.opt.Patience {
		return giveUp()
	}
	d := w.next
	w.next = min(2*w.next, lastPause)
	return w.repo.opt.Sleep(w.ctx, d)
}

func (w *wait) stood() time.Duration { return w.repo.opt.Now().Sub(w.since) }

// identity tells one lock file from the next at the same path.
func identity(path string) string {
	info, err := os.Lstat(path)
	if err != nil {
		return ""
	}
	s := statOf(info)
	return fmt.Sprint(s.dev, s.ino, s.mtime, s.ctime)
}
