package replay

import "sort"

// A fact is one thing that lines make true or untrue and that other lines need: a part is on the car, a joint is done up, a
// part bears an alteration. Facts are numbered: parts on the car first, then joints, then alterations.
type fact int32

// holding is what one session says of a fact: its last line that makes it true, and its last that makes it untrue.
type holding struct{ session, yes, no int32 }

// ask is a need that the earlier lines of its own session do not settle.
type ask struct {
	session, line int32
	fact          fact
	want          bool
}

// ledgerOfFacts collects who makes which fact true.
type ledgerOfFacts struct {
	b      *book
	stated *stated
	rank   []int32     // by session, its place in the order of time and of what is stated
	facts  [][]holding // by fact, sessions in order
	asks   []ask
	sorted map[fact]*factIndex
}

// needs finds, between overlapping sessions, the lines that need what only one other session gives.
func needs(first *sorter) []edge {
	b := first.b
	l := &ledgerOfFacts{b: b, rank: make([]int32, len(b.sessions)), facts: make([][]holding, 2*len(b.parts)+len(b.joints)), sorted: map[fact]*factIndex{}}
	for i, t := range first.order {
		l.rank[t.session] = int32(i)
	}
	l.stated = statedOf(b, first.followers, l.rank)
	first.stated = l.stated
	for i := range b.sessions {
		l.collect(int32(i))
	}
	var edges []edge
	for _, a := range l.asks {
		r := l.relativesOf(a)
		if l.settledBefore(a, r) {
			continue
		}
		if session, line, ok := l.onlyProvider(a, r); ok {
			edges = append(edges, edge{a.session, a.line, session, line})
		}
	}
	return edges
}

// relatives are those of one chain who speak of a fact, divided by where they stand to the session that asks: what is stated puts
// the first ones before it, and those from after on behind it.
type relatives struct {
	*speakers
	before, after int
}

// relativesOf gives, chain by chain, those who speak of the fact. Of its own chain the session that asks counts as one of those
// behind it. Where nothing is stated of the session, there are none.
func (l *ledgerOfFacts) relativesOf(a ask) []relatives {
	if l.stated.alone(a.session) {
		return nil
	}
	var list []relatives
	for chain, group := range l.chainsOf(a.fact) {
		n := len(group.holdings)
		before := sort.Search(n, func(i int) bool { return !l.stated.precedes(group.holdings[i].session, a.session) })
		after := before
		if chain != l.stated.chain[a.session] {
			after += sort.Search(n-before, func(i int) bool { return l.stated.follows(group.holdings[before+i].session, a.session) })
		}
		if before > 0 || after < n {
			list = append(list, relatives{group, before, after})
		}
	}
	return list
}

func (l *ledgerOfFacts) onCar(p int32) fact { return fact(p) }
func (l *ledgerOfFacts) made(j int32) fact  { return fact(int32(len(l.b.parts)) + j) }
func (l *ledgerOfFacts) altered(p int32) fact {
	return fact(int32(len(l.b.parts)+len(l.b.joints)) + p)
}

// collect reads the lines of one session.
func (l *ledgerOfFacts) collect(session int32) {
	need := func(line int32, f fact, want bool) {
		if h := l.facts[f]; len(h) == 0 || h[len(h)-1].session != session {
			l.asks = append(l.asks, ask{session, line, f, want})
		}
	}
	for _, t := range l.b.sessions[session].lines {
		for _, p := range t.parts {
			switch t.act {
			case fitting:
				need(t.index, l.onCar(p), false)
			case removal:
				need(t.index, l.onCar(p), true)
			case restoration:
				need(t.index, l.altered(p), true)
			}
		}
		if t.act == tightening {
			for _, j := range t.joints {
				need(t.index, l.made(j), true)
			}
		}
		for _, p := range t.parts {
			switch t.act {
			case fitting, removal:
				l.note(session, l.onCar(p), t.act == fitting, t.index)
			case alteration:
				l.note(session, l.altered(p), true, t.index)
			}
		}
		for _, j := range l.b.jointsOf(t) {
			l.note(session, l.made(j), t.act == fitting, t.index)
		}
	}
}

