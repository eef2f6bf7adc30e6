package dossier_test

import (
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/validate"
)

// ofOneFile are the codes that a record can earn by itself, whatever lies beside it.
var ofOneFile = []string{"syntax", "kind", "schema", "unknown-member", "incomplete", "layout", "path", "stray-file", "date", "quantity", "secret"}

func TestTheExampleOfEveryKindIsARecordWithNothingWrong(t *testing.T) {
	validator := validate.New()
	for _, kind := range record.Kinds() {
		t.Run(string(kind), func(t *testing.T) {
			at := strings.NewReplacer("<slug>", "example", "<date>", "2026-03-02").Replace(record.PlaceOf(kind))
			text := exampleOf(t, kind)
			if r, err := record.Decode(at, []byte(text)); err != nil || r.Kind != kind {
				t.Fatalf("%s:%v\n%s", at, err, text)
			}
			s, err := ledger.Load(alone(at, text))
			if err != nil {
				t.Fatal(err)
			}
			found, err := validator.Check(s, validate.Options{On: edtf.NewDay(2030, 1, 1)})
			if err != nil {
				t.Fatal(err)
			}
			for _, f := range found {
				if slices.Contains(ofOneFile, f.Code) {
					t.Errorf("%s\n%s", f, text)
				}
			}
		})
	}
}

// TestTheExampleShowsWhatAKindIsFor looks for the members without which a kind would say nothing.
func TestTheExampleShowsWhatAKindIsFor(t *testing.T) {
	want := map[record.Kind][]string{
		record.KindSetting:  {`"firmware": "`, `"version": "`, `"digest": "`, `"unit": "parts/`},
		record.KindCode:     {`"where": "`, `"person": "people/`},
		record.KindTransfer: {`"from": {`, `"to": {`, `"custody": [`, `"distance": "readings/`},
	}
	for kind, members := range want {
		wantAll(t, exampleOf(t, kind), members...)
	}
}

func exampleOf(t *testing.T, kind record.Kind) string {
	t.Helper()
	section, err := dossier.Schema(kind)
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range section.Blocks {
		if v, ok := b.(*doc.Verbatim); ok {
			return v.Text
		}
	}
	t.Fatalf("the explanation of %s shows no example", kind)
	return ""
}

// alone is a car that holds one record besides its ledger.
func alone(at, text string) fstest.MapFS {
	files := carOf(nil)
	files["ledger.json"] = &fstest.MapFile{Data: []byte("{\n  \"kind\": \"ledger\",\n  \"edition\": \"1\"\n}\n")}
	files[at] = &fstest.MapFile{Data: []byte(text)}
	return files
}
