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
	b         *book
	followers [][]int32   // by session, those that name it in after
	rank      []int32     // by session, its place in the order of time and of what is stated
	facts     [][]holding // by fact, sessions in order
	asks      []ask
	sorted    map[fact]*factIndex
}

// needs finds, between overlapping sessions, the lines that need what only one other session gives.
func needs(stated *sorter) []edge {
	b := stated.b
	l := &ledgerOfFacts{b: b, followers: stated.followers, rank: make([]int32, len(b.sessions)),
		facts: make([][]holding, 2*len(b.parts)+len(b.joints)), sorted: map[fact]*factIndex{}}
	for i, t := range stated.order {
		l.rank[t.session] = int32(i)
	}
	for i := range b.sessions {
		l.collect(int32(i))
	}
	var edges []edge
	near := neighbours{session: none}
	for _, a := range l.asks {
		if near.session != a.session {
			near = l.neighboursOf(a.session)
		}
		if l.settledBefore(a, near.before) {
			continue
		}
		if session, line, ok := l.onlyProvider(a, near); ok {
			edges = append(edges, edge{a.session, a.line, session, line})
		}
	}
	return edges
}

// neighbours are the sessions that by what is stated come before a session, and those that come after it: those it names,
// and, of each of these that overlaps it, those that it names in turn; and the same the other way.
type neighbours struct {
	session       int32
	before, after map[int32]bool
}

func (l *ledgerOfFacts) neighboursOf(session int32) neighbours {
	return neighbours{session,
		l.reached(session, func(x int32) []int32 { return l.b.sessions[x].after }),
		l.reached(session, func(x int32) []int32 { return l.followers[x] })}
}

// reached walks from a session through those that overlap it.
func (l *ledgerOfFacts) reached(session int32, next func(int32) []int32) map[int32]bool {
	own := l.b.sessions[session].span
	reached := map[int32]bool{}
	walk := []int32{session}
	for len(walk) > 0 {
		x := walk[len(walk)-1]
		walk = walk[:len(walk)-1]
		for _, y := range next(x) {
			if y == session || reached[y] {
				continue
			}
			reached[y] = true
			if span := l.b.sessions[y].span; !span.before(own) && !own.before(span) {
				walk = append(walk, y)
			}
		}
	}
	return reached
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
func (l *ledgerOfFacts) settledBefore(a ask, stated map[int32]bool) bool {
	last, known := l.index(a.fact).latestBefore(l.b.sessions[a.session].span.from)
	for earlier := range stated {
		if h, ok := l.find(a.fact, earlier); ok && (!known || l.rank[h.session] > l.rank[last.session]) {
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
func (l *ledgerOfFacts) onlyProvider(a ask, near neighbours) (session, line int32, ok bool) {
	own := &l.b.sessions[a.session]
	count, sum := l.index(a.fact).overlapping(a.want, own.span)
	leave := func(other int32) {
		h, found := l.find(a.fact, other)
		span := l.b.sessions[other].span
		if _, gives := h.gives(a.want); found && gives && !span.before(own.span) && !own.span.before(span) {
			count, sum = count-1, sum-int64(other)
		}
	}
	leave(a.session)
	for other := range near.before {
		leave(other)
	}
	for other := range near.after {
		if !near.before[other] {
			leave(other)
		}
	}
	if count != 1 {
		return 0, 0, false
	}
	h, _ := l.find(a.fact, int32(sum))
	line, _ = h.gives(a.want)
	return int32(sum), line, true
}