// jointsOf lists the joints that a fitting does up or a removal undoes as far as the declarations tell: those named, and
// those that clamp a named part, unless a fitting names its joints.
func (b *book) jointsOf(t step) []int32 {
	if t.act != fitting && t.act != removal {
		return nil
	}
	if t.act == fitting && len(t.joints) > 0 {
		return t.joints
	}
	list := t.joints[:len(t.joints):len(t.joints)]
	for _, p := range t.parts {
		list = append(list, b.parts[p].joints...)
	}
	return list
}

func (l *ledgerOfFacts) note(session int32, f fact, yes bool, line int32) {
	list := l.facts[f]
	if len(list) == 0 || list[len(list)-1].session != session {
		list = append(list, holding{session, none, none})
	}
	if last := &list[len(list)-1]; yes {
		last.yes = line
	} else {
		last.no = line
	}
	l.facts[f] = list
}

// gives says whether a session makes the fact as wanted, and with which line last.
func (h holding) gives(want bool) (int32, bool) {
	if want {
		return h.yes, h.yes != none
	}
	return h.no, h.no != none
}

// settledBefore says whether the need is met by what surely came before, or by what is declared.
func (l *ledgerOfFacts) settledBefore(a ask, related []relatives) bool {
	last, known := l.index(a.fact).latestBefore(l.b.sessions[a.session].span.from)
	for _, r := range related {
		if r.before == 0 {
			continue
		}
		h := r.holdings[r.before-1]
		if !known || l.rank[h.session] > l.rank[last.session] {
			last, known = h, true
		}
	}
	if known {
		return (last.yes > last.no) == a.want
	}
	return l.declared(a.fact, a.want)
}

// declared says whether a fact is as wanted before any work; a part of which nothing is declared may be on the car or not.
func (l *ledgerOfFacts) declared(f fact, want bool) bool {
	parts, joints := fact(len(l.b.parts)), fact(len(l.b.joints))
	switch {
	case f < parts && want:
		return l.b.wasFound(int32(f)) || l.b.parts[f].found != "no"
	case f < parts:
		return !l.b.wasFound(int32(f))
	case f < parts+joints:
		return l.b.original(int32(f - parts))
	}
	return false
}

func (l *ledgerOfFacts) find(f fact, session int32) (holding, bool) {
	list := l.facts[f]
	i := sort.Search(len(list), func(i int) bool { return list[i].session >= session })
	if i < len(list) && list[i].session == session {
		return list[i], true
	}
	return holding{}, false
}

// onlyProvider finds the one overlapping session that gives what is asked, if there is exactly one. Sessions that are
// stated to come before or after do not count: their place is known.
func (l *ledgerOfFacts) onlyProvider(a ask, related []relatives) (session, line int32, ok bool) {
	own := l.b.sessions[a.session].span
	count, sum := l.index(a.fact).all.overlapping(a.want, own)
	for _, r := range related {
		n, s := r.overlapping(a.want, own)
		count, sum = count-n, sum-s
		for _, h := range r.holdings[r.before:r.after] {
			if _, gives := h.gives(a.want); gives && l.b.sessions[h.session].span.overlaps(own) {
				count, sum = count+1, sum+int64(h.session)
			}
		}
	}
	if h, found := l.find(a.fact, a.session); found && l.stated.alone(a.session) {
		if _, gives := h.gives(a.want); gives {
			count, sum = count-1, sum-int64(a.session)
		}
	}
	if count != 1 {
		return 0, 0, false
	}
	h, _ := l.find(a.fact, int32(sum))
	line, _ = h.gives(a.want)
	return int32(sum), line, true
}
