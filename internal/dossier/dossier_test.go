package dossier_test

import (
	"bytes"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"pgregory.net/rapid"

	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/edtf"
	"boltback/internal/record"
)

func TestTheCompactCarGivesTheDossierOnFile(t *testing.T) {
	golden(t, "testdata/wren.txt", text(t, dossier.Build(input(load(t, compactCar(t))))))
}

func TestTheSectionsStandInTheirOrder(t *testing.T) {
	want := "what-this-is identity before-and-as-built way-back parts-off parts-fitted alterations work tightenings readings workings concerns " +
		"settings codes sign-offs keepers papers overruled not-known stamps checking cautions"
	var got []string
	for _, s := range dossier.Build(input(load(t, carOf(nil)))).Sections {
		got = append(got, s.ID)
	}
	if strings.Join(got, " ") != want {
		t.Errorf("sections: got %v", got)
	}
}

func TestTheHeaderSaysWhatItRestsOnAndWhatItCannotKnow(t *testing.T) {
	d := dossier.Build(input(load(t, compactCar(t))))
	if d.Provenance.Basis != doc.NotExamined || d.Provenance.Commit == "" || d.Provenance.Day != "2026-04-01" {
		t.Errorf("provenance: %+v", d.Provenance)
	}
	wantAll(t, sectionText(t, d.Sections[0]),
		"Computed from records; the car was not examined.",
		"work that nobody wrote down",
		"whether the part in a photo is the part in the crate",
		"whether a stored part still works",
		"whether the law lets the car be put back",
		"Corrected 1", "Withdrawn 1",
		"Files that could not be read 1",
		"1 of 6 sessions and readings were written down on a later day",
		"2 entries", "1 error, 0 warnings, 0 notes")
}

func TestAnEmptyCarGivesAReadableDossier(t *testing.T) {
	got := text(t, dossier.Build(dossier.Input{Snapshot: load(t, carOf(nil))}))
	wantAll(t, got,
		"A car without a name on record", "Records as of commit not committed",
		"No number of the car is on record", "No record takes a part off the car. That does not say that none was taken off.",
		"No session is on record. That does not say that no work was done.", "No alteration is on record. That does not say that nothing was altered",
		"No reading is on record.", "No photo and no paper is on record.", "the car: no record describes it")
	wantNone(t, got, "%!", "{!", "<nil>", "Every part")
}

func TestTheWordingPromisesNothing(t *testing.T) {
	for name, fsys := range map[string]fs.FS{"compact": compactCar(t), "empty": carOf(nil)} {
		got := strings.ToLower(text(t, dossier.Build(input(load(t, fsys)))))
		got = strings.ReplaceAll(got, "no promise", "")
		for _, word := range []string{"reversible", "proof", "guarantee", "certified", "verified", "untouched", "never altered", "promise"} {
			if strings.Contains(got, word) {
				t.Errorf("%s: the dossier says %q", name, word)
			}
		}
	}
}

func TestSealedValuesAreWithheld(t *testing.T) {
	s := load(t, compactCar(t))
	whole := text(t, dossier.Build(input(s)))
	wantNone(t, whole, strings.Repeat("a", 64), strings.Repeat("c", 64))
	wantAll(t, sectionText(t, dossier.Show(s, s.Record("people/saltmarsh/ina-reed"), nil)), "Telephone (withheld)")
}

func TestPrivateValuesShowOnlyWhereTheyAreDisclosedAndTheDocumentSaysSo(t *testing.T) {
	s := load(t, compactCar(t))
	disclosed := func(record.Sealed) (string, bool) { return "1200.00-as-told", true }
	in := input(s)
	in.Disclosed = disclosed
	for _, reader := range []dossier.Reader{dossier.Keeper, dossier.Insurer} {
		in.Reader = reader
		whole := text(t, dossier.Build(in))
		wantAll(t, whole, "Not for everyone.", "1200.00-as-told (private)")
		in.Disclosed = nil
		wantNone(t, text(t, dossier.Build(in)), "Not for everyone.", "(private)", "as-told")
		in.Disclosed = disclosed
	}
	wantAll(t, sectionText(t, dossier.Show(s, s.Record("people/saltmarsh/ina-reed"), func(record.Sealed) (string, bool) { return "01632 960000", true })), "01632 960000 (private)")
	wantAll(t, sectionText(t, dossier.Show(s, s.Record("people/saltmarsh/ina-reed"), func(record.Sealed) (string, bool) { return "", false })), "Telephone (withheld)")
}

func TestAPreviewWithOtherBytesThanItsRecordIsNotShown(t *testing.T) {
	in := input(load(t, compactCar(t)))
	shown := func() doc.Photo {
		var photo doc.Photo
		_ = doc.Walk(dossier.Build(in).Blocks(), func(b doc.Block, _ int) error {
			if sheet, ok := b.(*doc.PhotoSheet); ok {
				photo = sheet.Photos[0]
			}
			return nil
		})
		return photo
	}
	if p := shown(); !bytes.Equal(p.Image, preview) || p.Absent != "" {
		t.Errorf("the right bytes are not shown: %q", p.Absent)
	}
	in.Pictures = func(record.Digest) ([]byte, bool) { return []byte("\xff\xd8\xffother"), true }
	if p := shown(); p.Image != nil || !strings.Contains(p.Absent, "not shown: the file here has the SHA-256") {
		t.Errorf("other bytes: image %q, reason %q", p.Image, p.Absent)
	}
	in.Pictures = nil
	if p := shown(); p.Image != nil || p.Absent != "not here" {
		t.Errorf("no pictures at hand: image %q, reason %q", p.Image, p.Absent)
	}
}

