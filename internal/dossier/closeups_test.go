package dossier_test

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"boltback/internal/canon"
	"boltback/internal/doc"
	"boltback/internal/dossier"
)

// photographed is a car whose numbers were read from photos, before and after the work; one photo is not here.
func photographed(t *testing.T) dossier.Input {
	photo := func(caption, digest string) string {
		return `{"kind":"paper","class":"photo","caption":"` + caption + `","by":"people/x/y","claimed":"2026-02-02","preview":{"digest":"` + digest + `","bytes":20,"type":"image/jpeg"}}`
	}
	work := func(day, act string) string {
		return `{"kind":"session","by":"people/x/y","started":"` + day + `","lines":[{"act":"` + act + `","parts":["parts/engine"]}]}`
	}
	here := canon.Digest(preview)
	return input(load(t, carOf(map[string]string{
		"car.json": `{"kind":"car","numbers":[
			{"what":"chassis","raw":"*OW 20713*","where":"stamping","on":"2026-06-01","paper":"papers/leg-as-built"},
			{"what":"chassis","raw":"*OW 20713*","where":"stamping","on":"2026-02-02","paper":"papers/leg-as-found"},
			{"what":"chassis","raw":"OW 20713","where":"plate","on":"2026-03-05","paper":"papers/plate"},
			{"what":"engine","raw":"OE 5518","where":"title","on":"2026-02-02","paper":"papers/title"},
			{"what":"serial","raw":"771","where":"label","paper":"papers/plate"}]}`,
		"papers/leg-as-found.json":    photo("Chassis leg as found", here),
		"papers/leg-as-built.json":    photo("Chassis leg as built", here),
		"papers/plate.json":           photo("Plate", strings.Repeat("0", 64)),
		"papers/title.json":           `{"kind":"paper","class":"title","caption":"Title"}`,
		"work/2026-02-10-y-look.json": work("2026-02-01", "sighting"),
		"work/2026-02-10-y-off.json":  work("2026-02-10", "removal"),
		"work/2026-05-01-y-on.json":   work("2026-05-01", "fitting"),
	})))
}

func TestEachNumberComparedIsShownAsItWasPhotographedAsFoundBesideAsBuilt(t *testing.T) {
	var sheet *doc.PhotoSheet
	_ = doc.Walk(dossier.Build(photographed(t)).Blocks(), func(b doc.Block, _ int) error {
		if s, ok := b.(*doc.PhotoSheet); ok && strings.HasPrefix(s.Caption, "Close-ups") {
			sheet = s
		}
		return nil
	})
	if sheet == nil || len(sheet.Photos) != 3 {
		t.Fatalf("%+v", sheet)
	}
	var got []string
	for _, p := range sheet.Photos {
		got = append(got, p.Caption.String()+" | "+p.Absent)
	}
	want := []string{
		"Chassis leg as found. On it: chassis number *OW 20713* [car.json:3]; read 2026-02-02, as found: before the first work on record | ",
		"Plate. On it: chassis number OW 20713 [car.json:4]; read 2026-03-05, after work began | not here",
		"Chassis leg as built. On it: chassis number *OW 20713* [car.json:2]; read 2026-06-01, as built: after the last work on record | ",
	}
	for i := range want {
		want[i] = strings.NewReplacer("[", "", "]", "").Replace(want[i])
	}
	if !slices.Equal(got, want) {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	if !bytes.Equal(sheet.Photos[0].Image, preview) {
		t.Error("the picture is another")
	}
	if want := "Chassis leg as found, on which was read the chassis number *OW 20713*"; sheet.Photos[0].Alt != want {
		t.Errorf("in words %q, not %q", sheet.Photos[0].Alt, want)
	}
}

func TestANumberWithoutAPictureIsNamed(t *testing.T) {
	wantAll(t, section(t, photographed(t), "identity"), "No picture is on record of: engine number OE 5518 (title) [car.json:5].",
		"No reading of a day after the last work is on record of: engine number.")
	none := input(load(t, carOf(map[string]string{"car.json": `{"kind":"car","numbers":[{"what":"plate","raw":"7","where":"plate"},{"what":"plate","raw":"7.","where":"plate"}]}`})))
	wantAll(t, section(t, none, "identity"), "No picture is on record of: plate number 7 (plate) [car.json:1].")
}
