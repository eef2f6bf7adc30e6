package dossier_test

import (
	"slices"
	"strings"
	"testing"

	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/replay"
	"boltback/internal/reversal"
	"boltback/internal/wording"
	"boltback/internal/workings"
)

// whole is the input with everything computed from the records, as the program makes it.
func whole(t testing.TB, in dossier.Input) dossier.Input {
	t.Helper()
	in.Work = replay.Of(in.Snapshot)
	var err error
	if in.Reversal, err = reversal.Make(in.Work, reversal.Options{On: in.Day, Commit: in.Commit}); err != nil {
		t.Fatal(err)
	}
	if in.Wording, err = wording.Make(in.Work, in.Day); err != nil {
		t.Fatal(err)
	}
	in.Workings = workings.Of(in.Work, in.Day, nil).All()
	return in
}

func TestEachReaderGetsTheDossierOnFile(t *testing.T) {
	for _, reader := range dossier.Readers()[1:] {
		t.Run(string(reader), func(t *testing.T) {
			in := whole(t, input(load(t, compactCar(t))))
			in.Reader = reader
			golden(t, "testdata/wren-"+string(reader)+".txt", text(t, dossier.Build(in)))
		})
	}
}

// asking are the readers whose questions are the chapters: all but the keeper and the first responder.
func asking() []dossier.Reader {
	return slices.DeleteFunc(dossier.Readers(), func(r dossier.Reader) bool { return r == dossier.Keeper || r == dossier.Responder })
}

// questionsOf are the chapters of a dossier that are questions.
func questionsOf(d *doc.Document) []*doc.Section {
	return slices.DeleteFunc(slices.Clone(d.Sections), func(s *doc.Section) bool { return !strings.HasSuffix(s.Title, "?") })
}

// spansOf are the texts of a section, span by span.
func spansOf(s *doc.Section) []string {
	var all []string
	_ = doc.Walk([]doc.Block{s}, func(b doc.Block, _ int) error {
		for _, text := range doc.Texts(b) {
			for _, span := range text {
				all = append(all, span.Text)
			}
		}
		return nil
	})
	return all
}

func TestAReadersQuestionsAreTheChaptersAndTheRestIsTheSame(t *testing.T) {
	for _, reader := range asking() {
		in := whole(t, input(load(t, compactCar(t))))
		in.Reader = reader
		d := dossier.Build(in)
		if err := doc.Check(d); err != nil {
			t.Errorf("%s: %v", reader, err)
		}
		if n := len(questionsOf(d)); n < 10 {
			t.Errorf("%s: %d questions", reader, n)
		}
		var rest []string
		for _, s := range d.Sections {
			if !strings.HasSuffix(s.Title, "?") {
				rest = append(rest, s.ID)
			}
		}
		if got := strings.Join(rest, " "); got != "what-this-is questions overruled not-known stamps checking cautions" {
			t.Errorf("%s: besides the questions there are %s", reader, got)
		}
	}
}

// A car of which nothing is known answers nothing that is asked of it; the questions stand all the same, and in the list at
// the beginning.
func TestAQuestionThatTheRecordsDoNotAnswerStandsUnanswered(t *testing.T) {
	answeredByNothing := map[string]bool{ // what is computed even over nothing
		"What exactly was changed?":                          true,
		"Can it go back, and what would that take?":          true,
		"What are power and mass against the car as it was?": true,
		"What may be said of it?":                            true,
	}
	for _, reader := range asking() {
		in := whole(t, input(load(t, carOf(nil))))
		in.Reader = reader
		d := dossier.Build(in)
		open := spansOf(d.Sections[1])
		for _, s := range questionsOf(d) {
			unanswered := strings.Contains(sectionText(t, s), "The records do not answer this.")
			if unanswered == answeredByNothing[s.Title] {
				t.Errorf("%s: %q: unanswered %t", reader, s.Title, unanswered)
			}
			if unanswered != slices.Contains(open, s.Title) {
				t.Errorf("%s: %q and the list of open questions differ: %q", reader, s.Title, open)
			}
		}
	}
}

func TestAChapterThatAnswersTwoQuestionsStandsOnceAndIsPointedAt(t *testing.T) {
	in := whole(t, input(load(t, compactCar(t))))
	in.Reader = dossier.Buyer
	wantAll(t, text(t, dossier.Build(in)), "More under “Is this the car that the papers say?”")
}
