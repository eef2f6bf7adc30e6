package wording

import (
	"fmt"
	"maps"
	"slices"

	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
)

// zonePhrases says, zone by zone, that no new hole was made, and of the whole that nothing was drilled, cut or welded.
func (m *maker) zonePhrases() {
	zones := m.zonesTouched()
	whole := Phrase{Code: "nothing-drilled-cut-or-welded", Standing: Supported,
		Text: "By the records and the hole surveys before and after, nothing was drilled, cut or welded on the shell or on a part found on the car."}
	var open []string
	for _, zone := range slices.Sorted(maps.Keys(zones)) {
		p := m.noNewHole(zone)
		m.say(p)
		whole.For, whole.Against = append(whole.For, p.For...), append(whole.Against, p.Against...)
		if p.Standing != Supported {
			open = append(open, zone+": "+p.Why)
		}
	}
	var made []string
	for _, c := range m.cuts() {
		made = append(made, c.text)
		whole.Against = append(whole.Against, c.records...)
	}
	switch {
	case len(made) > 0:
		whole.Standing, whole.Why = Contradicted, few(made)
	case len(open) > 0:
		whole.Standing, whole.Why, whole.Settle = Withheld, few(open), "survey each zone before the first and after the last work on it"
	case len(zones) == 0:
		whole.Standing, whole.Why, whole.Settle = Withheld, "no zone has been worked on or surveyed on record", "record hole surveys"
	default:
		whole.Why = fmt.Sprintf("%d zones were surveyed before and after, and no alteration or repair is on record", len(zones))
	}
	m.say(whole)
}

// zonesTouched lists the zones where parts were fastened to the car, material was altered, or holes were surveyed.
func (m *maker) zonesTouched() map[string]bool {
	zones := map[string]bool{}
	note := func(zone string) {
		if zone != "" {
			zones[zone] = true
		}
	}
	for _, a := range m.st.Attachments {
		if j, ok := m.w.Joint(a.Joint); ok {
			note(j.Body.Zone)
		}
	}
	for _, c := range m.cuts() {
		note(c.zone)
	}
	for _, r := range ledger.All[record.Reading](m.w.Snapshot()) {
		if r.Body.What == "hole-survey" {
			note(r.Body.Zone)
		}
	}
	return zones
}

// cut is one alteration or repair of the shell or a found part, whatever it was for and whether or not it was undone.
type cut struct {
	zone    string
	repair  bool
	harmful bool // material was removed, or it is not recorded that none was
	text    string
	records []record.Ref
}

func (m *maker) cuts() []cut {
	start := m.w.Start()
	var list []cut
	for _, p := range m.now.Parts() {
		if was, ok := start.Part(p.Ref); !ok || was.Where.Place != replay.OnCar {
			continue
		}
		for _, k := range p.Marks {
			l, _ := m.now.Line(k.Step)
			c := cut{repair: k.Repair, harmful: true, records: []record.Ref{l.Ref()}}
			what := "an alteration"
			if k.Repair {
				what = "a repair"
			}
			c.text = what + " of " + m.w.Called(p.Ref)
			if a := l.Body.Alteration; a != nil {
				c.zone, c.harmful = a.Zone, a.MaterialRemoved != "no"
				if a.Zone != "" {
					c.text += ", " + a.Zone
				}
				if a.Where != "" {
					c.text += ", " + a.Where
				}
			}
			if c.harmful {
				list = append(list, c)
			}
		}
	}
	return list
}

// noNewHole judges one zone: supported only by surveys before the first and after the last work on it that list the same
// holes, none larger.
func (m *maker) noNewHole(zone string) Phrase {
	s := m.zones.Surveys(zone)
	p := Phrase{Code: "no-new-hole", Zone: zone, Standing: Supported}
	p.Text = fmt.Sprintf("No new hole in the %s.", zone)
	if s.Before != nil && s.After != nil {
		p.Text = fmt.Sprintf("No new hole in the %s, by the hole surveys of %s and %s.", zone, s.Before.Body.On, s.After.Body.On)
		p.For = append(p.For, s.Before.ID, s.After.ID)
		p.For = append(p.For, s.After.Body.Holes...)
	}
	var made, repaired []string
	for _, c := range m.cuts() {
		if c.zone != zone {
			continue
		}
		p.Against = append(p.Against, c.records...)
		if c.repair {
			repaired = append(repaired, c.text)
		} else {
			made = append(made, c.text)
		}
	}
	names := func(refs []record.Ref) string {
		var list []string
		for _, r := range refs {
			list = append(list, m.w.Called(r))
		}
		return few(list)
	}
	switch {
	case len(made) > 0:
		p.Standing, p.Why = Contradicted, few(made)
	case len(s.New) > 0:
		p.Standing, p.Why = Contradicted, "the later survey lists what the earlier does not: "+names(s.New)
		p.Against = append(p.Against, s.After.ID, s.Before.ID)
	case len(s.Grown) > 0:
		p.Standing, p.Why = Contradicted, "larger in the later survey: "+names(s.Grown)
		p.Against = append(p.Against, s.After.ID, s.Before.ID)
	case s.Before == nil:
		m.withhold(&p, "no hole survey from before the first work on the zone is on record", "nothing made later can settle it; a dated photo of every hole from before may", m.zones.FirstWork(zone))
	case s.After == nil:
		m.withhold(&p, "no hole survey from after the last work on the zone is on record", "survey the holes of the zone now", m.zones.LastWork(zone))
	case len(repaired) > 0:
		p.Standing, p.Why = Withheld, "the zone was cut and repaired, so its holes cannot be told from the surveys alone: "+few(repaired)
	case len(s.Unknown) > 0:
		p.Standing, p.Why, p.Settle = Withheld, "the later survey lists holes of which there is no record: "+names(s.Unknown), "record each of them"
	default:
		p.Why = fmt.Sprintf("the survey after the work lists the same %d features as the one before, none larger", len(s.After.Body.Holes))
	}
	return p.finish(m.w)
}

func (m *maker) withhold(p *Phrase, why, settle string, work replay.Step) {
	p.Standing, p.Why, p.Settle = Withheld, why, settle
	if work != replay.NoStep {
		if l, ok := m.now.Line(work); ok {
			p.Against = append(p.Against, l.Ref())
		}
	}
}
