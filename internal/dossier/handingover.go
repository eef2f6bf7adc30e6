package dossier

import (
	"slices"

	"boltback/internal/doc"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
)

// Handing is what goes from one keeper to the next with a car, and what stays behind.
type Handing struct {
	// Car is the car's handle, To who gets it, in the words of whoever hands it over.
	Car, To string
	// Copy says that the keeping of the records stays where it is.
	Copy            bool
	Work            *replay.Work
	Commit, Program string
	Day             replay.Day
	Due             []replay.Due
	DueDays         int
	// Given are the private values that go along, Withheld those of which the digest alone goes.
	Given, Withheld []PrivateValue
	Originals       []OriginalFile
	// Barred is what requirement sets say against handing over parts off the car that may hold asbestos; Silent are the sets
	// that were asked and say nothing of it.
	Barred, Silent []string
	// Signed says that the last commit bears a signature, SomeSigned that any does; Keyed are the sign-offs that were made
	// with a key.
	Signed, SomeSigned bool
	Keyed              []KeyedSignOff
}

// PrivateValue is a member of a record in whose place a digest stands.
type PrivateValue struct {
	Record  record.Ref
	Pointer string
	Digest  record.Sealed
}

// OriginalFile is the photo or document behind a paper, and what becomes of it.
type OriginalFile struct {
	Paper  record.Ref
	Digest record.Digest
	Goes   string // GoesAlong, StaysBehind or NotHere
}

// What becomes of an original.
const (
	GoesAlong   = "goes along"
	StaysBehind = "withheld"
	NotHere     = "not here"
)

// KeyedSignOff is a sign-off with its signature file and the name of its signer among the allowed ones.
type KeyedSignOff struct{ Path, Signature, Signer string }

// HandoverPaper is the paper that giver and taker go through together: what is received, what is open, what stays behind, and
// room for two names.
func HandoverPaper(h Handing) *doc.Document {
	b := stateBook{open(Input{Snapshot: h.Work.Snapshot(), Commit: h.Commit, Day: h.Day, Program: h.Program}), h.Work, h.Work.On(h.Day)}
	open := []*doc.Section{b.openConcerns(), Due(h.Work, h.Due, h.Day, h.DueDays, h.Car), Stale(h.Work, h.Day), b.notHandedOver(h)}
	sections := slices.Concat([]*doc.Section{b.handingWhat(h), b.receiptOfParts(h), b.codes(), b.settings()}, open, []*doc.Section{b.receiptNames(h)})
	subtitle := "Handover of the car and its records"
	if h.Copy {
		sections, subtitle = append([]*doc.Section{b.handingWhat(h)}, open...), "A copy of the car's records"
	}
	return &doc.Document{
		Title: b.title(), Subtitle: subtitle, Language: "en", Contents: 1,
		Provenance: b.provenance(), Sections: oneLined(append(sections, b.cautions())...),
	}
}

func (b stateBook) handingWhat(h Handing) *doc.Section {
	along := 0
	for _, o := range h.Originals {
		if o.Goes == GoesAlong {
			along++
		}
	}
	title, lead := "What is handed over", "The records of {}, with their whole history, go to {}. {}"
	stays := "A copy of the records stays with whoever hands them over, and is marked: what comes into it later is no part of the car's history. Who owns the car this paper does not settle."
	if h.Copy {
		title, lead = "What this copy holds", "This is a copy of the records of {}, with their whole history, for {}. {}"
		stays = "The records go on where this copy comes from; a later copy brings it up to date. Neither the car nor a part of it changes hands by it."
	}
	return doc.NewSection("handed-over", title,
		doc.Lead(lead, b.title(), h.To, doc.NotExamined),
		doc.FactsOf(
			doc.Is("Records", "as of commit {}", doc.Literal(h.Commit)),
			doc.Is("Photos and documents", "{}", count(along, "original")),
			doc.Is("Private values disclosed", "{}", count(len(h.Given), "value")),
			doc.Is("Private values withheld", "{}", count(len(h.Withheld), "value")),
		),
		doc.Para(stays))
}

// receiptOfParts lists what is off the car, to be ticked off, and apart what may not change hands, or not before somebody asked.
func (b stateBook) receiptOfParts(h Handing) *doc.Section {
	s := doc.NewSection("receipt-parts", "Receipt for parts off the car",
		doc.Para("Each is to be looked at, with its tag, when it is handed over. What is not ticked was not handed over."))
	t := doc.NewTable("Parts in store or with somebody", doc.Col("Tag", 2), doc.Col("Part", 5), doc.Col("Where, by the records", 5), doc.Col("Last seen", 4), doc.Col("Received", 2))
	caption := "Not to be handed over before the law was asked"
	if len(h.Barred) > 0 {
		caption = "Struck from the receipt"
	}
	aside := doc.NewTable(caption, doc.Col("Tag", 2), doc.Col("Part", 5), doc.Col("Where, by the records", 5), doc.Col("Why", 3))
	for _, p := range b.offTheCar() {
		tag := stated("")
		info, known := b.work.Part(p.Ref)
		if known {
			tag = stated(info.Body.Tag)
		}
		if b.mayHoldAsbestos(p.Ref, deepestAssembly) {
			aside.Row(tag, b.withWhatIsInIt(p.Ref), b.where(p.Where), "may hold asbestos")
			continue
		}
		t.Row(tag, b.withWhatIsInIt(p.Ref), b.where(p.Where), b.lastSeen(p), "")
	}
	if t.Rows() == 0 {
		s.Add(doc.Para("By the records no part that may change hands without more ado is in a store or with somebody."))
	} else {
		s.Add(t)
	}
	if aside.Rows() > 0 {
		s.Add(aside)
		s.Add(whyAside(h)...)
	}
	return s
}

