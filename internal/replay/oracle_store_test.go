package replay_test

import (
	"slices"
	"strings"

	"boltback/internal/record"
)

// restore undoes the alterations that a restoration means.
func (o *oracle) restore(l record.Line) {
	for _, p := range l.Parts {
		matched := false
		for id, there := range o.marks[p] {
			m := o.made[id]
			means := l.Alteration != nil && m.told && m.zone == l.Alteration.Zone && m.where == l.Alteration.Where && m.zone+m.where != ""
			if l.Undoes != "" {
				alike := func(a, b string) bool { return a == "" || b == "" || a == b }
				means = m.session == string(l.Undoes) && (l.Alteration == nil || !m.told || alike(m.zone, l.Alteration.Zone) && alike(m.where, l.Alteration.Where))
			}
			if there && !m.repair && means {
				o.marks[p][id], matched = false, true
			}
		}
		if !matched {
			o.doubts["restores-nothing-recorded "+string(p)] = true
		}
	}
}

// count misses, after everything in a place was looked for, what should lie there and was not named.
func (o *oracle) count(line oracleLine) {
	l := line.body
	if l.Counted != "everything there" || l.Seal == "unbroken" || o.sessions[line.session].hearsay {
		return
	}
	for p := range o.parts {
		if o.lies(p, string(l.Store), l.Place) && !o.named(p, l.Parts) {
			o.missed[p] = true
		}
	}
}

// named says that a line names a part, or what it is in.
func (o *oracle) named(p record.Ref, parts []record.Ref) bool {
	for i := 0; p != "" && i < 100; i++ {
		if slices.Contains(parts, p) {
			return true
		}
		p = o.inside[p]
	}
	return false
}

// lies says that a part is in a store, and at a place in it where one is given.
func (o *oracle) lies(p record.Ref, store, place string) bool {
	at, shelf, _ := strings.Cut(o.place[p], " ")
	return o.where[p] == "store" && at == store && (place == "" || shelf == place)
}

// afterwards is what follows the act of every line: who was seen, seals, and what became of parts.
func (o *oracle) afterwards(line oracleLine) {
	l, hearsay := line.body, o.sessions[line.session].hearsay
	for _, p := range l.Parts {
		if l.Act != "" && l.Act != "drain" && l.Act != "fill" && !hearsay {
			o.seen[p], o.through[p], o.missed[p] = o.now, false, false
		}
	}
	if at := string(l.Store) + " " + l.Place; at != " " {
		o.seal(l, at, hearsay)
	}
	for _, p := range l.Parts {
		if l.Became == "" || p == l.Became || p == o.root {
			continue
		}
		heir := l.Became
		o.where[heir], o.place[heir], o.since[heir] = o.where[p], o.place[p], o.now
		o.through[heir], o.missed[heir] = o.through[p], o.missed[p]
		if delete(o.seen, heir); true {
			if n, ok := o.seen[p]; ok {
				o.seen[heir] = n
			}
		}
		for id, there := range o.marks[p] {
			if o.marks[heir] == nil {
				o.marks[heir] = map[string]bool{}
			}
			o.marks[heir][id] = there || o.marks[heir][id]
		}
		o.put(p, "became", string(heir))
		o.inside[p] = ""
	}
}

func (o *oracle) seal(l record.Line, at string, hearsay bool) {
	switch l.Seal {
	case "sealed":
		o.opened(string(l.Store), l.Place)
		o.seals[at] = o.now
	case "broken":
		o.opened(string(l.Store), l.Place)
	case "unbroken":
		if hearsay {
			return
		}
		for _, p := range l.Parts {
			o.through[p] = true
		}
		put, sealed := o.seals[at]
		for p := range o.parts {
			if since, moved := o.since[p]; sealed && o.lies(p, string(l.Store), l.Place) && (!moved || since <= put) {
				o.seen[p], o.through[p], o.missed[p] = o.now, true, false
			}
		}
		if !sealed {
			o.doubts["seal-not-recorded "+string(l.Store)] = true
		}
	}
}

// opened drops the seals of a place and of the store it is in.
func (o *oracle) opened(store, place string) {
	delete(o.seals, store+" "+place)
	delete(o.seals, store+" ")
}
