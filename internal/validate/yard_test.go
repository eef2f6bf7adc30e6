package validate

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"golang.org/x/tools/txtar"
	"pgregory.net/rapid"

	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// yardOf loads the cars and the address book of a yard written as an archive.
func yardOf(t testing.TB, files []txtar.File) (book []Copy, cars []Summary) {
	t.Helper()
	yard := fstest.MapFS{}
	names := map[string]bool{}
	for _, f := range files {
		yard[f.Name] = &fstest.MapFile{Data: f.Data}
		if rest, ok := strings.CutPrefix(f.Name, "cars/"); ok {
			car, _, _ := strings.Cut(rest, "/")
			names[car] = true
		}
	}
	sub := func(at string) fs.FS {
		inner, err := fs.Sub(yard, at)
		if err != nil {
			t.Fatal(err)
		}
		return inner
	}
	book, err := Book(sub("workshop"))
	if err != nil {
		t.Fatal(err)
	}
	for car := range names { // in any order: the result has one
		s, err := ledger.Load(sub("cars/" + car))
		if err != nil {
			t.Fatal(err)
		}
		cars = append(cars, Summarize(car, s))
	}
	return book, cars
}

// TestYardRules runs the rules over a whole yard: each case is a yard and the findings it must give.
func TestYardRules(t *testing.T) {
	cases, err := filepath.Glob("testdata/yard/*.txtar")
	if err != nil || len(cases) == 0 {
		t.Fatalf("no yard cases: %v", err)
	}
	for _, name := range cases {
		t.Run(strings.TrimSuffix(filepath.Base(name), ".txtar"), func(t *testing.T) {
			a, err := txtar.ParseFile(name)
			if err != nil {
				t.Fatal(err)
			}
			if !strings.HasSuffix(strings.TrimSpace(string(a.Comment)), ".") {
				t.Error("the case does not say its rule in a sentence")
			}
			want, files := split(a.Files)
			var got strings.Builder
			for _, f := range Yard(yardOf(t, files)) {
				got.WriteString(f.Car + ": " + print([]finding.Finding{f}))
			}
			if *update {
				a.Files = append(files, txtar.File{Name: "want", Data: []byte(got.String())})
				if err := os.WriteFile(name, txtar.Format(a), 0o644); err != nil {
					t.Fatal(err)
				}
				return
			}
			if got.String() != want {
				t.Errorf("got\n%s\nwant\n%s", got.String(), want)
			}
		})
	}
}

func TestAPartThatWentToACarOfAnotherYardIsLeftSo(t *testing.T) {
	move := Move{Part: "parts/dynamo", Leaves: true, Marks: []string{"tag 0101"}, Other: "far-away"}
	if found := Yard(nil, []Summary{{Car: "heron", Moves: []Move{move}}, {Car: "wren"}}); len(found) > 0 {
		t.Errorf("got %v", found)
	}
	move.Other = "wren"
	came := Move{Part: "parts/dynamo", Marks: []string{"tag 0101"}}
	if found := Yard(nil, []Summary{{Car: "heron", Moves: []Move{move}}, {Car: "swift", Moves: []Move{came}}, {Car: "wren"}}); len(found) != 1 {
		t.Errorf("it went to the wren and came to the swift: got %v", found)
	}
}

// TestTheYardsFindingsDoNotDependOnTheOrderOfItsCars draws yards whose cars share tags, numbers and moves.
func TestTheYardsFindingsDoNotDependOnTheOrderOfItsCars(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var cars []Summary
		for i := range rapid.IntRange(0, 5).Draw(t, "cars") {
			s := Summary{Car: string(rune('a' + i))}
			for range rapid.IntRange(0, 3).Draw(t, "tags") {
				tag := rapid.SampledFrom([]string{"1", "2", "3"}).Draw(t, "tag")
				s.Tags = append(s.Tags, Mark{Key: tag, Raw: tag, Name: "part"})
				s.Numbers = append(s.Numbers, Mark{Key: tag, Raw: tag})
				if rapid.Bool().Draw(t, "moves") {
					s.Moves = append(s.Moves, Move{Part: "parts/x", Leaves: rapid.Bool().Draw(t, "leaves"), Marks: []string{"tag " + tag},
						Day: record.Date(rapid.SampledFrom([]string{"", "2026-01-01", "2026-02-01"}).Draw(t, "day"))})
				}
			}
			cars = append(cars, s)
		}
		first := Yard(nil, cars)
		again := Yard(nil, rapid.Permutation(cars).Draw(t, "order"))
		if print(first) != print(again) {
			t.Errorf("in one order\n%s\nin another\n%s", print(first), print(again))
		}
		for _, f := range first {
			if f.Car == "" {
				t.Errorf("%s has no car", f)
			}
		}
	})
}

func TestAnAddressBookThatIsNotThereHoldsNothing(t *testing.T) {
	if book, err := Book(fstest.MapFS{}); err != nil || len(book) > 0 {
		t.Errorf("got %v, %v", book, err)
	}
}

// TestASecretIsNotRepeated looks for what was planted in everything that a check says.
func TestASecretIsNotRepeated(t *testing.T) {
	for _, name := range []string{"secret", "secret-in-a-damaged-record"} {
		a, err := txtar.ParseFile("testdata/rules/" + name + ".txtar")
		if err != nil {
			t.Fatal(err)
		}
		want, _ := split(a.Files)
		for _, planted := range []string{"Gannet77", "4711", "3382", "tR9fQ2kLw8ZpX4vN7mB1cD", "Heron1966", "OPENSSH"} {
			if strings.Contains(want, planted) {
				t.Errorf("%s: the findings repeat %s", name, planted)
			}
		}
	}
}

// FuzzSecrets asks of any text that looking for secrets ends, names only places of that record, and quotes nothing.
func FuzzSecrets(f *testing.F) {
	for _, seed := range []string{"", "password: Gannet77", "PIN", "PIN 4711", "the token is", "password=", "pwd:x", "code", "radio code: 3382", "tR9fQ2kLw8ZpX4vN7mB1cD", "é=ü!", "password: !!!!"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		src, err := record.Encode(&record.Setting{Head: record.Head{Kind: record.KindSetting}, Note: text})
		if err != nil {
			return // not UTF-8
		}
		r, err := record.Decode("settings/x.json", src)
		if err != nil {
			return
		}
		for _, found := range Secrets(r.Path, r.Kind, r.Doc) {
			if found.Pointer != "/note" || found.Line == 0 {
				t.Errorf("%q: found at %q", text, found.Pointer)
			}
			if len(text) > 60 && strings.Contains(found.Message, text) {
				t.Errorf("the finding repeats %q", text)
			}
		}
	})
}

func BenchmarkSecrets(b *testing.B) {
	text, err := os.ReadFile("../../records/sample/cars/tern-1500/car.json")
	if err != nil {
		b.Fatal(err)
	}
	r, err := record.Decode("car.json", text)
	if err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		Secrets(r.Path, r.Kind, r.Doc)
	}
}
