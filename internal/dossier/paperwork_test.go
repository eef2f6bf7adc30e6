package dossier_test

import (
	"fmt"
	"io/fs"
	"strings"
	"testing"

	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/replay"
	"boltback/internal/requirement"
	"boltback/records"
)

// papersFor makes the papers of a car of the sample.
func papersFor(t *testing.T, car, name string) *doc.Document {
	t.Helper()
	fsys, err := fs.Sub(records.Sample(), "cars/"+car)
	if err != nil {
		t.Fatal(err)
	}
	s, err := ledger.Load(fsys)
	if err != nil {
		t.Fatal(err)
	}
	day := edtf.NewDay(2026, 6, 20)
	set, err := requirement.NewLibrary(records.Requirements(), s, day).Load(name)
	if err != nil {
		t.Fatal(err)
	}
	work := replay.Of(s)
	return dossier.Paperwork(dossier.Input{Snapshot: s, Work: work, Day: day}, requirement.Assess(set, requirement.Of(work, day)))
}

func TestPapersHoldWhatTheRecordsCarryAndBlanksForTheRest(t *testing.T) {
	d := papersFor(t, "tern-1500", "us-virginia")
	if err := doc.Check(d); err != nil {
		t.Fatal(err)
	}
	var words strings.Builder
	for _, s := range d.Sections {
		words.WriteString(wordsOf(t, s))
	}
	for _, want := range []string{"it is not part of these papers", "BW35-004417", "Invoice for motor, inverter and small units", "moves under own power: in order", "*TK 40317 R*",
		"declares nothing", "A1", "the car was not examined"} {
		if !strings.Contains(words.String(), want) {
			t.Errorf("%q is not in the papers", want)
		}
	}
	for _, mark := range []string{"SM12-771204"} {
		if strings.Count(words.String(), mark) != 1 {
			t.Errorf("%s stands %d times", mark, strings.Count(words.String(), mark))
		}
	}
}

func TestPapersStandInTheAuthoritysOrderAndNameTheSetOnEveryPage(t *testing.T) {
	d := papersFor(t, "tern-1500", "au-nsw")
	cover := wordsOf(t, d.Sections[0])
	own, base := strings.Index(cover, "Label on the front plate"), strings.Index(cover, "Isolation of the joined circuit")
	if own < 0 || base < 0 || own > base {
		t.Errorf("the set's own items stand at %d, those it builds on at %d", own, base)
	}
	if !strings.HasSuffix(d.Title, ": au-nsw, edition 2026-11") {
		t.Errorf("the head of every page is %q", d.Title)
	}
	matrices := 0
	if err := doc.Walk(d.Blocks(), func(b doc.Block, _ int) error {
		if _, ok := b.(*doc.Matrix); ok {
			matrices++
		}
		return nil
	}); err != nil || matrices != 1 {
		t.Errorf("%d comparisons of the numbers, %v", matrices, err)
	}
}

// rowsOf gives the rows of the table whose caption begins so, cell by cell, its head first.
func rowsOf(t *testing.T, d *doc.Document, name string) (rows [][]string) {
	t.Helper()
	found := false
	if err := doc.Walk(d.Blocks(), func(b doc.Block, _ int) error {
		table, ok := b.(*doc.Table)
		if !ok || !strings.HasPrefix(table.Caption, name) {
			return nil
		}
		found = true
		head := []string{}
		for _, c := range table.Columns {
			head = append(head, c.Header)
		}
		rows = append(rows, head)
		for _, g := range table.Groups {
			for _, r := range g.Rows {
				var cells []string
				for _, c := range r.Cells {
					cells = append(cells, c.Text.String())
				}
				rows = append(rows, cells)
			}
		}
		return nil
	}); err != nil || !found {
		t.Fatalf("no table %q, %v", name, err)
	}
	return rows
}

// rowWith finds the row that has a word in its cell of that place.
func rowWith(t *testing.T, rows [][]string, at int, word string) []string {
	t.Helper()
	for _, r := range rows[1:] {
		if strings.Contains(r[at], word) {
			return r
		}
	}
	t.Fatalf("no row says %q in column %q", word, rows[0][at])
	return nil
}

func TestComponentsStandWithSerialNumberAndReceipt(t *testing.T) {
	rows := rowsOf(t, papersFor(t, "tern-1500", "us-virginia"), "Components of the conversion")
	if motor := rowWith(t, rows, 0, "Traction motor"); motor[1] != "Brackwater Electric" || motor[2] != "BW35-004417" || motor[3] != "Invoice for motor, inverter and small units" {
		t.Errorf("%q", motor)
	}
	if straps := rowWith(t, rows, 0, "Bonding straps"); straps[2] != "not stated" || straps[3] != "none on record" {
		t.Errorf("%q", straps)
	}
	for _, r := range rows {
		if strings.Contains(r[0], "Gearbox") || strings.Contains(r[0], "Fuel tank") {
			t.Errorf("a part that was found on the car, or is off it, is no component: %q", r)
		}
	}
}