// shuffled gives the entries of every folder in another order than by name.
type shuffled struct {
	fstest.MapFS
	seed uint64
}

func (s shuffled) ReadDir(name string) ([]fs.DirEntry, error) {
	entries, err := s.MapFS.ReadDir(name)
	rand.New(rand.NewPCG(s.seed, uint64(len(name)))).Shuffle(len(entries), func(i, j int) { entries[i], entries[j] = entries[j], entries[i] })
	return entries, err
}

func TestTheOrderOfFolderEntriesDoesNotShow(t *testing.T) {
	files := compactCar(t)
	want := text(t, dossier.Build(input(load(t, files))))
	rapid.Check(t, func(r *rapid.T) {
		s := load(t, shuffled{files, rapid.Uint64().Draw(r, "seed")})
		if got := text(t, dossier.Build(input(s))); got != want {
			r.Fatal("the same records give another dossier")
		}
	})
}

// A record may hold any text that JSON can; none of it may act on the page.
func TestHostileTextsCannotActOnThePage(t *testing.T) {
	const hostile = `\u001b[2J\u202egnp.exe\nTitle: clean\u0007\u200b{}{!missing}`
	files := carOf(map[string]string{
		"car.json":                        `{"kind":"car","name":"` + hostile + `","make":"` + hostile + `","numbers":[{"what":"` + hostile + `","raw":"` + hostile + `","where":"` + hostile + `"}]}`,
		"parts/a.json":                    `{"kind":"part","name":"` + hostile + `","found":"yes","hazards":["` + hostile + `"],"may-go-back":"` + hostile + `"}`,
		"work/2026-01-01-x.json":          `{"kind":"session","name":"` + hostile + `","by":"people/x/y","started":"` + hostile + `","lines":[{"act":"` + hostile + `","parts":["parts/a"],"note":"` + hostile + `"},{"act":"removal","parts":["parts/a"],"place":"` + hostile + `"}]}`,
		"readings/2026-01-01-r.json":      `{"kind":"reading","what":"` + hostile + `","values":[{"of":"` + hostile + `","value":"` + hostile + `"}]}`,
		"papers/p.json":                   `{"kind":"paper","caption":"` + hostile + `","certificate":{"lines":[{"what":"` + hostile + `","says":"` + hostile + `"}]}}`,
		"signoffs/2026-01-01-s.json":      `{"kind":"sign-off","by":"people/x/y","meaning":"` + hostile + `","covers":[]}`,
		"concerns/c.json":                 `{"kind":"concern","name":"` + hostile + `","state":"` + hostile + `","concern":"` + hostile + `"}`,
		"people/x/y/person.json":          `{"kind":"person","name":"` + hostile + `"}`,
		"systems/s.json":                  `{"kind":"system","name":"` + hostile + `","fill":{"of":"` + hostile + `"}}`,
		"existing/e.json":                 `{"kind":"existing","name":"` + hostile + `"}`,
		"joints/j.json":                   `{"kind":"joint","name":"` + hostile + `","clamps":["parts/a"]}`,
		"stores/x/loft/store.json":        `{"kind":"store","name":"` + hostile + `"}`,
		"instruments/x/i/instrument.json": `{"kind":"instrument","name":"` + hostile + `"}`,
	})
	s := load(t, files)
	if unread := s.AllUnread(); len(unread) > 0 {
		t.Fatalf("the fixture is broken: %v", unread[0].Fault)
	}
	outputs := []string{text(t, dossier.Build(dossier.Input{Snapshot: s, Day: edtf.NewDay(2026, 1, 2)})), sectionText(t, dossier.List(s))}
	for _, r := range s.Records() {
		outputs = append(outputs, sectionText(t, dossier.Show(s, r, nil)))
	}
	for i, got := range outputs {
		if at := strings.IndexAny(got, "\x1b\u202e\x07\u200b"); at >= 0 {
			t.Errorf("output %d holds the control character %q", i, got[at:at+4])
		}
		for line := range strings.SplitSeq(got, "\n") {
			if strings.HasPrefix(line, "Title: clean") {
				t.Errorf("output %d: a name made a line of its own", i)
			}
		}
	}
}

func TestTheSumOverAllRecordsIsTheOneThatStockToolsPrint(t *testing.T) {
	sh, err := exec.LookPath("sh")
	if err != nil {
		t.Skip("no sh here")
	}
	if _, err := exec.LookPath("sha256sum"); err != nil {
		t.Skip("no sha256sum here")
	}
	files := compactCar(t)
	delete(files, "parts/broken.json")
	dir := t.TempDir()
	for path, f := range files {
		at := filepath.Join(dir, path)
		if err := os.MkdirAll(filepath.Dir(at), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(at, f.Data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	command := ""
	d := dossier.Build(input(load(t, files)))
	_ = doc.Walk(d.Blocks(), func(b doc.Block, _ int) error {
		if v, ok := b.(*doc.Verbatim); ok && strings.HasPrefix(v.Text, "find ") {
			command = v.Text
		}
		return nil
	})
	run := exec.Command(sh, "-c", command)
	run.Dir = dir
	out, err := run.Output()
	if err != nil {
		t.Fatalf("%s: %v", command, err)
	}
	sum, _, _ := strings.Cut(string(out), " ")
	if len(sum) != 64 {
		t.Fatalf("the command printed %q", out)
	}
	wantAll(t, text(t, d), sum)
}
