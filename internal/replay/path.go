package replay

// node is one line in the search for a ring.
type node struct{ session, line int32 }

func (n node) less(o node) bool {
	return n.session < o.session || n.session == o.session && n.line < o.line
}

// waitedFor gives the first line that a waiting line waits for.
func (s *sorter) waitedFor(n node) node {
	best := node{session: int32(len(s.b.sessions))}
	offer := func(o node) {
		if o.line >= s.next[o.session] && o.less(best) {
			best = o
		}
	}
	last := func(session int32) node { return node{session, int32(len(s.b.sessions[session].lines) - 1)} }
	if n.line > s.next[n.session] {
		offer(node{n.session, n.line - 1})
	}
	for _, e := range s.in[n.session] {
		if e.line == n.line {
			offer(node{e.other, e.otherLine})
		}
	}
	if n.line > 0 {
		return best
	}
	for _, a := range s.b.sessions[n.session].after {
		offer(last(a))
	}
	for k := range s.waitsFor[n.session] {
		if session := s.ends[k]; !s.finished(session) {
			offer(last(session))
		}
	}
	return best
}

// path says whether a chain of edges leads from one line to a later one of another session. It need not be looked for beyond
// the lines between them, since every edge leads to a later line. Chains that run through time more than once need not be
// looked for either: where two gaps in time follow each other, the first and the last of the three are apart as well.
func (s *sorter) path(from, to node) bool {
	if s.b.sessions[from.session].span.before(s.b.sessions[to.session].span) || s.stated.precedes(from.session, to.session) {
		return true
	}
	between := window{s.numbers[from.session][from.line], s.numbers[to.session][to.line]}
	ahead, end := s.reach(from, between, true, &to)
	if line, ok := ahead[to.session]; ok && line <= to.line {
		return true
	}
	if end > s.latest[between.last] {
		return false // no session up to there begins after one so reached has ended
	}
	_, begin := s.reach(to, between, false, nil)
	return end <= begin
}

// window is a stretch of the order: the numbers of its first and its last line.
type window struct{ first, last int32 }

// reach follows stated edges and needs forwards or backwards, within a window. It gives the first (last) line it gets to in each
// session, and the earliest end (latest beginning) of any of them. Once it gets to the line sought, it stops.
func (s *sorter) reach(from node, within window, forwards bool, sought *node) (reached map[int32]int32, bound int64) {
	reached = map[int32]int32{from.session: from.line}
	bound = s.b.sessions[from.session].span.from
	if forwards {
		bound = s.b.sessions[from.session].span.to
	}
	todo := []int32{from.session}
	visit := func(session, line int32) {
		if n := s.numbers[session][line]; n < within.first || n > within.last {
			return
		}
		was, seen := reached[session]
		if seen && (forwards && was <= line || !forwards && was >= line) {
			return
		}
		reached[session] = line
		todo = append(todo, session)
		if forwards {
			bound = min(bound, s.b.sessions[session].span.to)
		} else {
			bound = max(bound, s.b.sessions[session].span.from)
		}
	}
	for len(todo) > 0 {
		if sought != nil {
			if line, ok := reached[sought.session]; ok && line <= sought.line {
				break
			}
		}
		session := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		s.leave(node{session, reached[session]}, forwards, visit)
	}
	return reached, bound
}

// leave visits the lines to which an edge leads from a session, from a line on; or, backwards, from which one leads to it.
func (s *sorter) leave(n node, forwards bool, visit func(session, line int32)) {
	if forwards {
		for _, f := range s.followers[n.session] {
			visit(f, 0)
		}
		for _, e := range s.out[n.session] {
			if e.otherLine >= n.line {
				visit(e.session, e.line)
			}
		}
		return
	}
	for _, a := range s.b.sessions[n.session].after {
		visit(a, int32(len(s.b.sessions[a].lines)-1))
	}
	for _, e := range s.in[n.session] {
		if e.line <= n.line {
			visit(e.other, e.otherLine)
		}
	}
}
