package reversal

import (
	"fmt"

	"boltback/internal/record"
	"boltback/internal/replay"
)

// Note is something a reader must know that makes no line worse: work done on purpose, not to be undone.
type Note struct {
	Thing   record.Ref   `json:"thing,omitempty"`
	Text    string       `json:"text"`
	Records []record.Ref `json:"records,omitempty"`
}

// isExpendable says that a part is never a lost original: it is renewed each time.
func isExpendable(p replay.PartInfo) bool { return p.Body.Class == "expendable" }

// judgeFound goes through the parts that were on the car at the baseline.
func (m *maker) judgeFound() {
	for _, was := range m.base.Parts() {
		if was.Where.Place != replay.OnCar || was.Ref == m.root {
			continue
		}
		info, _ := m.w.Part(was.Ref)
		now, _ := m.now.Part(was.Ref)
		_, wanted := m.target.on[was.Ref]
		heir, inherited := m.target.heirs[was.Ref]
		switch {
		case inherited:
			m.judgeHeir(info, now, heir)
		case !wanted:
			m.noteOff(info, now)
		case isExpendable(info):
		case now.Where.Place == replay.OnCar:
			m.supports(FoundParts, info.Ref, "on the car", m.recordsOf(info.Ref)...)
		default:
			m.judgeStored(info, now)
		}
		m.judgeEnds(info, now)
	}
	m.noteFitted()
	m.judgeMarksOnParts()
}

// noteFitted notes parts that were fitted for another purpose than conversion and stay.
func (m *maker) noteFitted() {
	for _, p := range m.now.Parts() {
		_, stays := m.target.on[p.Ref]
		if p.Where.Place != replay.OnCar || m.atBase(p.Ref) || !stays || m.isHeir(p.Ref) {
			continue
		}
		if e, ok := m.fittedBy[p.Ref]; ok {
			m.notes = append(m.notes, Note{p.Ref, fmt.Sprintf("%s was fitted for another purpose (%s) and stays", m.called(p.Ref), e.line.Body.Purpose), sessions(e.line)})
		}
	}
}

func (m *maker) supports(topic Topic, thing record.Ref, text string, records ...record.Ref) {
	for _, r := range records {
		m.support = append(m.support, Support{topic, r, m.called(thing) + ": " + text})
	}
}

// numbered says that a part bears a number by which the car is known.
func numbered(p *record.Part) bool {
	for _, n := range p.Numbers {
		switch n.What {
		case "chassis", "engine", "gearbox", "axle", "body", "plate":
			return true
		}
	}
	return false
}

// judgeStored judges a part that has to go back and is not on the car.
func (m *maker) judgeStored(info replay.PartInfo, now replay.PartState) {
	l, _ := m.now.Line(now.Since)
	name, law := m.called(info.Ref), info.Body.MayGoBack
	switch {
	case now.Where.Place == replay.Gone && numbered(info.Body):
		m.against(Reason{Code: "numbered-part-gone", Topic: FoundParts, Outcome: NotFully, Thing: info.Ref, Records: sessions(l),
			Text: fmt.Sprintf("%s, which bears a number of this car, is gone (%s): a replacement is not the part that was found", name, now.Where.How)}, info.Ref)
	case now.Where.Place == replay.Gone:
		m.against(Reason{Code: "part-gone", Topic: FoundParts, Outcome: Replacements, Thing: info.Ref, Records: sessions(l),
			Text: fmt.Sprintf("%s is gone (%s): a replacement of the same type is needed, and the part that was found does not come back", name, now.Where.How)}, info.Ref)
	case barred(law):
		m.against(Reason{Code: "may-not-go-back", Topic: FoundParts, Outcome: Replacements, Thing: info.Ref, Records: sessions(l),
			Text: fmt.Sprintf("%s may not be fitted again (%s, by its record): a replacement is needed", name, law)}, info.Ref)
	default:
		m.judgeSighting(info, now)
	}
}

// judgeSighting judges whether the records still know where a part is.
func (m *maker) judgeSighting(info replay.PartInfo, now replay.PartState) {
	since, _ := m.now.Line(now.Since)
	name := m.called(info.Ref)
	seen, sealed, within := m.now.LastSeen(info.Ref)
	seenLine, wasSeen := m.now.Line(seen)
	fault := func(code, text, settle string, lines ...replay.Line) {
		m.against(Reason{Code: code, Topic: FoundParts, Outcome: CannotSay, Thing: info.Ref, Text: text, Settle: settle,
			Records: sessions(append(lines, since, seenLine)...)}, info.Ref)
	}
	missed, _ := m.now.Line(m.now.MissedBy(info.Ref))
	switch place := now.Where.Place; {
	case missed.Body != nil:
		fault("not-seen", fmt.Sprintf("%s was not seen at the stock-take %s of where it should be", name, m.called(missed.Place.ID)), "find it and record a sighting, or record that it is gone", missed)
	case place == replay.WithSomeone:
		fault("out", fmt.Sprintf("%s is out with %s and has not come back on record", name, orSomebody(now.Where.With)), "record its return, or a sighting of it there")
	case place != replay.InStore:
		fault("place-not-stated", fmt.Sprintf("nothing on record says where %s is: %s", name, place), "record a sighting of it with its store")
	case !wasSeen:
		fault("never-seen", fmt.Sprintf("%s is in store by what somebody told or remembered, and nobody is on record as having seen it there", name), "record a sighting of it")
	case m.tooOld(seen):
		fault("seen-too-long-ago", fmt.Sprintf("%s was last seen on %s, longer ago than the %d months that count", name, m.w.DayOf(seen), m.floors.SightingMonths), "record a sighting of it")
	default:
		m.supports(FoundParts, info.Ref, seenText(m.w.DayOf(seen), sealed, within), append(sessions(since, seenLine), m.recordsOf(info.Ref)...)...)
	}
}

