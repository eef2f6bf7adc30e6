package signoff

import (
	"slices"
	"testing"

	"boltback/internal/attest"
	"boltback/internal/record"
)

// signedAlone is a sign-off as a file, with the signature of a person beside it.
func signedAlone(t *testing.T, by string, ns attest.Namespace) (*record.Record, []byte) {
	t.Helper()
	src := []byte(`{"kind": "sign-off", "form": "key", "by": "people/tallow-lane/ines", "meaning": "drained", "ledger": "` + digestOf("x")[:40] + `", "covers": [{"record": "parts/fuel-tank", "digest": "` + digestOf("tank") + `"}]}`)
	r, err := record.Decode("signoffs/2026-01-05-ines-tank.json", src)
	if err != nil {
		t.Fatal(err)
	}
	armored, err := attest.Sign(signerOf(by), ns, src)
	if err != nil {
		t.Fatal(err)
	}
	return r, armored
}

func TestASignOffAloneHoldsOnlyByAKeyThatTheReaderPinned(t *testing.T) {
	r, armored := signedAlone(t, "ines", attest.SignOffs)
	pinned := Pins{Keys: []string{fingerprint("ines")}}
	for _, c := range []struct {
		name    string
		armored []byte
		pins    Pins
		faults  int
		clean   bool
	}{
		{"with its key pinned", armored, pinned, 0, true},
		{"with no pin", armored, Pins{}, 0, false},
		{"with another key pinned", armored, Pins{Keys: []string{fingerprint("mallory")}}, 0, false},
		{"without a signature", nil, pinned, 1, false},
		{"with nonsense for a signature", []byte("nonsense"), pinned, 1, false},
	} {
		a := AloneSignOff("signed.json", r, c.armored, c.pins)
		if a.Faults() != c.faults || a.Clean() != c.clean {
			t.Errorf("%s: %d faults, clean %v", c.name, a.Faults(), a.Clean())
		}
	}
	if _, crossed := signedAlone(t, "ines", attest.Commits); AloneSignOff("signed.json", r, crossed, pinned).Clean() {
		t.Error("a signature for commits counts for a sign-off")
	}
}

func TestAnyByteOfASignOffThatIsChangedIsFound(t *testing.T) {
	r, armored := signedAlone(t, "ines", attest.SignOffs)
	for i := range r.Doc.Source {
		doc := *r.Doc
		doc.Source = slices.Clone(r.Doc.Source)
		doc.Source[i] ^= 1
		bent := *r
		bent.Doc = &doc
		if a := AloneSignOff("signed.json", &bent, armored, Pins{Keys: []string{fingerprint("ines")}}); a.Faults() == 0 || a.Clean() {
			t.Fatalf("byte %d changed, and nothing is found", i)
		}
	}
}

func TestAPaperIsKnownByTheDigestOfItsOriginalOrPreviewAndBySize(t *testing.T) {
	r, err := record.Decode("papers/x.json", []byte(`{"kind": "paper", "original": {"digest": "`+digestOf("full")+`", "bytes": 4}, "preview": {"digest": "`+digestOf("small")+`"}}`))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		content, matches string
		size             int64
	}{{"full", "original", 4}, {"full", "", 5}, {"small", "preview", 5}, {"other", "", 5}} {
		a, err := AlonePaper("scan.jpg", record.Digest(digestOf(c.content)), c.size, "x.json", r)
		if err != nil || a.Matches != c.matches || a.Clean() != (c.matches != "") {
			t.Errorf("%+v: %q, clean %v, %v", c, a.Matches, a.Clean(), err)
		}
	}
	empty, err := record.Decode("papers/x.json", []byte(`{"kind": "paper"}`))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := AlonePaper("scan.jpg", record.Digest(digestOf("full")), 4, "x.json", empty); err == nil {
		t.Error("a paper without any digest says something")
	}
}

func TestADossierAloneNeverHoldsAndSaysWhatItCarries(t *testing.T) {
	text := "{\n  \"kind\": \"key\",\n  \"public\": \"" + signerOf("ines").Public().String() + "\"\n}\n"
	records := `{"edition": "1", "commit": "` + digestOf("x")[:40] + `", "records": [
		{"path": "people/tallow-lane/ines/key-1.json", "digest": "` + digestOf(text) + `", "record": ` + text + `},
		{"path": "parts/horn.json", "digest": "` + digestOf("another") + `", "record": {"kind": "part"}}]}`
	k, err := ReadKeepsake([]byte(records))
	if err != nil {
		t.Fatal(err)
	}
	a := AloneKept("d.json", "", []byte(records), k, Pins{Keys: []string{fingerprint("ines")}}, attest.Roots{})
	if a.Clean() || a.Inside != 1 || !slices.Equal(a.Altered, []string{"parts/horn.json"}) || !slices.Equal(a.Fingerprints, []string{fingerprint("ines")}) {
		t.Errorf("%+v", a)
	}
	page := "<p>Records as of commit <code>" + digestOf("x")[:40] + "</code>, signed with " + fingerprint("ines") + "</p>"
	if k, err = ReadKeepsake([]byte(page)); err != nil {
		t.Fatal(err)
	}
	if a := AloneKept("d.html", "", []byte(page), k, Pins{Keys: []string{fingerprint("ines")}}, attest.Roots{}); a.Clean() || len(a.Fingerprints) != 1 {
		t.Errorf("%+v", a)
	}
}
