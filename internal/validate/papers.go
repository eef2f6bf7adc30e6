package validate

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"boltback/internal/ledger"
	"boltback/internal/media"
	"boltback/internal/record"
)

// papers holds photos and documents against each other: one file is one paper, a photo's claimed day is the one its camera
// wrote, a private paper shows nothing, and the latest drawing is the one that parts refer to.
func (c *checker) papers() {
	byFile := map[record.Digest][]ledger.Entry[record.Paper]{}
	replaced := map[record.Ref][]ledger.Entry[record.Paper]{}
	for _, p := range ledger.All[record.Paper](c.s) {
		if p.Body.Original != nil && p.Body.Original.Digest != "" {
			byFile[p.Body.Original.Digest] = append(byFile[p.Body.Original.Digest], p)
		}
		if p.Body.Replaces != "" {
			replaced[p.Body.Replaces] = append(replaced[p.Body.Replaces], p)
		}
		c.taken(p)
		c.shown(p)
		c.copied(p)
	}
	for _, same := range byFile {
		for _, p := range same[1:] {
			c.report(p.Record, "/original/digest", "paper-twice", fmt.Sprintf("%s is the very same file", same[0].ID), "one file is one paper and one proof; withdraw one of the two")
		}
	}
	for old, by := range replaced {
		c.replaced(old, by)
	}
}

// taken holds what is claimed of a photo's day against what its camera wrote, set right where a photo of a clock allows it.
func (c *checker) taken(p ledger.Entry[record.Paper]) {
	at := c.s.TakenOf(p.Body)
	if at.Doubt != "" {
		c.report(p.Record, "/clock", "photo-clock", fmt.Sprintf("%s does not set this photo's time right: %s", p.Body.Clock, at.Doubt), "the same camera, within a day, and claimed saying what the clock showed")
	}
	if p.Body.Class != "photo" || p.Body.Claimed == "" || at.Date.IsZero() {
		return
	}
	claimed := dateOf(p.Body.Claimed)
	from, ok1 := claimed.First()
	to, ok2 := claimed.Last()
	day, ok3 := at.Date.Day()
	if !ok1 || !ok2 || !ok3 || day.Compare(from) >= 0 && day.Compare(to) <= 0 {
		return
	}
	message, hint := "and the camera wrote", "a photo of a clock taken with the same camera on that day would settle it; until then the photo supports nothing about before and after"
	if at.Proof != "" {
		message, hint = "and by the clock it was taken", fmt.Sprintf("%s shows how far the camera's clock was off, so the claim is wrong", at.Proof)
	}
	c.report(p.Record, "/claimed", "photo-date", fmt.Sprintf("%s is claimed, %s %s", claimed, message, at.Date), hint)
}

// private are the classes of paper that show names, addresses and prices.
var private = []string{"title", "invoice", "licence", "letter"}

// shown refuses a preview of a private paper, and in a deep check one that says more than its pixels do.
func (c *checker) shown(p ledger.Entry[record.Paper]) {
	switch {
	case p.Body.Preview == nil:
	case slices.Contains(private, p.Body.Class):
		c.report(p.Record, "/preview", "private-preview", fmt.Sprintf("a paper of class %s has a preview in the ledger", p.Body.Class), "take the preview out; its history keeps it, so do it before anybody has a copy")
	case c.options.Deep && !c.bare(previewPath(p.Body.Preview)):
		c.report(p.Record, "/preview/digest", "preview-speaks", "the preview holds more than its pixels, such as what a camera wrote", "record the photo with --file, which makes a bare one")
	}
}

// bare says that a preview holds its pixels alone, or is not here.
func (c *checker) bare(at string) bool {
	file, err := c.s.Open(at)
	if err != nil {
		return true // that it is not here is said elsewhere
	}
	defer file.Close()
	content, err := io.ReadAll(io.LimitReader(file, media.MaxBytes))
	return err == nil && media.Bare(content)
}

// copied asks for the original of a photo that came through a messaging program.
func (c *checker) copied(p ledger.Entry[record.Paper]) {
	if p.Body.Class == "photo" && p.Body.Way == "messaging" && p.Body.CopyOf == "" && p.Body.Embedded == "" {
		c.report(p.Record, "/way", "photo-copy", "it came through a messaging program and tells nothing of when it was taken, so it counts from the day it came in", "ask for the original")
	}
}

// replaced looks at a drawing that others replace: by one, with a revision, and nothing that is made today still refers to it.
func (c *checker) replaced(old record.Ref, by []ledger.Entry[record.Paper]) {
	for _, p := range by {
		if p.Body.Revision == "" {
			c.report(p.Record, "/replaces", "revision", "it replaces a drawing and does not say of which revision it is", "add revision")
		}
	}
	if len(by) > 1 {
		for _, p := range by {
			c.report(p.Record, "/replaces", "revision", fmt.Sprintf("%d drawings replace %s, so nobody knows which is the latest", len(by), old), "let each replace the one before it")
		}
		return
	}
	for _, use := range c.s.Uses(old) {
		if kind := use.From.Kind; kind != record.KindPart && kind != record.KindJoint && kind != record.KindSystem || c.superseded(use.From) {
			continue
		}
		c.report(use.From, use.Pointer, "drawing-replaced", fmt.Sprintf("%s%s has been replaced by %s%s", old, revisionOf(c.s, old), by[0].ID, revisionWord(by[0].Body.Revision)),
			"refer to the new one where the part was made to it; else say in note that it was made to the old one")
	}
}

// superseded says that a record does not count any more.
func (c *checker) superseded(r *record.Record) bool {
	standing, _ := c.s.StandingOf(r)
	return standing != ledger.Stands && standing != ledger.Disputed
}

func revisionOf(s *ledger.Snapshot, id record.Ref) string {
	if p, ok := ledger.Get[record.Paper](s, id); ok {
		return revisionWord(p.Body.Revision)
	}
	return ""
}

func revisionWord(revision string) string {
	if strings.TrimSpace(revision) == "" {
		return ""
	}
	return " (revision " + revision + ")"
}