func orSomebody(with string) string {
	if with == "" {
		return "somebody not named"
	}
	return with
}

// seenText words a sighting for what it is.
func seenText(day replay.Day, sealed, within bool) string {
	text := "in store, last seen"
	if !day.IsZero() {
		text += " on " + day.String()
	}
	switch {
	case within && sealed:
		return text + ": the assembly it is in, in a crate whose seal was whole"
	case within:
		return text + ": the assembly it is in; nobody is on record as having looked inside"
	case sealed:
		return text + ": the crate it was sealed into, the seal whole; the part itself was not looked at"
	}
	return text
}

// tooOld says that a sighting is older than counts on the day asked about.
func (m *maker) tooOld(seen replay.Step) bool {
	day := m.w.DayOf(seen)
	return !m.opts.On.IsZero() && (day.IsZero() || day.AddMonths(m.floors.SightingMonths).Compare(m.opts.On) < 0)
}

// judgeHeir judges a part that became another: the other goes back, with the trace.
func (m *maker) judgeHeir(info replay.PartInfo, now replay.PartState, heir record.Ref) {
	l, _ := m.now.Line(now.Since)
	m.against(Reason{Code: "became-another", Topic: FoundParts, Outcome: Traces, Thing: info.Ref, Records: sessions(l),
		Text: fmt.Sprintf("%s became %s by machining or reconditioning: that goes back in its place, and is not what was found", m.called(info.Ref), m.called(heir))}, info.Ref, heir)
	other, _ := m.w.Part(heir)
	if state, ok := m.now.Part(heir); ok && state.Where.Place != replay.OnCar {
		m.judgeStored(other, state)
	}
}

// noteOff notes a part that was taken off for another purpose than conversion.
func (m *maker) noteOff(info replay.PartInfo, now replay.PartState) {
	l, _ := m.now.Line(now.Since)
	m.notes = append(m.notes, Note{info.Ref, fmt.Sprintf("%s was taken off for another purpose (%s) and is not put back; it is %s", m.called(info.Ref), m.purposeOf(info.Ref), whereText(m.w, now.Where)), sessions(l)})
}

// purposeOf gives the purpose of the last line that took a part off the car.
func (m *maker) purposeOf(ref record.Ref) string {
	if e, ok := m.takenBy[ref]; ok && e.line.Body.Purpose != "" {
		return e.line.Body.Purpose
	}
	return "not stated"
}

// judgeEnds judges the ends of a loom or hose: what its record says of them now against what the work led to.
func (m *maker) judgeEnds(info replay.PartInfo, now replay.PartState) {
	declared := map[string]string{}
	for _, r := range info.Body.Runs {
		declared[r.End] = r.State
	}
	for _, e := range now.Ends {
		if want, known := m.target.ends[loomEnd{info.Ref, e.End}]; !known || want != "connected" {
			continue
		}
		l, _ := m.now.Line(e.Since)
		says := declared[e.End]
		whole := "the end " + fmt.Sprintf("%q", e.End) + " of " + m.called(info.Ref)
		switch {
		case e.State == "cut" || e.State == "joined":
			m.against(Reason{Code: "loom-" + e.State, Topic: FoundParts, Outcome: Traces, Thing: info.Ref, Records: sessions(l),
				Text: whole + " was " + e.State + ": connecting it again leaves that"}, info.Ref)
		case says == "cut" || says == "joined" || says == "unknown" || e.State == "unknown":
			m.against(Reason{Code: "loom-disagrees", Topic: FoundParts, Outcome: CannotSay, Thing: info.Ref, Records: sessions(l),
				Text:   fmt.Sprintf("%s is %s by the work on record and %s by the record of the part", whole, e.State, orNothing(says)),
				Settle: "look at the end, and correct the one that is wrong"}, info.Ref)
		}
	}
}

func orNothing(state string) string {
	if state == "" {
		return "not described"
	}
	return state
}

// judgeMarksOnParts judges alterations of found parts other than the shell, and notes those done on purpose.
func (m *maker) judgeMarksOnParts() {
	for _, k := range m.allMarks() {
		m.judgeMark(k)
	}
}

// judgeMark judges one alteration or repair: on the shell it belongs to its line, on another part to that of the parts.
func (m *maker) judgeMark(k mark) {
	topic := FoundParts
	if k.part == m.root {
		topic = Structure
	}
	records := sessions(k.line)
	if k.by.Body != nil {
		records = append(records, sessions(k.by)...)
	}
	if !k.counts {
		m.notes = append(m.notes, Note{k.part, m.markText(k) + "; done on purpose (" + k.line.Body.Purpose + ") and not to be undone", records})
		return
	}
	if !k.leavesTrace() {
		return
	}
	r := Reason{Code: "alteration", Topic: topic, Outcome: Traces, Thing: k.part, Records: records, Text: m.markText(k)}
	if k.repair {
		r.Code, r.Text = "repair", r.Text+"; it lies where a part of the conversion was fitted later"
	}
	if a := k.line.Body.Alteration; a != nil && (a.Safety == "yes" || a.RequiredBy != "") {
		r.Safety = true
		r.Text += "; a safety decision: " + requiredText(a) + ", and whether it may be undone is for whoever required it"
	}
	m.against(r, k.part)
}

func requiredText(a *record.Hole) string {
	text := "made for a load path or another safety reason"
	if a.RequiredBy != "" {
		text = "required by " + a.RequiredBy
	}
	if a.Clause != "" {
		text += " under " + a.Clause
	}
	return text
}
