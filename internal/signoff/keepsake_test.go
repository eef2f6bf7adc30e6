package signoff

import (
	"fmt"
	"strings"
	"testing"

	"boltback/internal/record"
)

func TestWhatAnOutsiderKeptIsReadAndHeldAgainstTheHistory(t *testing.T) {
	s := withPart(t)
	kept := s.head
	tag := s.tag("stamp-1", ines, s.manifest(Link{}), []byte("token"))
	records := func(commit, digest string) string {
		return fmt.Sprintf(`{"edition": "1", "commit": %q, "records": [{"path": "parts/motor.json", "digest": %q}]}`, commit, digest)
	}
	const ledgerID = "00112233445566778899aabbccddeeff"
	ofLedger := func(id, text string) string { return fmt.Sprintf(`{"ledger": %q, %s`, id, text[1:]) }
	good := digestOf(s.files["parts/motor.json"])
	s.files["parts/motor.json"] += " "
	s.commit(ines)
	for name, c := range map[string]struct {
		text    string
		holding Holding
		files   bool
		altered int
	}{
		"a stamp":                          {string(tag.Payload) + string(tag.Signature), OnLine, true, 0},
		"the message of a stamp":           {string(s.manifestAt(kept).Message(nil)), OnLine, true, 0},
		"a page":                           {"<html><dt>Records as of commit</dt>\n<dd><code>" + kept[:20] + "<wbr>" + kept[20:] + "</code></dd></html>", OnLine, false, 0},
		"the records of a dossier":         {records(kept, good), OnLine, true, 0},
		"records made up":                  {records(kept, digestOf("other")), OnLine, true, 1},
		"records of a folder with changes": {records(kept+" with changes not committed", good), OnLine, false, 0},
		"a commit that is not here":        {records(strings.Repeat("a", 40), good), Missing, true, 0},
		"records of this ledger":           {ofLedger(ledgerID, records(kept, good)), OnLine, true, 0},
		"records relabelled as another's":  {ofLedger("0123", records(kept, good)), OnLine, true, 0},
	} {
		k, err := ReadKeepsake([]byte(c.text))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		r := reportOf(t, s, Pins{})
		r.Ledger = ledgerID
		before := r.Faults()
		if err := r.HoldKeepsake("file", k, s.open); err != nil {
			t.Fatal(err)
		}
		got := r.Kept[0]
		if got.Holding != c.holding || (got.Files > 0) != c.files || len(got.Deviations) != c.altered {
			t.Errorf("%s: %+v", name, got)
		}
		if other := strings.Contains(name, "another's"); got.OtherLedger != other {
			t.Errorf("%s is of another ledger: %v", name, got.OtherLedger)
		}
		if faulty := r.Faults() > before; faulty != (c.holding == Missing || c.altered > 0 || got.OtherLedger) {
			t.Errorf("%s is a fault: %v", name, faulty)
		}
	}
}

func TestWhatIsNoKeepsakeIsRefused(t *testing.T) {
	for _, text := range []string{
		"", "hello", "<html></html>", "<html>Records as of commit <b>c0ffee</b>", "{}", `{"edition": "1", "commit": "short"}`, "{" + strings.Repeat("[", 1000),
		"object x", "object x\ntype commit\ntag x\ntagger x\n\nhello", manifestTitle,
		`{"edition": "1", "commit": "` + strings.Repeat("a", 40) + ` and more"}`,
		`{"edition": "1", "commit": "` + strings.Repeat("a", 40) + `", "records": [{"path": "../x", "digest": "x"}]}`,
	} {
		if k, err := ReadKeepsake([]byte(text)); err == nil {
			t.Errorf("%.40q is read as %+v", text, k)
		}
	}
}

func (s *story) manifestAt(commit string) Manifest {
	s.t.Helper()
	m, err := NewManifest(s.kept[commit], s.commits[0].ID, commit, strings.Repeat("1", 40), Link{})
	if err != nil {
		s.t.Fatal(err)
	}
	return m
}

func FuzzReadKeepsake(f *testing.F) {
	s := withPart(f)
	tag := s.tag("stamp-1", ines, s.manifest(Link{}), []byte("token"))
	f.Add(append(tag.Payload, tag.Signature...))
	f.Add(s.manifest(Link{}).Bytes())
	f.Add([]byte(`{"edition": "1", "commit": "` + s.head + `", "records": [{"path": "a", "digest": "` + digestOf("a") + `"}]}`))
	f.Add([]byte("<p>Records as of commit " + s.head + "</p>"))
	f.Fuzz(func(t *testing.T, data []byte) {
		k, err := ReadKeepsake(data)
		if err != nil {
			return
		}
		if !isID(k.Commit) {
			t.Fatalf("it names the commit %q", k.Commit)
		}
		for _, file := range k.Files {
			if file.Digest != record.Digest(strings.ToLower(string(file.Digest))) || !plainName(file.Path) {
				t.Fatalf("it names %q", file.Path)
			}
		}
	})
}