// whyAside gives the reason and its source for what is kept off a receipt.
func whyAside(h Handing) []doc.Block {
	var why []doc.Block
	for _, sentence := range h.Barred {
		why = append(why, doc.Para("{}", sentence))
	}
	if len(h.Barred)+len(h.Silent) == 0 {
		why = append(why, doc.Para("Nobody said where the car goes, so that no law was asked. In many places parts with asbestos may be given or sold to nobody, used ones too."))
	}
	for _, set := range h.Silent {
		why = append(why, doc.Para("{} says nothing of such parts here, which allows nothing: ask the authority before they change hands.", set))
	}
	return append(why, doc.Warn("asbestos", "They stay sealed where they are until somebody licensed takes them away; local law decides."))
}

// offTheCar are the parts that are in a store or with somebody, but for those inside others.
func (b stateBook) offTheCar() (list []replay.PartState) {
	for _, p := range b.state.Parts() {
		if (p.Where.Place == replay.InStore || p.Where.Place == replay.WithSomeone) && p.Inside == "" {
			list = append(list, p)
		}
	}
	return list
}

// withWhatIsInIt names a part and those inside it, which go where it goes.
func (b stateBook) withWhatIsInIt(part record.Ref) doc.Text {
	var inside []record.Ref
	for _, p := range b.state.Parts() {
		if p.Inside == part {
			inside = append(inside, p.Ref)
		}
	}
	if len(inside) == 0 {
		return b.name(part)
	}
	return b.name(part).And("; in it: {}", b.names(inside))
}

// MayHoldAsbestos are the parts off the car that are kept off the receipt.
func (h Handing) MayHoldAsbestos() (list []record.Ref) {
	b := stateBook{open(Input{Snapshot: h.Work.Snapshot(), Day: h.Day}), h.Work, h.Work.On(h.Day)}
	for _, p := range b.offTheCar() {
		if b.mayHoldAsbestos(p.Ref, deepestAssembly) {
			list = append(list, p.Ref)
		}
	}
	return list
}

// deepestAssembly is how many assemblies inside each other are looked into; records that hold each other have no end.
const deepestAssembly = 8

// mayHoldAsbestos says it of a part, or of one inside it, since that goes where it goes.
func (b stateBook) mayHoldAsbestos(part record.Ref, deep int) bool {
	if info, known := b.work.Part(part); known && slices.Contains(info.Body.Hazards, "asbestos") {
		return true
	}
	return deep > 0 && slices.ContainsFunc(b.state.Parts(), func(p replay.PartState) bool { return p.Inside == part && b.mayHoldAsbestos(p.Ref, deep-1) })
}

// openConcerns lists the concerns that nobody has put right.
func (b stateBook) openConcerns() *doc.Section {
	s := doc.NewSection("open-concerns", "Concerns that are open")
	t := doc.NewTable("Open", doc.Col("State", 3), doc.Col("Concern", 6), doc.Col("Cause", 4), doc.Col("Rectified", 5), doc.Col("Rechecked", 4))
	for _, c := range ledger.All[record.Concern](b.s) {
		if c.Body.State != "rectified" {
			b.addConcern(t, c)
		}
	}
	if t.Rows() == 0 {
		s.Add(doc.Para("No concern on record is open. That does not say that nothing is wrong."))
		return s
	}
	s.Add(t)
	return s
}

// notHandedOver lists what stays behind: private values, originals, and what the records cannot hold.
func (b stateBook) notHandedOver(h Handing) *doc.Section {
	s := doc.NewSection("not-handed-over", "What is not handed over")
	s.Add(doc.Bullets(
		doc.Point("Secrets: keys, codes and passwords stand in no record. Where they are held is listed above, and they are handed over by hand."),
		doc.Point("The workshop's address book, beyond the people, instruments and stores that this car's records rely on."),
		doc.Point("Records of other cars."),
	))
	values := doc.NewTable("Private values withheld", doc.Col("Record", 4), doc.Col("Member", 3), doc.Col("Digest", 8))
	for _, v := range h.Withheld {
		values.Row(b.called(v.Record), doc.Literal(v.Pointer), doc.Literal(string(v.Digest)))
	}
	if values.Rows() > 0 {
		s.Add(doc.Para("Whoever holds the disclosure of one of these can show it later: the SHA-256 of its file is the digest. Without it nobody can guess the value from the digest."), values)
	}
	files := doc.NewTable("Originals that do not go along", doc.Col("Paper", 5), doc.Col("Why", 2), doc.Col("Digest", 8))
	for _, o := range h.Originals {
		if o.Goes != GoesAlong {
			files.Row(b.name(o.Paper), o.Goes, doc.Literal(string(o.Digest)))
		}
	}
	if files.Rows() > 0 {
		s.Add(doc.Para("Titles, invoices, licences and letters show names, addresses and prices, and go along only where whoever hands over says so."), files)
	}
	return s
}

// receiptNames is the place for two names in ink.
func (b stateBook) receiptNames(h Handing) *doc.Section {
	t := doc.NewTable("Signed", doc.Col("Who", 3), doc.Col("Name", 5), doc.Col("Signature", 6), doc.Col("Day", 3), doc.Col("Distance", 3))
	t.Row("Hands over", "", "", "", "")
	t.Row("Receives", "", "", "", "")
	return doc.NewSection("names", "Names", doc.Para("What is ticked above was seen and received. The distance is read off the instrument by both."), t)
}
