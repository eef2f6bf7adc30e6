package dossier

import (
	"slices"
	"strings"

	"boltback/internal/doc"
	"boltback/internal/finding"
	"boltback/internal/identity"
	"boltback/internal/replay"
	"boltback/internal/reversal"
)

// sheetBook is the car opened for the sheet of first responders: what is on it on the day.
type sheetBook struct {
	*book
	work  *replay.Work
	state *replay.State
	spots []reversal.Spot
}

// responderSheet is one page for the fire service, in the order of ISO 17840: where what is and what to do about it, as far as
// recorded. It calls itself valid only where its records are there and nothing has touched what they describe.
func (b *book) responderSheet() *doc.Document {
	work := b.in.Work
	if work == nil {
		work = replay.Of(b.s)
	}
	r := sheetBook{book: b, work: work, state: work.On(b.in.Day)}
	r.spots = reversal.PlanView(work, r.state)
	picture := reversal.RescuePicture(r.spots, b.car.Wheelbase)
	section := doc.NewSection("sheet", "What is where, and what to do", r.validity(),
		&doc.Figure{ID: picture.ID, Alt: picture.Alt, Drawing: picture.Drawing}, r.table(),
		doc.Para("{} The fire service's own rules go before everything on this sheet.", doc.Strong(local)))
	return &doc.Document{
		Title: b.title(), Subtitle: b.in.Reader.subtitle(), Language: "en", Sheets: 1,
		Provenance: b.provenance(), Sections: oneLined(section),
	}
}

// validity says whether the sheet may be relied on as far as records go, and if not why not.
func (r sheetBook) validity() doc.Block {
	if doubts := slices.Concat(r.unfinished(), r.lacking(), r.staleFacets()); len(doubts) > 0 {
		return &doc.Caution{Kind: "this sheet is NOT VALID", Text: doc.Say("Why: {}", joinTexts(doubts, "; ")).And(". What it says may be wrong or missing: treat everything as live.")}
	}
	return doc.Lead("{} for {}, until the next change to {}. It rests on records alone; the car was not examined.", doc.Strong("Valid"), r.today(), facetWords())
}

// facetWords names what the sheet describes.
func facetWords() string {
	var words []string
	for _, f := range replay.SheetFacets() {
		words = append(words, string(f))
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}

// unfinished are records that nobody can read yet: they may say that something moved.
func (r sheetBook) unfinished() []doc.Text {
	var list []doc.Text
	faults := 0
	for _, f := range r.in.Findings {
		if f.Severity == finding.Error {
			faults++
		}
	}
	if faults > 0 {
		list = append(list, doc.Say("the records have {}", count(faults, "error")))
	}
	if r.in.Inbox > 0 {
		list = append(list, doc.Say("{} saved and not complete", count(r.in.Inbox, "entry")))
	}
	return list
}

// lacking are the records without which a first responder is not served.
func (r sheetBook) lacking() []doc.Text {
	var list []doc.Text
	lack := func(lacks bool, what string) {
		if lacks {
			list = append(list, doc.Say("{}", what))
		}
	}
	lack(len(r.numbersOf(identity.Chassis)) == 0, "no chassis number is on record")
	batteries := r.aboard("traction battery")
	lack(len(batteries) == 0, "no traction battery is on record as on the car")
	lack(r.anywhere("traction battery"), "the place of a traction battery is not recorded")
	lack(len(batteries) > 0 && r.energy(batteries) == nil, "the energy of the battery is not recorded")
	lack(slices.ContainsFunc(batteries, noCells), "what cells the battery has is not recorded")
	lack(len(r.aboard("service disconnect", "master switch")) == 0, "no service disconnect or master switch is on record as on the car")
	lack(r.anywhere("service disconnect", "master switch"), "the place of a disconnect is not recorded")
	lack(len(r.aboard("traction cable")) == 0, "no traction cable is on record as on the car")
	lack(len(r.aboard("auxiliary battery")) == 0, "no 12 V battery is on record as on the car")
	lack(r.unsettled(), "where a part of the traction circuit is, the records leave open")
	return list
}

// staleFacets are the sides of the car that nothing on record still describes. One description that holds is enough.
func (r sheetBook) staleFacets() []doc.Text {
	descriptions := replay.Staleness(r.work, r.in.Day)
	var list []doc.Text
	for _, f := range replay.SheetFacets() {
		var best *replay.Facing
		for _, d := range descriptions {
			for i := range d.Facets {
				if g := &d.Facets[i]; g.Facet == f && (best == nil || g.Fresh <= best.Fresh) {
					best = g
				}
			}
		}
		switch {
		case best != nil && best.Fresh != replay.StillGood:
			list = append(list, doc.Say("{}", best.Text).From(r.touches(best.Touches)...))
		case best == nil && (f == replay.TractionCircuit || f == replay.Distribution):
			list = append(list, doc.Say("{}: no reading, sign-off or certificate describes it", string(f)))
		}
	}
	return list
}
