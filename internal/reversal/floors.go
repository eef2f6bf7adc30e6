package reversal

import (
	"fmt"

	"boltback/internal/record"
	"boltback/internal/replay"
)

// judgeFloors holds the records against the lower limits of evidence, and against doubts about order that leave nothing to
// rely on.
func (m *maker) judgeFloors(plan []planned) []Floor {
	floors := []Floor{m.floorParts(), m.floorEvidence(), m.floorAge(), m.floorAttachments(), m.floorFasteners(plan)}
	for _, d := range m.now.Doubts() {
		if d.Code != "order-impossible" {
			continue
		}
		for _, topic := range []Topic{FoundParts, Structure} {
			m.against(Reason{Code: d.Code, Topic: topic, Outcome: CannotSay, Text: d.Text, Settle: d.Hint, Records: sessions(d.Lines...)})
		}
	}
	return floors
}

// foundParts lists the parts on the car at the baseline, the shell apart.
func (m *maker) foundParts() []replay.PartInfo {
	var list []replay.PartInfo
	for _, p := range m.base.Parts() {
		if p.Where.Place == replay.OnCar && p.Ref != m.root {
			info, _ := m.w.Part(p.Ref)
			list = append(list, info)
		}
	}
	return list
}

func (m *maker) floorParts() Floor {
	n := len(m.foundParts())
	f := Floor{What: "parts on record as on the car at the baseline", Asked: fmt.Sprintf("at least %d", m.floors.FoundParts), Have: fmt.Sprint(n), Met: n >= m.floors.FoundParts}
	if !f.Met {
		for _, topic := range []Topic{FoundParts, Structure, Consumable} {
			m.against(Reason{Code: "too-few-parts", Topic: topic, Outcome: CannotSay,
				Text:   fmt.Sprintf("%s on record as on the car at the baseline, fewer than the %d without which nothing is said", onlyParts(n), m.floors.FoundParts),
				Settle: "record the parts that were on the car, with photos from before the work"})
		}
	}
	return f
}

// onlyParts counts parts as too few.
func onlyParts(n int) string {
	switch n {
	case 0:
		return "no part is"
	case 1:
		return "only 1 part is"
	}
	return fmt.Sprintf("only %d parts are", n)
}

// floorEvidence counts the found parts that somebody saw, on the car or since, or that a photo or paper shows.
func (m *maker) floorEvidence() Floor {
	var weak []record.Ref
	parts := m.foundParts()
	for _, p := range parts {
		now, _ := m.now.Part(p.Ref)
		shown := p.Listed != nil && (p.Listed.Evidence == "seen" || p.Listed.Evidence == "photo" || p.Listed.Evidence == "paper")
		if !shown && now.Seen == replay.NoStep {
			weak = append(weak, p.Ref)
		}
	}
	have := share(len(parts)-len(weak), len(parts))
	f := Floor{What: "of these, seen, photographed or on paper", Asked: fmt.Sprintf("at least %d %%", m.floors.Evidence), Have: shareOf(have, len(parts)), Met: have >= m.floors.Evidence, Empty: len(parts) == 0}
	if !f.Met {
		m.against(Reason{Code: "too-little-evidence", Topic: FoundParts, Outcome: CannotSay,
			Text:   fmt.Sprintf("only %d %% of the found parts were seen or are shown by a photo or paper; the rest is told or inferred", have),
			Settle: "record sightings, or photos from before the work"}, weak...)
	}
	return f
}

// floorAge reports the oldest of the last sightings that count; each that is too old is a reason of its own.
func (m *maker) floorAge() Floor {
	f := Floor{What: "months since a stored part was last seen", Asked: fmt.Sprintf("at most %d", m.floors.SightingMonths), Have: "no day was given", Met: true, Empty: true}
	if m.opts.On.IsZero() {
		return f
	}
	oldest := -1
	for _, p := range m.foundParts() {
		now, _ := m.now.Part(p.Ref)
		seen, _, _ := m.now.LastSeen(p.Ref)
		if _, wanted := m.target.on[p.Ref]; !wanted || now.Where.Place != replay.InStore || seen == replay.NoStep {
			continue
		}
		if days, ok := m.w.DaysSince(seen, m.opts.On); ok {
			oldest = max(oldest, days)
		}
		f.Met = f.Met && !m.tooOld(seen)
	}
	f.Have = "no part in store"
	if oldest >= 0 {
		f.Have, f.Empty = fmt.Sprintf("%d days at most", oldest), false
	}
	return f
}

