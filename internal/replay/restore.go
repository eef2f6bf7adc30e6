package replay

// restore undoes alterations: those of the session it names, or else those at the same place of the same parts.
func (e *engine) restore(t *step) {
	for _, p := range t.parts {
		marks := append([]Mark(nil), e.state.parts[p].Marks...)
		matched := false
		for i := range marks {
			if marks[i].Undone == NoStep && !marks[i].Repair && e.matches(t, marks[i]) {
				marks[i].Undone, matched = e.now, true
			}
		}
		e.state.parts[p].Marks = marks
		if !matched {
			e.doubt("restores-nothing-recorded", e.book.parts[p].ref, "a restoration of "+e.book.called(e.book.parts[p].ref)+" fits no alteration that is recorded on it",
				"name the work it undoes, and the same zone and place")
		}
	}
}

// matches says that a restoration means an alteration.
func (e *engine) matches(t *step, m Mark) bool {
	made := &e.state.steps[m.Step]
	a, b := made.body.Alteration, t.body.Alteration
	if t.body.Undoes != "" {
		if t.undoes == none || t.undoes != made.session {
			return false
		}
		return a == nil || b == nil || agree(a.Zone, b.Zone) && agree(a.Where, b.Where)
	}
	return a != nil && b != nil && a.Zone == b.Zone && a.Where == b.Where && (a.Where != "" || a.Zone != "")
}

// agree says that two texts are the same as far as both say something.
func agree(a, b string) bool { return a == "" || b == "" || a == b }

// become turns a part into another: machined or reconditioned, it is the other that lies there now, with the same traces.
func (e *engine) become(t *step) {
	for _, p := range t.parts {
		if p == t.became || p == e.book.root {
			continue
		}
		old, heir := &e.state.parts[p], &e.state.parts[t.became]
		heir.Where, heir.Since, heir.Touched = old.Where, e.now, e.now
		heir.Seen, heir.Sealed, heir.Missed = old.Seen, old.Sealed, old.Missed
		heir.Marks = append(heir.Marks[:len(heir.Marks):len(heir.Marks)], old.Marks...)
		e.put(p, Where{Place: BecameAnother, Became: e.book.parts[t.became].ref})
		e.state.setInside(p, none)
	}
}
