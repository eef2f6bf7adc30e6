package dossier_test

import (
	"io/fs"
	"strings"
	"testing"

	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/replay"
	"boltback/internal/requirement"
	"boltback/records"
)

// papersFor makes the papers of a car of the sample.
func papersFor(t *testing.T, car, name string) *doc.Document {
	t.Helper()
	fsys, err := fs.Sub(records.Sample(), "cars/"+car)
	if err != nil {
		t.Fatal(err)
	}
	s, err := ledger.Load(fsys)
	if err != nil {
		t.Fatal(err)
	}
	day := edtf.NewDay(2026, 6, 20)
	set, err := requirement.NewLibrary(records.Requirements(), s, day).Load(name)
	if err != nil {
		t.Fatal(err)
	}
	work := replay.Of(s)
	return dossier.Paperwork(dossier.Input{Snapshot: s, Work: work, Day: day}, requirement.Assess(set, requirement.Of(work, day)))
}

func TestPapersHoldWhatTheRecordsCarryAndBlanksForTheRest(t *testing.T) {
	d := papersFor(t, "tern-1500", "us-virginia")
	if err := doc.Check(d); err != nil {
		t.Fatal(err)
	}
	var words strings.Builder
	for _, s := range d.Sections {
		words.WriteString(wordsOf(t, s))
	}
	for _, want := range []string{"it is not part of these papers", "BW35-004417", "Invoice for motor, inverter and small units", "moves under own power: in order", "*TK 40317 R*",
		"Inspector, for: Engine removed", "Signature ____", "declares nothing", "A1", "the car was not examined"} {
		if !strings.Contains(words.String(), want) {
			t.Errorf("%q is not in the papers", want)
		}
	}
	for _, mark := range []string{"SM12-771204"} {
		if strings.Count(words.String(), mark) != 1 {
			t.Errorf("%s stands %d times", mark, strings.Count(words.String(), mark))
		}
	}
}

func TestPapersStandInTheAuthoritysOrderAndNameTheSetOnEveryPage(t *testing.T) {
	d := papersFor(t, "tern-1500", "au-nsw")
	cover := wordsOf(t, d.Sections[0])
	own, base := strings.Index(cover, "Label on the front plate"), strings.Index(cover, "Isolation of the joined circuit")
	if own < 0 || base < 0 || own > base {
		t.Errorf("the set's own items stand at %d, those it builds on at %d", own, base)
	}
	if !strings.HasSuffix(d.Title, ": au-nsw, edition 2026-11") {
		t.Errorf("the head of every page is %q", d.Title)
	}
	matrices := 0
	if err := doc.Walk(d.Blocks(), func(b doc.Block, _ int) error {
		if _, ok := b.(*doc.Matrix); ok {
			matrices++
		}
		return nil
	}); err != nil || matrices != 1 {
		t.Errorf("%d comparisons of the numbers, %v", matrices, err)
	}
}

func TestPapersOfACarWithoutEvidenceClaimNothing(t *testing.T) {
	d := papersFor(t, "sesta-700", "us-virginia")
	if err := doc.Check(d); err != nil {
		t.Fatal(err)
	}
	for _, s := range d.Sections {
		if words := wordsOf(t, s); strings.Contains(words, "moves under own power: in order") {
			t.Errorf("a check that nobody made stands in the papers:\n%s", words)
		}
	}
}
