package dossier

import (
	"fmt"
	"slices"

	"boltback/internal/doc"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/workings"
)

// The answers about the work and who did it, and about what is kept beside the car.

func (b *book) aboutPeople() answer {
	a := answer{wants: "the people who did the work, and their licences with scope and days", chapters: []string{"sign-offs"}}
	workers := map[record.Ref]bool{}
	for _, one := range b.log.sessions {
		if one.body.By != "" {
			workers[one.body.By] = true
		}
	}
	if len(workers) > 0 {
		a.short = doc.Say("{} recorded as having done the work; {} on record.", peopleCount(len(workers)), count(len(ledger.All[record.Licence](b.s)), "licence or training"))
	}
	return a
}

func peopleCount(n int) string {
	if n == 1 {
		return "1 person is"
	}
	return fmt.Sprintf("%d people are", n)
}

func (b *book) aboutDisclosure() answer {
	a := answer{wants: "the schedule that was sent to an insurer, as a paper with its day; this document says what the records hold today"}
	if t, n := b.paperTable("Letters on record", "letter"); n > 0 {
		a.short = doc.Say("{} on record; what was in them, and to whom they went, their records say.", count(n, "letter"))
		a.blocks = []doc.Block{t}
	}
	return a
}

func (b *book) aboutValues() answer {
	a := answer{wants: "a value of the stored parts, which is private and disclosed by choice"}
	t := doc.NewTable("Parts off the car and their value", doc.Col("Part", 5), doc.Col("Where", 5), doc.Col("Value", 4))
	for _, p := range b.parts() {
		if p.at.location == stored && p.Body.Value != "" {
			t.Row(b.partCell(p), b.whereCell(p.at, p.Body.Position), b.sealed(p.Body.Value))
		}
	}
	if t.Rows() > 0 {
		a.short = doc.Say("{} off the car with a value on record.", count(t.Rows(), "part"))
		a.blocks = []doc.Block{t}
	}
	a.blocks = append(a.blocks, b.sums(workings.Custody)...)
	return a
}

func (b *book) aboutPhotos() answer {
	a := answer{wants: "photos of the parts of the conversion where they sit"}
	var photos []doc.Photo
	seen := map[record.Ref]bool{}
	for _, p := range b.inRole(tractionRoles...) {
		for _, id := range b.shownIn(p.ID) {
			if paper, ok := ledger.Get[record.Paper](b.s, id); ok && !seen[id] && paper.Body.Preview != nil && paper.Body.Preview.Digest != "" {
				seen[id] = true
				photos = append(photos, b.photo(paper))
			}
		}
	}
	if len(photos) > 0 {
		a.short = doc.Say("{} of the conversion on record.", count(len(photos), "photo"))
		a.blocks = []doc.Block{&doc.PhotoSheet{Caption: "Parts of the conversion", Photos: photos}}
	}
	return a
}

func (b *book) aboutUsedParts() answer {
	a := answer{wants: "the origin and source of each part that was fitted"}
	var used, unknown []placed
	for _, p := range b.parts() {
		if b.found(p) || p.at.location != onCar {
			continue
		}
		switch p.Body.Origin {
		case "new", "reproduction":
		case "", "unknown":
			unknown = append(unknown, p)
		default:
			used = append(used, p)
		}
	}
	if len(used)+len(unknown) == 0 {
		return a
	}
	a.short = doc.Say("Of the parts that were added, {} were used before, and of {} the origin is not known.", len(used), len(unknown))
	if len(used) > 0 {
		a.blocks = append(a.blocks, b.partTable("Used before", used))
	}
	if len(unknown) > 0 {
		a.blocks = append(a.blocks, b.partTable("Of unknown origin", unknown))
	}
	return a
}

func (b *book) aboutInventory() answer {
	a := b.aboutStoredParts()
	a.chapters = []string{"parts-off", "parts-fitted", "papers"}
	return a
}

func (b *book) aboutStructure() answer {
	altered := b.alterationLines()
	surveys := len(b.readingsByKind()["hole-survey"])
	a := answer{chapters: []string{"alterations"}, wants: "hole surveys of each zone before and after the work"}
	if len(altered)+surveys > 0 {
		a.short = doc.Say("{} on record, and {}. Where no survey looked, the records support nothing.", count(len(altered), "alteration"), count(surveys, "hole survey"))
	}
	if st := b.in.Reversal; st != nil {
		a.blocks = []doc.Block{b.attachments(st.Attachments)}
	}
	return a
}

func (b *book) aboutRestraint() answer {
	a := answer{wants: "the joints that hold the battery's parts, with fasteners, and what they bear on", blocks: b.sums(workings.Restraint)}
	t := doc.NewTable("Joints of the battery and its boxes", doc.Col("Joint", 5), doc.Col("Clamps", 5), doc.Col("Fasteners", 5), doc.Col("Bears on", 4), doc.Col("Specified", 4))
	battery := idsOf(b.inRole("traction battery"))
	for _, j := range ledger.All[record.Joint](b.s) {
		if slices.ContainsFunc(j.Body.Clamps, func(id record.Ref) bool { return slices.Contains(battery, id) }) {
			t.Row(b.name(j.ID), b.callThem(j.Body.Clamps), fastenersOf(j.Body), stated(j.Body.Host), b.specified(j.ID))
		}
	}
	if t.Rows() > 0 {
		a.short = doc.Say("{} on record. The sums are a screening for an engineer, and no approval.", count(t.Rows(), "joint"))
		a.blocks = append([]doc.Block{t}, a.blocks...)
	}
	return a
}

