package wording

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
)

// zonePhrases says, zone by zone, that no new hole was made, and of the whole that nothing was drilled, cut or welded.
func (m *maker) zonePhrases() {
	zones := slices.Sorted(maps.Keys(m.zonesTouched()))
	var list []Phrase
	for _, zone := range zones {
		p := m.noNewHole(zone)
		m.say(p)
		list = append(list, p)
	}
	m.say(m.nothingDrilled(zones, list))
}

// nothingDrilled says what was looked at: only the zones that were surveyed. It is withheld where anything was fastened to the car
// in a place that no zone names, and where the size of a hole was not measured both times.
func (m *maker) nothingDrilled(zones []string, list []Phrase) Phrase {
	p := Phrase{Code: "nothing-drilled-cut-or-welded", Standing: Supported, Text: "By the records, nothing was drilled, cut or welded on the shell or on a part found on the car"}
	looked := slices.DeleteFunc(slices.Clone(zones), func(zone string) bool {
		s := m.zones.Surveys(zone)
		return s.Before == nil || s.After == nil
	})
	if len(looked) > 0 {
		p.Text += "; hole surveys before and after the work looked at these zones and no others: " + strings.Join(looked, ", ")
	}
	p.Text += "."
	var made, open []string
	for i, zone := range list {
		p.For, p.Against = append(p.For, zone.For...), append(p.Against, zone.Against...)
		if zone.Standing == Contradicted {
			made = append(made, zones[i]+": "+zone.Why)
		} else if zone.Standing != Supported {
			open = append(open, zones[i]+": "+zone.Why)
		} else if n := len(m.zones.Surveys(zones[i]).Unsized); n > 0 {
			open = append(open, fmt.Sprintf("%s: the size of %d holes was not measured both times", zones[i], n))
			p.Against = append(p.Against, zone.For...)
		}
	}
	for _, c := range m.cuts() {
		p.Against = append(p.Against, c.records...)
		if !slices.Contains(zones, c.zone) || c.repair { // else its zone says so
			made = append(made, c.text)
		}
	}
	nowhere, against := m.zoneless()
	open, p.Against = append(open, nowhere...), append(p.Against, against...)
	switch {
	case len(made) > 0:
		p.Standing, p.Why = Contradicted, few(made)
	case len(open) > 0:
		p.Standing, p.Why, p.Settle = Withheld, few(open), "survey each zone before the first and after the last work on it, hole by hole with sizes, and name the zone of each joint"
	case len(zones) == 0:
		p.Standing, p.Why, p.Settle = Withheld, "no zone has been worked on or surveyed on record", "record hole surveys"
	default:
		p.Why = fmt.Sprintf("%d zones were surveyed before and after, hole by hole with sizes, and no alteration or repair is on record", len(zones))
	}
	return p
}

// zoneless lists what was fastened to the car in a place that no survey can cover, for nothing says which zone it is in, and parts
// fitted of which no joint is on record.
func (m *maker) zoneless() (texts []string, against []record.Ref) {
	for _, a := range m.st.Attachments {
		if j, ok := m.w.Joint(a.Joint); !ok || j.Body.Zone == "" {
			texts, against = append(texts, m.w.Called(a.Joint)+": its zone is not on record"), append(against, a.Against...)
		}
	}
	for _, ref := range m.st.Unfastened {
		texts, against = append(texts, m.w.Called(ref)+": how it is fastened to the car is not on record"), append(against, ref)
	}
	return texts, against
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
	case len(s.More) > 0:
		p.Standing, p.Why = Contradicted, "the later survey counts more: "+few(s.More)
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
		if n := len(s.Unsized); n > 0 {
			p.Why = fmt.Sprintf("the survey after the work lists no feature that the one before does not; whether %d of them were opened is not known, for they were not measured both times", n)
		}
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
