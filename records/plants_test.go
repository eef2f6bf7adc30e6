package records

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"boltback/internal/edtf"
	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/validate"
)

// checked are the findings of a car of the sample on a day after all its work, after some files were changed.
func checked(t testing.TB, validator *validate.Validator, files fstest.MapFS) []finding.Finding {
	t.Helper()
	s, err := ledger.Load(files)
	if err != nil {
		t.Fatal(err)
	}
	found, err := validator.Check(s, validate.Options{On: edtf.NewDay(2026, 11, 1)})
	if err != nil {
		t.Fatal(err)
	}
	return found
}

func filesOf(t testing.TB, root string) fstest.MapFS {
	t.Helper()
	files := fstest.MapFS{}
	for _, p := range filesUnder(t, root) {
		files[p] = &fstest.MapFile{Data: read(t, root+"/"+p)}
	}
	return files
}

// place is a finding as the table of plants writes it.
func place(f finding.Finding) string { return fmt.Sprintf("%s:%d %s", f.File, f.Line, f.Code) }

func placesOf(found []finding.Finding) []string {
	var list []string
	for _, f := range found {
		list = append(list, place(f))
	}
	slices.Sort(list)
	return list
}

func (p Plant) place() string { return fmt.Sprintf("%s:%d %s", p.File, p.Line, p.Code) }

func TestTheFinishedCarAndTheOneFromBoxesHaveNoError(t *testing.T) {
	validator := validate.New()
	for _, root := range []string{car, boxed} {
		for _, f := range checked(t, validator, filesOf(t, root)) {
			if f.Severity == finding.Error {
				t.Errorf("%s: %s", root, f)
			}
		}
	}
}

func TestTheCarInTroubleHasExactlyWhatWasPlanted(t *testing.T) {
	var want []string
	for _, p := range Plants() {
		want = append(want, p.place())
	}
	slices.Sort(want)
	if len(want) < 15 {
		t.Errorf("%d plants, want 15 or more", len(want))
	}
	if got := placesOf(checked(t, validate.New(), filesOf(t, Troubled))); !slices.Equal(got, want) {
		t.Errorf("found\n%s\nplanted\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// TestRemovingAPlantRemovesItsFindingAlone mends one mistake at a time. The mended text may be longer, so that findings
// below it in the same file stand on other lines: they are compared by file and code.
func TestRemovingAPlantRemovesItsFindingAlone(t *testing.T) {
	validator := validate.New()
	files := filesOf(t, Troubled)
	before := checked(t, validator, files)
	for _, p := range Plants() {
		t.Run(p.Code+" in "+p.File, func(t *testing.T) {
			text := string(files[p.File].Data)
			if strings.Count(text, p.Old) != 1 || p.Old == p.New {
				t.Fatalf("%q stands there %d times", p.Old, strings.Count(text, p.Old))
			}
			mended := fstest.MapFS{}
			for name, f := range files {
				mended[name] = f
			}
			mended[p.File] = &fstest.MapFile{Data: laidOut(t, p.File, strings.Replace(text, p.Old, p.New, 1))}
			want := codesOf(before)
			i := slices.Index(want, p.File+" "+p.Code)
			if i < 0 {
				t.Fatal("it is not found in the first place")
			}
			want = slices.Delete(want, i, i+1)
			if got := codesOf(checked(t, validator, mended)); !slices.Equal(got, want) {
				t.Errorf("left\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
			}
		})
	}
}

// laidOut gives a mended record the layout that the ledger writes.
func laidOut(t *testing.T, path, text string) []byte {
	t.Helper()
	r, err := record.Decode(path, []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	src, err := record.Encode(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return src
}

func codesOf(found []finding.Finding) []string {
	var list []string
	for _, f := range found {
		list = append(list, f.File+" "+f.Code)
	}
	slices.Sort(list)
	return list
}

func TestEveryFurtherTroubleStandsInItsRecord(t *testing.T) {
	for _, trouble := range Troubles() {
		text := read(t, Troubled+"/"+record.PathOf(record.Ref(trouble.Record)))
		if !bytes.Contains(text, []byte(trouble.Words)) || trouble.What == "" {
			t.Errorf("%s does not say %q", trouble.Record, trouble.Words)
		}
	}
}

func TestTheCarFromBoxesLeavesMuchOpen(t *testing.T) {
	all := recordsUnder(t, boxed)
	open := map[string]int{}
	for _, p := range of[record.Part](all) {
		if p.Origin == "unknown" {
			open["origin"]++
		}
		if p.Found != "no" && p.MayGoBack == "" || p.MayGoBack == "unknown" {
			open["may go back"]++
		}
		if p.Mass == "" {
			open["mass"]++
		}
	}
	c := of[record.Car](all)["car"]
	for _, b := range c.Baseline.Parts {
		if b.Evidence != "seen" {
			open["evidence"]++
		}
	}
	for _, n := range c.Numbers {
		if strings.Contains(n.Raw, "?") {
			open["number"]++
		}
	}
	for what, least := range map[string]int{"origin": 5, "may go back": 10, "mass": 15, "evidence": 15, "number": 1} {
		if open[what] < least {
			t.Errorf("%s is open %d times, want %d or more", what, open[what], least)
		}
	}
}

// planted reports whether a place of a car is known to be wrong there.
func planted(root, path, code string) bool {
	return root == Troubled && slices.ContainsFunc(Plants(), func(p Plant) bool { return p.File == path && p.Code == code })
}

// TestTheYardOfTheSampleHasNothingAcrossItsCars holds the yard of the sample against itself.
func TestTheYardOfTheSampleHasNothingAcrossItsCars(t *testing.T) {
	var summaries []validate.Summary
	for _, root := range cars {
		s, err := ledger.Load(filesOf(t, root))
		if err != nil {
			t.Fatal(err)
		}
		summaries = append(summaries, validate.Summarize(strings.TrimPrefix(root, "cars/"), s))
	}
	book, err := validate.Book(filesOf(t, "workshop"))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range validate.Yard(book, summaries) {
		t.Errorf("%s: %s", f.Car, f)
	}
}