// fastenersOf says what a joint is held with.
func fastenersOf(j *record.Joint) doc.Text {
	var list []doc.Text
	for _, f := range j.Fasteners {
		t := doc.Say("{} × {} {}", countOr(f.Count), stated(f.What), stated(f.Size))
		if f.Class != "" {
			t = t.And(", class {}", f.Class)
		}
		if f.SingleUse == "yes" {
			t = t.And(", {}", doc.Strong("used once"))
		}
		list = append(list, t)
	}
	return orMissing(joinTexts(list, "; "))
}

func (b *book) aboutPlaces() answer {
	a := answer{wants: "the parts of the conversion with their role and position, and drawings"}
	list := b.inRole(tractionRoles...)
	if len(list) == 0 {
		return a
	}
	a.short = doc.Say("{} of the drive on record, with where they sit.", count(len(list), "part"))
	a.blocks = []doc.Block{b.partTable("Where the parts of the drive sit", list)}
	if t, n := b.paperTable("Drawings", "drawing"); n > 0 {
		a.blocks = append(a.blocks, t)
	}
	return a
}

func (b *book) aboutTightening() answer {
	a := answer{wants: "joints with their specification, and tightenings", chapters: []string{"tightenings"}}
	t := doc.NewTable("Joints and what holds them", doc.Col("Joint", 5), doc.Col("Fasteners", 5), doc.Col("Specified", 5))
	for _, j := range ledger.All[record.Joint](b.s) {
		t.Row(b.name(j.ID), fastenersOf(j.Body), b.specified(j.ID))
	}
	if t.Rows() > 0 {
		a.short = doc.Say("{} on record. A torque holds for the surface and the fasteners that its source speaks of.", count(t.Rows(), "joint"))
		a.blocks = []doc.Block{t}
	}
	return a
}

func (b *book) aboutSettings() answer {
	a := answer{wants: "the settings of each unit with unit, firmware and file", chapters: []string{"settings", "codes"}}
	if n := len(ledger.All[record.Setting](b.s)); n > 0 {
		a.short = doc.Say("{} on record. Codes and keys are not in the records, only where they are kept.", count(n, "setting"))
	}
	return a
}

func (b *book) aboutFaults() answer {
	a := answer{wants: "concerns with their cause and what cured them", chapters: []string{"concerns"}}
	if n := len(ledger.All[record.Concern](b.s)); n > 0 {
		a.short = doc.Say("{} on record.", count(n, "concern"))
	}
	return a
}

func (b *book) aboutOrigins() answer {
	a := answer{wants: "the maker and the source of each part that was fitted"}
	var added []placed
	for _, p := range b.parts() {
		if !b.found(p) && p.at.location == onCar {
			added = append(added, p)
		}
	}
	if len(added) > 0 {
		a.short = doc.Say("{} on the car that it did not have.", count(len(added), "part"))
		a.blocks = []doc.Block{b.partTable("Parts that were added", added)}
	}
	return a
}

func (b *book) aboutLooms() answer {
	a := answer{wants: "looms as parts with their ends, and what was done to each end"}
	t := doc.NewTable("Looms and hoses, end by end", doc.Col("Loom or hose", 5), doc.Col("Ends as first recorded", 7), doc.Col("Lines that touched it", 7))
	for _, p := range b.parts() {
		if p.Body.Class == "loom" || p.Body.Class == "hose" {
			t.Row(b.partCell(p), runsOf(p.Body), b.endsTouched(p.ID))
		}
	}
	if t.Rows() > 0 {
		a.short = doc.Say("{} on record. An end that no line names is not known to be whole.", count(t.Rows(), "loom or hose"))
		a.blocks = []doc.Block{t}
	}
	return a
}

func runsOf(p *record.Part) doc.Text {
	var list []doc.Text
	for _, r := range p.Runs {
		list = append(list, doc.Say("{}: {}", stated(r.End), stated(r.State)))
	}
	return orMissing(joinTexts(list, "; "))
}

// endsTouched lists what lines did to the ends of a loom.
func (b *book) endsTouched(id record.Ref) doc.Text {
	var list []doc.Text
	for _, one := range b.log.sessions {
		for i := range one.body.Lines {
			l := &one.body.Lines[i]
			if len(l.Ends) == 0 || !slices.Contains(l.Parts, id) {
				continue
			}
			var ends []doc.Text
			for _, e := range l.Ends {
				ends = append(ends, doc.Say("{} {}", stated(e.End), stated(e.State)))
			}
			list = append(list, doc.Say("{}: {}", dayOr(one.body.Started), joinTexts(ends, ", ")).From(b.source(one.Record, "")))
		}
	}
	return orMissing(joinTexts(list, "; "))
}
