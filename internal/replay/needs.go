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
	rows   *rows
	rank   []int32     // by session, its place in the order of time and of what is stated
	facts  [][]holding // by fact, sessions in order
	asks   []ask
	sorted map[fact]*factIndex
}

// needs finds, between overlapping sessions, the lines that need what only one other session gives.
func needs(stated *sorter) []edge {
	b := stated.b
	l := &ledgerOfFacts{b: b, rank: make([]int32, len(b.sessions)), facts: make([][]holding, 2*len(b.parts)+len(b.joints)), sorted: map[fact]*factIndex{}}
	for i, t := range stated.order {
		l.rank[t.session] = int32(i)
	}
	l.rows = rowsOf(b, stated.followers, l.rank)
	stated.rows = l.rows
	for i := range b.sessions {
		l.collect(int32(i))
	}
	var edges []edge
	for _, a := range l.asks {
		r := l.relativesOf(a)
		if l.settledBefore(a, r.before) {
			continue
		}
		if session, line, ok := l.onlyProvider(a, r.all); ok {
			edges = append(edges, edge{a.session, a.line, session, line})
		}
	}
	return edges
}

// relatives are, of those who speak of a fact, the sessions that by what is stated come before or after the one that asks.
type relatives struct {
	before []holding   // the last of each row that comes before
	all    []*speakers // by row, those on either side, and of its own row the one that asks too
}

func (l *ledgerOfFacts) relativesOf(a ask) relatives {
	var r relatives
	if l.rows.alone(a.session) {
		return r
	}
	row := l.rows.of[a.session]
	near, groups := l.rows.kinOf(row), l.rowsOf(a.fact)
	if own := groups[row]; own != nil {
		r.all = append(r.all, own)
		if h, ok := l.lastIn(own, a.session, near.mark[row] != 0); ok {
			r.before = append(r.before, h)
		}
	}
	visit := func(x int32) {
		group := groups[x]
		if group == nil || x == row || near.mark[x] == 0 {
			return
		}
		r.all = append(r.all, group)
		if near.mark[x]&before != 0 {
			r.before = append(r.before, group.holdings[len(group.holdings)-1])
		}
	}
	if len(near.list) < len(groups) {
		for _, x := range near.list {
			visit(x)
		}
		return r
	}
	for x := range groups {
		visit(x)
	}
	return r
}

// lastIn gives the last of its own row that comes before a session: where the row comes before itself, in a ring, any other.
func (l *ledgerOfFacts) lastIn(own *speakers, session int32, ring bool) (holding, bool) {
	n := len(own.holdings)
	if !ring {
		n = sort.Search(n, func(i int) bool { return l.rows.place[own.holdings[i].session] >= l.rows.place[session] })
	} else if n > 0 && own.holdings[n-1].session == session {
		n--
	}
	if n == 0 {
		return holding{}, false
	}
	return own.holdings[n-1], true
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
func (l *ledgerOfFacts) settledBefore(a ask, stated []holding) bool {
	last, known := l.index(a.fact).latestBefore(l.b.sessions[a.session].span.from)
	for _, h := range stated {
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
func (l *ledgerOfFacts) onlyProvider(a ask, related []*speakers) (session, line int32, ok bool) {
	own := l.b.sessions[a.session].span
	count, sum := l.index(a.fact).all.overlapping(a.want, own)
	for _, r := range related {
		n, s := r.overlapping(a.want, own)
		count, sum = count-n, sum-s
	}
	if h, found := l.find(a.fact, a.session); found && l.rows.alone(a.session) {
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
