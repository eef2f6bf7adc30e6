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

// path says whether a chain of edges leads from one line to a later one of another session. Chains that run through time
// more than once need not be looked for: where two gaps in time follow each other, the first and the last of the three are
// apart as well.
func (s *sorter) path(from, to node) bool {
	if s.b.sessions[from.session].span.before(s.b.sessions[to.session].span) {
		return true
	}
	ahead, end := s.reach(from, true)
	behind, begin := s.reach(to, false)
	if end <= begin {
		return true
	}
	for session, line := range ahead {
		if reached, ok := behind[session]; ok && line <= reached {
			return true
		}
	}
	return false
}

// reach follows stated edges forwards or backwards. It gives the first (last) line it gets to in each session, and the
// earliest end (latest beginning) of any of them.
func (s *sorter) reach(from node, forwards bool) (reached map[int32]int32, bound int64) {
	reached = map[int32]int32{from.session: from.line}
	bound = s.b.sessions[from.session].span.from
	if forwards {
		bound = s.b.sessions[from.session].span.to
	}
	todo := []int32{from.session}
	visit := func(session, line int32) {
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
		session := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		line := reached[session]
		if forwards {
			for _, f := range s.followers[session] {
				visit(f, 0)
			}
			for _, e := range s.out[session] {
				if e.otherLine >= line {
					visit(e.session, e.line)
				}
			}
			continue
		}
		for _, a := range s.b.sessions[session].after {
			visit(a, int32(len(s.b.sessions[a].lines)-1))
		}
		for _, e := range s.in[session] {
			if e.line <= line {
				visit(e.other, e.otherLine)
			}
		}
	}
	return reached, bound
}
