package validate

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"boltback/internal/ledger"
	"boltback/internal/record"
)

func TestDisclosuresAreHeldAgainstTheirPlaces(t *testing.T) {
	id, other := strings.Repeat("ab", 16), strings.Repeat("cd", 16)
	file := func(ledger, path, pointer string) []byte {
		src, err := record.Disclosure{Salt: strings.Repeat("5a", 16), Ledger: ledger, Path: path, Pointer: pointer, Value: "Invented-Name"}.Encode()
		if err != nil {
			t.Fatal(err)
		}
		return src
	}
	name := func(src []byte) string { return string(record.DigestOf(src)) + ".json" }
	tank, saved := file(id, "parts/tank.json", "/value"), file(id, "inbox/2026-01-01-a-tank.json", "/value")
	foreign := file(other, "parts/foreign.json", "/value")
	car := fstest.MapFS{}
	for at, text := range map[string]string{
		"ledger.json":                  fmt.Sprintf(`{"kind": "ledger", "edition": "1", "id": %q}`, id),
		"parts/tank.json":              fmt.Sprintf(`{"kind": "part", "value": %q}`, record.DigestOf(tank)),
		"parts/foreign.json":           fmt.Sprintf(`{"kind": "part", "value": %q}`, record.DigestOf(foreign)),
		"inbox/2026-01-01-a-tank.json": fmt.Sprintf(`{"kind": "part", "fields": {"value": %q}, "lacks": []}`, record.DigestOf(saved)),
	} {
		car[at] = &fstest.MapFile{Data: []byte(text)}
	}
	s, err := ledger.Open(car)
	if err != nil {
		t.Fatal(err)
	}
	moved, gone, inboxGone := file(id, "parts/tank.json", "/note"), file(id, "parts/gone.json", "/value"), file(id, "inbox/gone.json", "/value")
	tests := []struct {
		about, name string
		file        []byte
		want        string
	}{
		{"the one of a record", name(tank), tank, ""},
		{"the one of a file in the inbox", name(saved), saved, ""},
		{"another name than its digest", strings.Repeat("0", 64) + ".json", tank, "error ../../private/tern/" + strings.Repeat("0", 64) + ".json: .*disclosure-damaged"},
		{"no disclosure", name([]byte("[1]\n")), []byte("[1]\n"), "disclosure-damaged"},
		{"a text beside them", "README", []byte("Invented-Name"), "disclosure-damaged"},
		{"another member", name(moved), moved, "warning "},
		{"a record that is not there", name(gone), gone, "disclosure-nowhere"},
		{"a file of the inbox that is not there", name(inboxGone), inboxGone, "disclosure-nowhere"},
		{"another ledger", name(foreign), foreign, "of another ledger"},
	}
	for _, tt := range tests {
		got := print(Disclosures(s, fstest.MapFS{tt.name: {Data: tt.file}}, "../../private/tern"))
		want, _, _ := strings.Cut(tt.want, ".*")
		if (tt.want == "") != (got == "") || !strings.Contains(got, want) || strings.Contains(got, "Invented") {
			t.Errorf("%s: %q, want %q", tt.about, got, tt.want)
		}
	}
	if found := Disclosures(s, fstest.MapFS{}, ""); len(found) > 0 {
		t.Error(found)
	}
}

func TestAFileThatGitLeftToBeChosenIsNamedWithBothItsVersions(t *testing.T) {
	got := print(MergeOpen([]string{"parts/engine.json", "work/2026-03-02-ines-tank-out.json"}))
	for _, want := range []string{"error parts/engine.json:1:1:", "git show :2:parts/engine.json and git show :3:parts/engine.json", "error work/2026-03-02-ines-tank-out.json:1:1:", "[merge-open]"} {
		if !strings.Contains(got, want) {
			t.Errorf("%s\nlacks %s", got, want)
		}
	}
	if found := MergeOpen(nil); len(found) > 0 {
		t.Error(found)
	}
}

func TestWorkAfterTheRecordsWereHandedOverIsAFinding(t *testing.T) {
	mark := &record.HandedOver{On: "2026-07-01", By: "people/a/b"}
	got := print(SinceHandedOver(mark, "0123456789abcdef", []string{"work/2026-07-02-b-late.json"}))
	if want := "error work/2026-07-02-b-late.json: the records were handed over on 2026-07-01, in 0123456789ab, and this came in after that: it is in this copy alone [handed-over]\n"; !strings.HasPrefix(got, want) {
		t.Errorf("got  %q\nwant %q", got, want)
	}
	if found := SinceHandedOver(mark, "0123456789abcdef", nil); len(found) > 0 {
		t.Errorf("nothing came in: %v", found)
	}
}

func TestAnEntryIsHeldAgainstItsFirstCommit(t *testing.T) {
	first := []byte("{\n  \"kind\": \"licence\",\n  \"until\": \"2026-01-01\"\n}\n")
	if found := EntryChanged("people/a/b/licence.json", first, first, "0123456789abcdef"); len(found) > 0 {
		t.Error(found)
	}
	now := []byte(strings.Replace(string(first), "2026", "2028", 1))
	got := print(EntryChanged("people/a/b/licence.json", first, now, "0123456789abcdef"))
	if !strings.HasPrefix(got, "error people/a/b/licence.json:3:16: this is not as it was first committed, in 0123456789ab") {
		t.Error(got)
	}
	s, err := ledger.Open(fstest.MapFS{"ledger.json": {Data: []byte("{}")}, "people/a/b/person.json": {Data: []byte("{}")}, "people/a/b/licence-x.json": {Data: []byte("{}")},
		"instruments/a/b/calibration-2026.json": {Data: []byte("{}")}, "instruments/a/b/instrument.json": {Data: []byte("{}")}, "parts/a.json": {Data: []byte("{}")}})
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(EntriesKept(s), " "); got != "instruments/a/b/calibration-2026.json people/a/b/licence-x.json" {
		t.Error(got)
	}
}
