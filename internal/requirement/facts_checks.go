package requirement

import (
	"slices"

	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
)

// Checks are the points of a function test or visual check that records know, as the schema lists them.
func Checks() []string {
	return []string{"ready signal", "leaving signal", "drive-away lock", "key switch", "direction display", "state-of-charge display", "service disconnect", "master switch", "interlock", "emergency stop",
		"contactors open after impact", "finger protection", "wire protection inside", "covers need tools", "connectors", "warning symbol", "orange cable", "cable fixing",
		"protective earth while charging", "discharge", "ventilation", "brake servo vacuum", "brake function", "twelve volt supply", "safety systems of the car",
		"conversion plate", "plate label, front", "plate label, rear", "moves under own power"}
}

// Roles are what a part may do on the car, as the schema lists them.
func Roles() []string {
	return []string{"engine", "gearbox", "fuel tank", "fuel line", "exhaust", "motor", "inverter", "charger", "charge inlet", "converter", "traction battery", "auxiliary battery",
		"traction cable", "junction box", "service disconnect", "master switch", "main fuse", "contactor", "brake servo", "vacuum pump", "seat", "belt", "tyre", "maker's plate", "conversion plate"}
}

func checkSubject() *Subject {
	s := &Subject{Name: "checks", Words: "points of function tests and visual checks: whether each was found in order"}
	for _, c := range Checks() {
		s.Facts = append(s.Facts, Fact{Name: factName(c), Kind: YesNo, Words: "the check “" + c + "”", Want: "a function test that has the check “" + c + "”"})
	}
	return s
}

// gatherChecks takes each check from the readings that have it. Where one that still describes the car says "not in order"
// and another "in order", it is a contradiction.
func (f *Facts) gatherChecks(t *thing) {
	type seen struct{ good, bad []record.Ref }
	fresh := map[string]*seen{}
	for _, r := range f.readings("function-test") {
		stale := f.staleness(r.ID)
		for _, c := range r.Body.Checks {
			name := factName(c.Check)
			if _, ok := t.subject.fact(name); !ok || c.Found == "not tested" {
				continue
			}
			if stale != "" {
				if fresh[name] == nil {
					t.lacks(name, Stale, stale, r.ID)
				}
				continue
			}
			if fresh[name] == nil {
				fresh[name] = &seen{}
			}
			if c.Found == "in order" {
				fresh[name].good = append(fresh[name].good, r.ID)
			} else {
				fresh[name].bad = append(fresh[name].bad, r.ID)
			}
		}
	}
	for name, s := range fresh {
		switch {
		case len(s.good) > 0 && len(s.bad) > 0:
			t.lacks(name, Contradicts, "one check found it in order and one did not", append(slices.Clone(s.good), s.bad...)...)
		default:
			t.is(name, len(s.good) > 0, append(s.good, s.bad...)...)
		}
	}
}

func fittedSubject() *Subject {
	return ofRoles("fitted", "parts by what they do: whether one is on the car", "is on the car", "the part with its role, and the work that fitted it")
}

func removedSubject() *Subject {
	return ofRoles("removed", "parts of the car as found, by what they do: whether all are off it", "is off the car", "the part with its role, and the work that took it off")
}

func ofRoles(name, words, state, want string) *Subject {
	s := &Subject{Name: name, Words: words}
	for _, r := range Roles() {
		s.Facts = append(s.Facts, Fact{Name: factName(r), Kind: YesNo, Words: "whether the " + r + " " + state, Want: want})
	}
	return s
}

// gatherFitted says of each role whether a part that has it is on the car.
func (f *Facts) gatherFitted(t *thing) {
	f.byRole(func(role string, parts []ledger.Entry[record.Part], on, off, unsure []record.Ref) {
		switch {
		case len(on) > 0:
			t.is(role, true, on...)
		case len(unsure) > 0:
			t.lacks(role, Doubtful, "the records do not say for certain where it is", unsure...)
		default:
			t.is(role, false, off...)
		}
	})
}

// gatherRemoved says of each role whether every found part that has it is off the car.
func (f *Facts) gatherRemoved(t *thing) {
	f.byRole(func(role string, parts []ledger.Entry[record.Part], on, off, unsure []record.Ref) {
		found := func(refs []record.Ref) []record.Ref {
			var list []record.Ref
			for _, p := range parts {
				if p.Body.Found != "no" && slices.Contains(refs, p.ID) {
					list = append(list, p.ID)
				}
			}
			return list
		}
		on, off, unsure = found(on), found(off), found(unsure)
		switch {
		case len(on) > 0:
			t.is(role, false, on...)
		case len(unsure) > 0:
			t.lacks(role, Doubtful, "the records do not say for certain where it is", unsure...)
		case len(off) > 0:
			t.is(role, true, off...)
		}
	})
}

// byRole sorts the parts of each role by where they are.
func (f *Facts) byRole(visit func(role string, parts []ledger.Entry[record.Part], on, off, unsure []record.Ref)) {
	by := map[string][]ledger.Entry[record.Part]{}
	for _, p := range ledger.All[record.Part](f.s) {
		if p.Body.Role != "" {
			by[p.Body.Role] = append(by[p.Body.Role], p)
		}
	}
	for role, parts := range by {
		var on, off, unsure []record.Ref
		for _, p := range parts {
			st, ok := f.state.Part(p.ID)
			switch {
			case !ok || st.Where.Place == replay.NotKnown || st.Where.Place == replay.NotLocated:
				unsure = append(unsure, p.ID)
			case st.Where.Place == replay.OnCar:
				on = append(on, p.ID)
			default:
				off = append(off, p.ID)
			}
		}
		visit(factName(role), parts, on, off, unsure)
	}
}
