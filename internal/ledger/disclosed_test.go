package ledger

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"boltback/internal/record"
)

func TestACorrectionOpensWithTheDisclosureOfWhatItCorrects(t *testing.T) {
	id := strings.Repeat("ab", 16)
	disclosure := record.Disclosure{Salt: strings.Repeat("cd", 16), Ledger: id, Path: "parts/tank.json", Pointer: "/value", Value: "900"}
	file, err := disclosure.Encode()
	if err != nil {
		t.Fatal(err)
	}
	part := func(extra string) string {
		return fmt.Sprintf(`{"kind": "part", "value": %q%s}`, record.DigestOf(file), extra)
	}
	s := load(t, map[string]string{
		"ledger.json": fmt.Sprintf(`{"kind": "ledger", "edition": "1", "id": %q}`, id), "parts/tank.json": part(""), "parts/moved.json": part(""),
		"parts/tank-corrected.json": part(`, "corrects": "parts/tank", "reason": "r"`), "parts/again.json": part(`, "corrects": "parts/tank-corrected", "reason": "r"`),
		"parts/ring-1.json": part(`, "corrects": "parts/ring-2", "reason": "r"`), "parts/ring-2.json": part(`, "corrects": "parts/ring-1", "reason": "r"`),
	})
	for name, want := range map[string]error{
		"tank": nil, "tank-corrected": nil, "again": nil, "moved": record.ErrOtherRecord, "ring-1": record.ErrOtherRecord,
	} {
		value, err := s.OpenSealed(file, s.Record(record.Ref("parts/"+name)), "/value")
		if !errors.Is(err, want) || want == nil && value != "900" {
			t.Errorf("%s: %q, %v, want %v", name, value, err, want)
		}
	}
	one := func(record.Sealed) ([]byte, bool) { return file, true }
	if got := s.Disclosed(one); len(got) > 0 {
		t.Errorf("a digest that was copied to another record opens %v", got)
	}
	if _, err := s.OpenSealed(file, s.Record("parts/tank"), "/price"); !errors.Is(err, record.ErrOtherPointer) {
		t.Errorf("a member that is not there: %v", err)
	}
}

func TestPrivateValuesOpenTogetherWhereTheirFilesAreHere(t *testing.T) {
	id := strings.Repeat("ab", 16)
	file, err := record.Disclosure{Salt: strings.Repeat("cd", 16), Ledger: id, Path: "parts/tank.json", Pointer: "/value", Value: "900"}.Encode()
	if err != nil {
		t.Fatal(err)
	}
	digest := record.DigestOf(file)
	s := load(t, map[string]string{
		"ledger.json":     fmt.Sprintf(`{"kind": "ledger", "edition": "1", "id": %q}`, id),
		"parts/tank.json": fmt.Sprintf(`{"kind": "part", "value": %q}`, digest), "parts/tank-corrected.json": fmt.Sprintf(`{"kind": "part", "value": %q, "corrects": "parts/tank", "reason": "r"}`, digest),
		"parts/lost.json": fmt.Sprintf(`{"kind": "part", "value": %q}`, strings.Repeat("0", 64)),
	})
	got := s.Disclosed(func(v record.Sealed) ([]byte, bool) { return file, v == digest })
	if len(got) != 1 || got[digest] != "900" {
		t.Errorf("got %v", got)
	}
	if got := s.Disclosed(func(record.Sealed) ([]byte, bool) { return nil, false }); len(got) > 0 {
		t.Errorf("without the file %v opens", got)
	}
}