func TestEveryNumberIsOnTheIdentitySheetOnceAndComparedWithItsLikes(t *testing.T) {
	d := papersFor(t, "tern-1500", "us-virginia")
	rows := rowsOf(t, d, "Each number as it was read")
	seen := map[string]int{}
	for _, r := range rows[1:] {
		seen[r[0]+" "+r[1]]++
	}
	// the stamping, the plate, the registration, the archive and the test certificate; a paper that somebody read says it once
	for number, times := range map[string]int{"chassis *TK 40317 R*": 2, "chassis TK 40317 R": 1, "chassis TK40317R": 2, "body B 40096": 2, "engine TE15/22864H": 2, "registration QTL 318E": 2, "gearbox G4 11907": 1} {
		if seen[number] != times {
			t.Errorf("%s stands %d times, not %d", number, seen[number], times)
		}
	}
	for _, r := range rows[1:] {
		if r[0] == "serial" {
			t.Errorf("a serial number stands with the components: %q", r)
		}
	}
	// a number that differs from its likes is told apart
	trouble := papersFor(t, "courser", "us-california")
	var words string
	for _, s := range trouble.Sections {
		if s.ID == "identity-sheet" {
			words = wordsOf(t, s)
		}
	}
	if !strings.Contains(words, "OC6 204471") || !strings.Contains(words, "OC6 204417") || !strings.Contains(words, "near miss") {
		t.Errorf("the two engine numbers are not held against each other:\n%s", words)
	}
}

func TestDeclarationsHaveVisibleBlanksForEachWhoMustSign(t *testing.T) {
	d := papersFor(t, "tern-1500", "us-virginia")
	cover := rowsOf(t, d, "Items in your order")
	for _, judge := range []string{"Competent person, for item 8 of the cover sheet", "Inspector, for items 1 to 7 and 9 of the cover sheet"} {
		rows := rowsOf(t, d, judge)
		var blanks []string
		for _, r := range rows[1:] {
			if blanks = append(blanks, r[0]); strings.Trim(r[1], "_") != "" || len(r[1]) < 20 {
				t.Errorf("%s: %s is no blank: %q", judge, r[0], r[1])
			}
		}
		if got := strings.Join(blanks, "; "); got != "Declares; Name; Authority, number; Day, signature" {
			t.Errorf("%s finds blanks for %s", judge, got)
		}
	}
	if eight := cover[8]; eight[0] != "8" || eight[1] != "Federal equipment left working" {
		t.Errorf("the eighth item is %q", eight)
	}
}

func TestPhotosAreListedByItemAndAnnexesByTheItemsTheyAreFor(t *testing.T) {
	d := papersFor(t, "tern-1500", "us-virginia")
	photos, annexes := rowsOf(t, d, "Photos by item"), rowsOf(t, d, "Annexes to put behind these papers")
	tank := rowWith(t, photos, 1, "Fuel tank removed")
	if tank[0] != "2" || tank[2] == "" {
		t.Fatalf("%q", tank)
	}
	for _, mark := range strings.Split(tank[2], ", ") {
		if a := rowWith(t, annexes, 0, mark); a[2] != "photo" || !strings.Contains(a[3], "2") {
			t.Errorf("%s is a photo for item 2: %q", mark, a)
		}
	}
	if invoice := rowWith(t, annexes, 1, "Invoice"); invoice[2] != "invoice" || invoice[4] != "green folder, office" {
		t.Errorf("%q", invoice)
	}
	for i, a := range annexes[1:] {
		if a[0] != fmt.Sprintf("A%d", i+1) || a[3] == "" {
			t.Errorf("annex %d is %q", i+1, a)
		}
	}
	for _, r := range rowsOf(t, d, "Items in your order")[1:] {
		for _, mark := range strings.Split(r[3], ", ") {
			if mark != "none on record" && !strings.Contains(rowWith(t, annexes, 0, mark)[3], r[0]) {
				t.Errorf("item %s names annex %s, which is for %q", r[0], mark, rowWith(t, annexes, 0, mark)[3])
			}
		}
	}
}

func TestTestsMassesAlterationsAndSurveysHaveTheirSheets(t *testing.T) {
	d := papersFor(t, "tern-1500", "au-nsw")
	if whole := rowWith(t, rowsOf(t, d, "Tests"), 0, "Insulation of the whole circuit"); !strings.Contains(whole[1], "2026-05-08") || !strings.Contains(whole[2], "34.7 MΩ") {
		t.Errorf("%q", whole)
	}
	if lane := rowWith(t, rowsOf(t, d, "Masses"), 0, "Axle weights"); !strings.Contains(lane[2], "469 kg") {
		t.Errorf("%q", lane)
	}
	if len(rowsOf(t, d, "Alterations on record")) != 2 || len(rowsOf(t, d, "Features seen before the work")) != 15 {
		t.Error("one alteration and fourteen features are on record")
	}
	if surveys := rowsOf(t, d, "Hole surveys"); len(surveys) != 5 || rowWith(t, surveys, 1, "Edda Thackwell")[2] == "0" {
		t.Errorf("%q", surveys)
	}
	if d.Sheets != 8 {
		t.Errorf("the papers may fill %d sheets", d.Sheets)
	}
}

func TestPapersOfACarWithoutEvidenceClaimNothing(t *testing.T) {
	d := papersFor(t, "sesta-700", "us-virginia")
	if err := doc.Check(d); err != nil {
		t.Fatal(err)
	}
	for _, s := range d.Sections {
		if words := wordsOf(t, s); strings.Contains(words, "moves under own power: in order") {
			t.Errorf("a check that nobody made stands in the papers:\n%s", words)
		}
	}
}
