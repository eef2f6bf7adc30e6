package dossier

import (
	"fmt"
	"slices"
	"strings"

	"boltback/internal/doc"
	"boltback/internal/identity"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// The answers to the questions of readers. Each is a sentence that is computed, with the chapters it rests on; where the
// records hold nothing, it says what record would help.

func (b *book) aboutIdentity() answer {
	var claims []identity.Claim
	for _, n := range b.numbersRead() {
		if slices.Contains(compared, n.Kind) {
			claims = append(claims, n.Claim)
		}
	}
	a := answer{chapters: []string{"identity"}, wants: "the chassis number as it was read on the car, and as it stands in a paper"}
	var words []string
	for _, m := range identity.Matrix(claims) {
		words = append(words, m.Sentence())
	}
	if len(words) > 0 {
		a.short = doc.Say("{}.", capital(strings.Join(words, "; ")))
	}
	return a
}

func (b *book) aboutKeepers() answer {
	a := answer{chapters: []string{"keepers"}, wants: "a record of each change of keeper"}
	list := b.transfersInOrder()
	gaps := 0
	for i := 1; i < len(list); i++ {
		if _, gap := b.gapBetween(list[i-1], list[i]); gap {
			gaps++
		}
	}
	if len(list) > 0 {
		a.short = doc.Say("{} on record, with {} between them. Who had the car before the first, the records do not say.", changesOfKeeper(len(list)), count(gaps, "gap"))
	}
	return a
}

func changesOfKeeper(n int) string {
	if n == 1 {
		return "1 change of keeper"
	}
	return fmt.Sprintf("%d changes of keeper", n)
}

func (b *book) aboutChanges() answer {
	altered := len(b.alterationLines())
	fitted, off := 0, 0
	for _, p := range b.parts() {
		switch {
		case b.found(p) && p.at.location != onCar && p.at.location != neverMoved:
			off++
		case !b.found(p) && p.at.location == onCar:
			fitted++
		}
	}
	return answer{
		short: doc.Say("On record: {} fitted that the car did not have, {} of its own off it, {} to its material. What nobody wrote down is not counted.",
			count(fitted, "part"), count(off, "part"), count(altered, "alteration")),
		chapters: []string{"before-and-as-built", "alterations", "parts-fitted"},
	}
}

func (b *book) aboutWayBack() answer {
	a := answer{chapters: []string{"way-back"}, wants: "a reversal statement, which the verb reversal makes"}
	if st := b.in.Reversal; st != nil {
		a.short = doc.Say("{}, back to “{}”. Whether the law lets it be put back, the records do not say.", capital(st.Outcome.String()), st.Baseline)
		a.chapters = []string{"way-back"}
	}
	return a
}

func (b *book) aboutStoredParts() answer {
	a := answer{chapters: []string{"parts-off"}, wants: "the removal of each part, and where it went"}
	kept, lost, gone := 0, 0, 0
	for _, p := range b.parts() {
		switch {
		case !b.found(p) || p.at.location == onCar || p.at.location == neverMoved:
		case b.missing(p):
			lost++
		case p.at.location == becameOther || p.at.location == leftForGood:
			gone++
		default:
			kept++
		}
	}
	if kept+lost+gone > 0 {
		a.short = doc.Say("Of the car's own parts {} have a stated place off the car, of {} the place is not known, {} left for good. Which of them come with the car is what a receipt at the handover says.", kept, lost, gone)
	}
	return a
}

func (b *book) aboutItsEngine() answer {
	a := answer{wants: "the engine's number as it was read before it came out, a photo of it where it is kept, and an archive certificate that names it"}
	t := doc.NewTable("Engines that were found in the car, and what identifies them", doc.Col("Engine", 4), doc.Col("Number as read", 5), doc.Col("Photos that show it", 5), doc.Col("Where it is", 4))
	for _, p := range b.inRole("engine") {
		if b.found(p) && len(p.Body.Numbers) > 0 {
			t.Row(b.partCell(p), b.numbersCell(p), orMissing(b.names(b.shownIn(p.ID))), b.whereCell(p.at, p.Body.Position))
		}
	}
	if t.Rows() > 0 {
		a.short = doc.Say("{} with a number on record. That the engine in the store bears it has to be seen there; how the readings and certificates agree stands with the numbers of the car.", count(t.Rows(), "engine"))
		a.blocks = []doc.Block{t}
		a.chapters = []string{"identity"}
	}
	return a
}

func (b *book) aboutCertificates() answer {
	a := answer{wants: "the registration paper and the certificate that were issued after the conversion"}
	t, n := b.paperTable("Certificates and registration papers", "certificate", "registration", "title")
	if n > 0 {
		a.short = doc.Say("{} on record. What a register holds today has to be asked of the authority that keeps it.", count(n, "certificate or registration paper"))
		a.blocks, a.chapters = []doc.Block{t}, []string{"stale"}
	}
	return a
}

func (b *book) aboutDrawings() answer {
	a := answer{wants: "drawings with their revision, settings of the units, and the makers of the added parts"}
	t, n := b.paperTable("Drawings, manuals and instructions", "drawing", "manual", "supplier instruction")
	settings := len(ledger.All[record.Setting](b.s))
	if n+settings == 0 {
		return a
	}
	a.short = doc.Say("{} and {} of units on record; the makers of the added parts stand with the parts on the car.", count(n, "drawing, manual or instruction"), count(settings, "setting"))
	if n > 0 {
		a.blocks = []doc.Block{t}
	}
	a.chapters = []string{"settings", "parts-fitted"}
	return a
}

func (b *book) aboutWording() answer {
	a := answer{wants: "records that carry a sentence, such as hole surveys of a zone before and after", chapters: []string{"wording"}}
	supported := 0
	for _, p := range b.in.Wording {
		if p.Standing == "supported" {
			supported++
		}
	}
	if len(b.in.Wording) > 0 {
		a.short = doc.Say("{} of {} are supported by the records and may be said as they stand, with their day.", supported, count(len(b.in.Wording), "sentence"))
	}
	return a
}
