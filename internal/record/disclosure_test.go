package record_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"strings"
	"testing"

	"boltback/internal/record"
)

const ledgerID = "00112233445566778899aabbccddeeff"

func price() record.Disclosure {
	return record.Disclosure{Salt: strings.Repeat("5a", 16), Ledger: ledgerID, Path: "transfers/2024-06-03-bought.json", Pointer: "/price", Value: "9,400 in <invented> money"}
}

func encoded(t testing.TB, d record.Disclosure) []byte {
	t.Helper()
	file, err := d.Encode()
	if err != nil {
		t.Fatal(err)
	}
	return file
}

func TestTheDigestIsWhatSha256sumPrintsOfTheFile(t *testing.T) {
	file := encoded(t, price())
	sum := sha256.Sum256(file)
	if got := record.DigestOf(file); string(got) != hex.EncodeToString(sum[:]) || !record.IsDigest(string(got)) {
		t.Errorf("got %s", got)
	}
}

func TestADisclosureBelongsToOneFieldOfOneRecordOfOneLedger(t *testing.T) {
	d := price()
	file := encoded(t, d)
	seal := record.DigestOf(file)
	if value, err := seal.Open(file, ledgerID, "/price", "transfers/other.json", d.Path); err != nil || value != d.Value {
		t.Errorf("got %q, %v", value, err)
	}
	for _, c := range []struct {
		name                  string
		seal                  record.Sealed
		ledger, pointer, path string
		want                  error
	}{
		{"another digest", record.Sealed(strings.Repeat("0", 64)), ledgerID, "/price", d.Path, record.ErrOtherDigest},
		{"another ledger", seal, strings.Repeat("0", 32), "/price", d.Path, record.ErrOtherLedger},
		{"no ledger id", seal, "", "/price", d.Path, record.ErrOtherLedger},
		{"another record", seal, ledgerID, "/price", "transfers/2024-06-03-sold.json", record.ErrOtherRecord},
		{"another member", seal, ledgerID, "/from/name", d.Path, record.ErrOtherPointer},
	} {
		if value, err := c.seal.Open(file, c.ledger, c.pointer, c.path); !errors.Is(err, c.want) || value != "" {
			t.Errorf("%s: got %q, %v, want %v", c.name, value, err, c.want)
		}
	}
}

func TestAPersonsValuesAreSealedForTheWorkshopThatKeepsThem(t *testing.T) {
	for path, want := range map[string]string{
		"people/tallow-lane/ines-okafor/person.json": "tallow-lane", "parts/tank.json": ledgerID, "car.json": ledgerID,
	} {
		if got := record.SealedFor(ledgerID, path); got != want {
			t.Errorf("%s is sealed for %s, want %s", path, got, want)
		}
	}
}

func TestErrorsOfADisclosureNeverRepeatItsText(t *testing.T) {
	for _, src := range []string{`["SECRETVALUE`, `["a", SECRETVALUE]`, `{"SECRETVALUE": 1, "SECRETVALUE": 2}`, `["SECRETVALUE", "", "", "", ""]`,
		`["00", "", "", "", {"SECRETVALUE": 1}]`, "[\"\xffSECRETVALUE\"]", `["SECRETVALUE"]`} {
		_, err := record.ParseDisclosure([]byte(src))
		if err == nil {
			t.Errorf("%s was taken", src)
		} else if strings.Contains(err.Error(), "SECRET") {
			t.Errorf("%s: %v", src, err)
		}
	}
}

func TestAnyFlippedBitOfADisclosureOpensNothing(t *testing.T) {
	d := price()
	file := encoded(t, d)
	seal := record.DigestOf(file)
	for i := range len(file) * 8 {
		flipped := bytes.Clone(file)
		flipped[i/8] ^= 1 << (i % 8)
		if value, err := seal.Open(flipped, ledgerID, d.Pointer, d.Path); err == nil {
			t.Errorf("with bit %d of byte %d flipped it opens to %q", i%8, i/8, value)
		}
	}
}

func FuzzParseDisclosure(f *testing.F) {
	file, _ := price().Encode()
	f.Add(file)
	f.Add([]byte(`["", "", "", "", 1]`))
	f.Add([]byte(`[[[[`))
	f.Fuzz(func(t *testing.T, src []byte) {
		d, err := record.ParseDisclosure(src)
		if err != nil {
			return
		}
		again, err := record.ParseDisclosure(encoded(t, d))
		if err != nil || again != d {
			t.Errorf("%+v became %+v, %v", d, again, err)
		}
	})
}