// needsJoint says that a fitted part can be expected to be fastened by a joint of its own.
func needsJoint(info replay.PartInfo, s replay.PartState) bool {
	switch info.Body.Class {
	case "loom", "hose", "expendable":
		return false
	}
	return s.Inside == ""
}

func (m *maker) floorAttachments() Floor {
	fitted := 0
	var loose []record.Ref
	var lines []replay.Line
	for _, s := range m.now.Parts() {
		info, _ := m.w.Part(s.Ref)
		_, wanted := m.target.on[s.Ref]
		if s.Where.Place != replay.OnCar || wanted || s.Ref == m.root || !needsJoint(info, s) {
			continue
		}
		fitted++
		if len(m.now.MountedBy(s.Ref)) == 0 {
			l, _ := m.now.Line(s.Since)
			loose, lines = append(loose, s.Ref), append(lines, l)
		}
	}
	m.unfastened = loose
	have := share(fitted-len(loose), fitted)
	f := Floor{What: "of the parts fitted, with their joints on record", Asked: fmt.Sprintf("at least %d %%", m.floors.Attachments), Have: shareOf(have, fitted), Met: have >= m.floors.Attachments, Empty: fitted == 0}
	if !f.Met {
		text := fmt.Sprintf("the joints of only %d %% of the %d parts fitted are on record, so how the rest is fastened to the car is not known", have, fitted)
		m.against(Reason{Code: "attachments-not-recorded", Topic: Structure, Outcome: CannotSay, Text: text + m.listed(loose), Settle: "record the joints of these parts", Records: sessions(lines...)}, loose...)
	}
	return f
}

// listed names a few things behind a sentence.
func (m *maker) listed(refs []record.Ref) string {
	text := ""
	for i, r := range refs {
		if i == 5 {
			return text + fmt.Sprintf(" and %d more", len(refs)-i)
		}
		text += map[bool]string{true: ": ", false: ", "}[i == 0] + m.called(r)
	}
	return text
}

// floorFasteners counts the joints to be done up of which the fasteners are on record. A part that goes back and has no joint on
// record counts as one without: else the fewer joints are recorded, the better the consumables would read.
func (m *maker) floorFasteners(plan []planned) Floor {
	joints := jointsToDo(plan)
	var bare []record.Ref
	for _, ref := range joints {
		if j, _ := m.w.Joint(ref); len(j.Body.Fasteners) == 0 {
			bare = append(bare, ref)
		}
	}
	loose := m.putBackLoose(plan)
	all := len(joints) + len(loose)
	have := share(len(joints)-len(bare), all)
	f := Floor{What: "of the joints to be done up (a part without one counts too), with their fasteners on record",
		Asked: fmt.Sprintf("at least %d %%", m.floors.Fasteners), Have: shareOf(have, all), Met: have >= m.floors.Fasteners, Empty: all == 0}
	if !f.Met {
		m.against(Reason{Code: "fasteners-thin", Topic: Consumable, Outcome: CannotSay,
			Text:   fmt.Sprintf("the fasteners of only %d %% of the %d joints to be done up are on record, parts without a joint on record counted as one each%s", have, all, m.listed(append(bare, loose...))),
			Settle: "record the joints of these parts, and the fasteners of these joints"}, append(bare, loose...)...)
	}
	return f
}

// putBackLoose lists the parts that the plan puts back and that can be expected to have a joint, of which none is on record.
func (m *maker) putBackLoose(plan []planned) []record.Ref {
	var loose []record.Ref
	for _, s := range plan {
		if s.kind != PutBack {
			continue
		}
		for _, ref := range s.line.Parts {
			info, _ := m.w.Part(ref)
			now, _ := m.now.Part(ref)
			if len(info.Joints) == 0 && needsJoint(info, now) {
				loose = append(loose, ref)
			}
		}
	}
	return loose
}

// share is a percentage, rounded down; of nothing, all is on record.
func share(part, whole int) int {
	if whole == 0 {
		return 100
	}
	return part * 100 / whole
}

// shareOf prints a percentage with what it is of.
func shareOf(percent, whole int) string {
	if whole == 0 {
		return "nothing to count"
	}
	return fmt.Sprintf("%d %% of %d", percent, whole)
}
