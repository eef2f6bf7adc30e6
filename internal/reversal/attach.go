package reversal

import (
	"fmt"
	"slices"
	"strings"

	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
)

// Attachment is one joint by which work fastened something to what was found on the car, and what is known of its holes.
type Attachment struct {
	Joint record.Ref `json:"joint"`
	// Explained says that the records tell where its holes come from; Drilled that they were made for it and are on record as
	// an alteration; otherwise they are older than the work.
	Explained bool `json:"explained"`
	Drilled   bool `json:"drilled,omitempty"`
	// Why says how, or what is missing: a sentence, lower case, no full stop.
	Why string `json:"why"`
	// Records are what it rests on; Against the records by which the joint is known at all.
	Records []record.Ref `json:"records,omitempty"`
	Against []record.Ref `json:"against,omitempty"`
}

// attachments lists every joint that work did up, that was not on the car at the root baseline, and that holds something to
// the car or to a found part.
func (m *maker) attachments() []Attachment {
	if m.held == nil {
		m.held = m.findAttachments()
	}
	return m.held
}

func (m *maker) findAttachments() []Attachment {
	made := map[record.Ref][]replay.Line{}
	for i := range m.effects {
		for _, j := range m.effects[i].joints {
			if m.afterBaseline(replay.Step(i)) {
				made[j.ref] = append(made[j.ref], m.effects[i].line)
			}
		}
	}
	list := []Attachment{}
	for _, s := range m.now.Joints() {
		lines := made[s.Ref]
		j, ok := m.w.Joint(s.Ref)
		if base, known := m.base.Joint(s.Ref); len(lines) == 0 || !ok || known && (base.Original || base.Done != replay.Undone) || !m.holdsToFound(j) {
			continue
		}
		a := m.explain(j)
		a.Against = append(sessions(lines...), j.Ref)
		for _, c := range j.Clamps {
			a.Against = append(a.Against, m.recordsOf(c)...)
		}
		list = append(list, a)
	}
	return list
}

// holdsToFound says that a joint holds something to the car itself or to a part that was found on it.
func (m *maker) holdsToFound(j replay.JointInfo) bool {
	if j.Hosted {
		return true
	}
	for _, c := range j.Clamps {
		if c == m.root || m.atBase(c) {
			return true
		}
	}
	return false
}

// sources collects where the holes of a joint come from.
type sources struct {
	how, missing []string
	records      []record.Ref
	holes        int64
	uncounted    bool // the holes of one source are not counted
	drilled      bool
}

// explain works out where the holes of a joint come from: a joint of the car as found, which proves itself; existing holes
// with evidence older than the work; alterations on record. A joint with more fasteners than holes is not explained.
func (m *maker) explain(j replay.JointInfo) Attachment {
	var s sources
	m.pickedUp(&s, j)
	m.existingHoles(&s, j)
	m.drilledFor(&s, j)
	a := Attachment{Joint: j.Ref, Drilled: s.drilled}
	fasteners, counted := fastenersOf(j.Body)
	switch {
	case len(s.how) == 0 && len(s.missing) == 0:
		a.Why = "nothing is recorded of the holes it uses: no joint of the car as found, no existing hole, no alteration"
	case len(s.how) == 0:
		a.Why = strings.Join(s.missing, "; ")
	case !s.uncounted && counted && fasteners > s.holes:
		a.Why = fmt.Sprintf("it has %d fasteners, and only %d holes are explained", fasteners, s.holes)
	default:
		a.Explained, a.Why = true, strings.Join(s.how, "; ")
	}
	a.Records = append(s.records, j.Ref)
	slices.Sort(a.Records)
	a.Records = slices.Compact(a.Records)
	return a
}

// pickedUp adds the holes of the joint that this one picks up, if that was on the car at the baseline.
func (m *maker) pickedUp(s *sources, j replay.JointInfo) {
	if base, ok := m.base.Joint(j.PicksUp); !ok || base.Done == replay.Undone {
		return
	}
	picked, _ := m.w.Joint(j.PicksUp)
	n, known := fastenersOf(picked.Body)
	s.holes, s.uncounted = s.holes+n, s.uncounted || !known
	s.how = append(s.how, "picks up the holes of "+m.called(j.PicksUp)+", which was done up on the car before")
	s.records = append(s.records, m.recordsOf(j.PicksUp)...)
}

// existingHoles adds the existing features that a joint uses and that are older than the work on their zone. Features that
// the joint it picks up uses as well are the same holes.
func (m *maker) existingHoles(s *sources, j replay.JointInfo) {
	picked, _ := m.w.Joint(j.PicksUp)
	for _, f := range j.Body.Uses {
		ev := m.zones.Evidence(f)
		if !ev.Older {
			s.missing = append(s.missing, m.called(f)+": "+ev.Why)
			continue
		}
		same := slices.Contains(picked.Body.Uses, f)
		if e, ok := ledger.Get[record.Existing](m.w.Snapshot(), f); ok && !same {
			s.holes += max(e.Body.Count, 1)
		}
		s.how = append(s.how, "uses "+m.called(f)+", "+ev.Why)
		s.records = append(s.records, ev.Records...)
	}
}

// fastenersOf counts the fasteners of a joint; false where a count is missing.
func fastenersOf(j *record.Joint) (n int64, known bool) {
	known = len(j.Fasteners) > 0
	for _, f := range j.Fasteners {
		n += f.Count
		known = known && f.Count > 0
	}
	return n, known
}

// drilledFor adds the holes that the register of alterations has in the zone of a joint, on the car, or on a part that the
// joint clamps.
func (m *maker) drilledFor(s *sources, j replay.JointInfo) {
	for _, k := range m.allMarks() {
		a := k.line.Body.Alteration
		if k.repair || a == nil || a.Of != "" {
			continue
		}
		if k.part == m.root && j.Body.Zone != "" && a.Zone == j.Body.Zone || k.part != m.root && slices.Contains(j.Clamps, k.part) {
			s.drilled = true
			s.holes += max(a.Count, 1)
			s.how = append(s.how, "its holes are on record as made: "+m.markText(k))
			s.records = append(s.records, sessions(k.line)...)
		}
	}
}
