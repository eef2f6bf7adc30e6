package workings

import (
	"slices"
	"strings"

	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
)

// custody gives the workings of custody, time, money and authority.
func (c *Car) custody() []Working {
	list := []Working{c.unseen(), c.lateness(), c.hours()}
	list = append(list, c.values()...)
	list = append(list, c.authority()...)
	for _, p := range ledger.All[record.Paper](c.s) {
		if p.Body.WrittenDate != "" {
			if w := PaperDate(short(p.ID), p.Body.WrittenDate, p.Body.Country); len(w.Missing) > 0 {
				list = append(list, w.about(p.ID))
			}
		}
	}
	return list
}

// stored lists the parts found on the car that are off it and not gone.
func (c *Car) stored() []replay.PartState {
	var list []replay.PartState
	for _, st := range c.state.Parts() {
		kept := st.Where.Place == replay.InStore || st.Where.Place == replay.WithSomeone || st.Where.Place == replay.OffCar || st.Where.Place == replay.NotKnown
		if kept && (st.Found == "yes" || strings.HasPrefix(st.Found, "inferred")) {
			list = append(list, st)
		}
	}
	return list
}

func (c *Car) unseen() Working {
	var list []Seen
	var about []record.Ref
	for _, st := range c.stored() {
		about = append(about, st.Ref)
		one := Seen{What: c.name(st.Ref)}
		if st.Seen == replay.NoStep && st.Inside != "" {
			// Who had the assembly before them had its parts.
			if holder, ok := c.state.Part(st.Inside); ok {
				st.Seen, st.Sealed, st.Missed = holder.Seen, holder.Sealed, holder.Missed
				one.What += ", with " + c.name(st.Inside)
			}
		}
		if line, ok := c.state.Line(st.Seen); ok {
			one.On, one.How = dateOf(line.Work.Started).Calendar(), line.Body.Act
			if st.Sealed {
				one.How = "its crate seen with the seal unbroken"
			}
		}
		if line, ok := c.state.Line(st.Missed); ok {
			one.Missed = dateOf(line.Work.Started).Calendar()
		}
		list = append(list, one)
	}
	most := 0
	if limits := c.s.Head().Limits; limits != nil {
		most = int(limits.SightingAge)
	}
	return Unseen("stored parts", list, c.asOf(), most).about(about...)
}

// asOf is the day asked for, or the last day of work where none was asked for.
func (c *Car) asOf() edtf.Day {
	if !c.day.IsZero() {
		return c.day
	}
	var last edtf.Day
	c.work.Each(func(_ replay.Step, line replay.Line, _ *replay.State, _ replay.Changed) {
		if d, ok := dateOf(line.Work.Started).Last(); ok && d.Compare(last) > 0 {
			last = d
		}
	})
	return last
}

func (c *Car) lateness() Working {
	var list []Entry
	var about []record.Ref
	for _, s := range replay.StandingSessions(c.s) {
		if c.byToday(s.Body.Started) {
			done := s.Body.Ended
			if done == "" {
				done = s.Body.Started
			}
			about = append(about, s.ID)
			list = append(list, Entry{s.Name(), dateOf(done).Calendar(), dateOf(s.Body.Entered)})
		}
	}
	for _, r := range ledger.All[record.Reading](c.s) {
		if c.byToday(r.Body.On) {
			about = append(about, r.ID)
			list = append(list, Entry{r.Name(), dateOf(r.Body.On).Calendar(), dateOf(r.Body.Entered)})
		}
	}
	return Lateness("records", list).about(about...)
}

func (c *Car) hours() Working {
	var list []Worked
	var about []record.Ref
	for _, s := range replay.StandingSessions(c.s) {
		if !c.byToday(s.Body.Started) {
			continue
		}
		w := Worked{What: s.Name(), Started: dateOf(s.Body.Started), Ended: dateOf(s.Body.Ended), People: 1 + len(s.Body.Helpers)}
		for _, l := range s.Body.Lines {
			purpose := l.Purpose
			if purpose == "" {
				purpose = "not stated"
			}
			if !slices.Contains(w.Purposes, purpose) {
				w.Purposes = append(w.Purposes, purpose)
			}
		}
		about = append(about, s.ID)
		list = append(list, w)
	}
	return Hours("sessions", list).about(about...)
}

// authority holds every signed certificate against the licences of who signed.
func (c *Car) authority() []Working {
	var list []Working
	for _, p := range ledger.All[record.Paper](c.s) {
		k := p.Body.Certificate
		if k == nil || k.SignedBy == "" {
			continue
		}
		g := Signature{What: title(p), By: c.name(k.SignedBy), On: dateOf(k.SignedOn), Covers: k.Scope, Licences: c.licences(k.SignedBy)}
		for _, u := range c.s.Uses(p.ID) {
			if u.From.Kind == record.KindSignOff {
				g.Depends = append(g.Depends, string(u.From.ID))
			}
		}
		list = append(list, Authority(short(p.ID), g).about(p.ID))
	}
	return list
}

// title is what people call a paper: its name, its caption, or where it lies.
func title(p ledger.Entry[record.Paper]) string {
	if p.Body.Name == "" && p.Body.Caption != "" {
		return p.Body.Caption
	}
	return p.Name()
}

// licences lists what lies in a person's folder.
func (c *Car) licences(person record.Ref) []Licence {
	var list []Licence
	for _, l := range ledger.All[record.Licence](c.s) {
		if strings.HasPrefix(string(l.ID), string(person)+"/") {
			list = append(list, Licence{l.Name(), l.Body.Scope, dateOf(l.Body.From), dateOf(l.Body.Until)})
		}
	}
	return list
}
