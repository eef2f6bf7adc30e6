package replay_test

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"boltback/internal/ledger"
	"boltback/internal/record"
)

// The oracle is a second, slow reading of the rules of replay, written from the design for small ledgers: every question of
// order is answered from a full table of what comes before what, every state from maps that are searched from end to end.
// It shares no code with the package under test.

type oracleLine struct {
	session, line int
	body          record.Line
}

// oracleMark is where an alteration was made, and by which session.
type oracleMark struct {
	session, zone, where string
	told                 bool // the line says where
	repair               bool
}

type oracleSession struct {
	id       record.Ref
	hearsay  bool
	from, to time.Time
	after    []record.Ref
	lines    []int // numbers in oracle.lines
}

type oracle struct {
	parts    map[record.Ref]record.Part
	joints   map[record.Ref]record.Joint
	jointIDs []record.Ref
	listed   map[record.Ref]string // root baseline: part to position
	root     record.Ref
	sessions []oracleSession
	lines    []oracleLine
	before   [][]bool
	order    []int
	stated   []int // the order by time and by what is stated alone
	doubts   map[string]bool

	where, place map[record.Ref]string // "on", "store", "with", "off", "gone", "became", "unstated", "never"; and its detail
	inside       map[record.Ref]record.Ref
	joint        map[record.Ref]string
	marks        map[record.Ref]map[string]bool // by where they were made: whether they are still there
	made         map[string]oracleMark
	seen         map[record.Ref]int // the line, in the order, in which a part was last seen
	through      map[record.Ref]bool
	missed       map[record.Ref]bool
	since        map[record.Ref]int
	seals        map[string]int // by store and place: the line that sealed it
	car          string
	now          int
	ends         map[string]string
	fills        map[record.Ref]string
}

func newOracle(s *ledger.Snapshot) *oracle {
	o := &oracle{parts: map[record.Ref]record.Part{}, joints: map[record.Ref]record.Joint{}, listed: map[record.Ref]string{},
		doubts: map[string]bool{}, where: map[record.Ref]string{}, place: map[record.Ref]string{}, inside: map[record.Ref]record.Ref{},
		joint: map[record.Ref]string{}, marks: map[record.Ref]map[string]bool{}, made: map[string]oracleMark{}, seen: map[record.Ref]int{},
		through: map[record.Ref]bool{}, missed: map[record.Ref]bool{}, since: map[record.Ref]int{}, seals: map[string]int{}, car: "on ", ends: map[string]string{}, fills: map[record.Ref]string{}}
	for _, p := range ledger.All[record.Part](s) {
		o.parts[s.Place(p.Record).ID] = *p.Body
	}
	for _, j := range ledger.All[record.Joint](s) {
		o.joints[s.Place(j.Record).ID] = *j.Body
		o.jointIDs = append(o.jointIDs, s.Place(j.Record).ID)
	}
	slices.Sort(o.jointIDs)
	_, car := s.Car()
	if o.root = car.Root; o.root != "" {
		o.listed[o.root] = ""
	}
	if car.Baseline != nil {
		for _, p := range car.Baseline.Parts {
			o.listed[p.Part] = p.Position
		}
	}
	for _, w := range ledger.All[record.Session](s) {
		place := s.Place(w.Record)
		from, to := oracleSpan(place.Path, place.Body.(*record.Session))
		session := oracleSession{id: place.ID, from: from, to: to, hearsay: slices.Contains([]string{"told", "from memory", "from paper"}, w.Body.Basis)}
		for _, a := range w.Body.After {
			if r := s.Record(a); r != nil {
				session.after = append(session.after, s.Place(r).ID)
			}
		}
		for i, l := range w.Body.Lines {
			session.lines = append(session.lines, len(o.lines))
			o.lines = append(o.lines, oracleLine{len(o.sessions), i, l})
		}
		o.sessions = append(o.sessions, session)
	}
	return o
}

// oracleSpan reads the dates that the generators write: days, months, and moments in UTC.
func oracleSpan(path string, w *record.Session) (from, to time.Time) {
	day := path[len("work/"):][:10]
	read := func(text string) (time.Time, time.Time) {
		switch len(text) {
		case 0:
			return time.Time{}, time.Time{}
		case len("2026-03"):
			t, _ := time.Parse("2006-01", text)
			return t, t.AddDate(0, 1, 0)
		case len("2026-03-02"):
			t, _ := time.Parse("2006-01-02", text)
			return t, t.AddDate(0, 0, 1)
		default:
			t, _ := time.Parse(time.RFC3339, text)
			return t, t.Add(time.Second)
		}
	}
	startFrom, startTo := read(string(w.Started))
	switch {
	case w.Started != "":
	case day != "0000-00-00":
		startFrom, startTo = read(day)
	case w.Entered != "":
		_, startTo = read(string(w.Entered))
	default:
		startTo = time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC)
	}
	if len(w.Started) > len("2026-03-02") { // a moment: it lasts to the end of its day unless the end is written
		startTo = time.Date(startFrom.Year(), startFrom.Month(), startFrom.Day()+1, 0, 0, 0, 0, time.UTC)
	}
	if w.Ended != "" {
		_, startTo = read(string(w.Ended))
	}
	return startFrom, startTo
}

// surely says that session a is over before session b begins, by the clock alone.
func (o *oracle) surely(a, b int) bool {
	return a != b && !o.sessions[a].to.After(o.sessions[b].from)
}

func (o *oracle) key(a, b int) int {
	la, lb := o.lines[a], o.lines[b]
	sa, sb := o.sessions[la.session], o.sessions[lb.session]
	return cmp.Or(sa.from.Compare(sb.from), cmp.Compare(sa.id, sb.id), cmp.Compare(la.line, lb.line))
}

func (o *oracle) statesAfter(b, a int) bool {
	return slices.Contains(o.sessions[b].after, o.sessions[a].id)
}

// statedTo finds the sessions that by what is stated come before one (or, towards the other side, after it): those named,
// and those named by any of them.
func (o *oracle) statedTo(own int, before bool) map[int]bool {
	all := map[int]bool{}
	for grown := true; grown; {
		grown = false
		for x := range o.sessions {
			for y := range o.sessions {
				linked := before && o.statesAfter(x, y) || !before && o.statesAfter(y, x)
				walked := x == own || all[x]
				if linked && walked && y != own && !all[y] {
					all[y], grown = true, true
				}
			}
		}
	}
	return all
}

// provides lists what a line gives ("on parts/x") and what it asks for.
func (o *oracle) provides(l record.Line) (gives, takes, asks []string) {
	for _, p := range l.Parts {
		switch l.Act {
		case "fitting":
			gives, takes, asks = append(gives, "on "+string(p)), append(takes, "off "+string(p)), append(asks, "off "+string(p))
		case "removal":
			gives, takes, asks = append(gives, "off "+string(p)), append(takes, "on "+string(p)), append(asks, "on "+string(p))
		case "alteration":
			gives = append(gives, "mark "+string(p))
		case "restoration":
			asks = append(asks, "mark "+string(p))
		}
	}
	for _, j := range o.jointIDs {
		clamped := slices.ContainsFunc(o.joints[j].Clamps, func(p record.Ref) bool { return slices.Contains(l.Parts, p) })
		named := slices.Contains(l.Joints, j)
		switch {
		case l.Act == "fitting" && (named || len(l.Joints) == 0 && clamped):
			gives = append(gives, "made "+string(j))
		case l.Act == "removal" && (named || clamped):
			takes = append(takes, "made "+string(j))
		case l.Act == "tightening" && named:
			asks = append(asks, "made "+string(j))
		}
	}
	return gives, takes, asks
}

// given says what holds before any line, as far as it is declared; undeclared parts may be on the car or not.
func (o *oracle) given(want string) bool {
	what, name, _ := strings.Cut(want, " ")
	id := record.Ref(name)
	_, listed := o.listed[id]
	found := o.parts[id].Found
	switch what {
	case "on":
		return listed || found != "no"
	case "off":
		return !listed && found != "yes" && found != "inferred"
	case "made":
		return o.original(id)
	}
	return false
}

func (o *oracle) wasFound(p record.Ref) bool {
	_, listed := o.listed[p]
	return listed || o.parts[p].Found == "yes" || o.parts[p].Found == "inferred"
}

func (o *oracle) original(j record.Ref) bool {
	joint, known := o.joints[j]
	if !known || joint.Original == "no" {
		return false
	}
	for _, p := range joint.Clamps {
		if !o.wasFound(p) && p != o.root {
			return false
		}
	}
	return true
}

// need finds the one line of an overlapping session without which the line b could not have been done.
func (o *oracle) need(b int, want string) (int, bool) {
	holds, known := false, false
	settle := func(l int) bool {
		gives, takes, _ := o.provides(o.lines[l].body)
		switch {
		case slices.Contains(gives, want):
			holds, known = true, true
		case slices.Contains(takes, want):
			holds, known = false, true
		default:
			return false
		}
		return true
	}
	own := o.lines[b]
	for i := own.line - 1; i >= 0; i-- {
		if settle(o.sessions[own.session].lines[i]) {
			return 0, false
		}
	}
	before, after := o.statedTo(own.session, true), o.statedTo(own.session, false)
	var earlier []int
	for _, l := range o.stated {
		if s := o.lines[l].session; o.surely(s, own.session) || before[s] {
			earlier = append([]int{l}, earlier...)
		}
	}
	for _, l := range earlier {
		if settle(l) {
			break
		}
	}
	if known && holds || !known && o.given(want) {
		return 0, false
	}
	provider, sessions := -1, map[int]bool{}
	for l, line := range o.lines {
		a := line.session
		if a == own.session || o.surely(a, own.session) || o.surely(own.session, a) || before[a] || after[a] {
			continue
		}
		if gives, _, _ := o.provides(line.body); slices.Contains(gives, want) {
			provider = l
			sessions[a] = true
		}
	}
	return provider, len(sessions) == 1
}

// arrange fills the table of what comes before what, closes it, and lays the lines in order.
func (o *oracle) arrange() {
	n := len(o.lines)
	direct := make([][]bool, n)
	for i := range direct {
		direct[i] = make([]bool, n)
	}
	for b := range n {
		own := o.lines[b]
		for a := range n {
			other := o.lines[a]
			last := other.line == len(o.sessions[other.session].lines)-1
			if other.session == own.session {
				direct[a][b] = other.line < own.line
			} else if last && own.line == 0 && (o.surely(other.session, own.session) || o.statesAfter(own.session, other.session)) {
				direct[a][b] = true
			}
		}
	}
	o.lay(direct)
	o.stated, o.order = o.order, nil
	clear(o.doubts)
	for b := range n {
		_, _, asks := o.provides(o.lines[b].body)
		for _, want := range asks {
			if a, ok := o.need(b, want); ok {
				direct[a][b] = true
			}
		}
	}
	o.before = make([][]bool, n)
	for i := range direct {
		o.before[i] = slices.Clone(direct[i])
	}
	for k := range n {
		for i := range n {
			for j := range n {
				o.before[i][j] = o.before[i][j] || o.before[i][k] && o.before[k][j]
			}
		}
	}
	o.lay(direct)
}

// lay takes, again and again, the earliest line that waits for nothing; where all wait, it names the ring and breaks it.
func (o *oracle) lay(direct [][]bool) {
	left := make([]int, len(o.lines))
	for i := range left {
		left[i] = i
	}
	slices.SortFunc(left, o.key)
	waits := func(b int) int {
		for _, a := range left {
			if direct[a][b] && a != b && !(o.lines[a].session == o.lines[b].session && o.lines[a].line != o.lines[b].line-1) {
				return a
			}
		}
		return -1
	}
	for len(left) > 0 {
		next := slices.IndexFunc(left, func(b int) bool { return waits(b) < 0 })
		if next < 0 {
			walk := []int{left[0]}
			for {
				a := waits(walk[len(walk)-1])
				if at := slices.Index(walk, a); at >= 0 {
					walk = walk[at:]
					break
				}
				walk = append(walk, a)
			}
			var names []string
			for _, l := range walk {
				names = append(names, string(o.sessions[o.lines[l].session].id))
			}
			slices.Sort(names)
			o.doubts["order-impossible "+strings.Join(slices.Compact(names), " ")] = true
			next = slices.Index(left, slices.MinFunc(walk, o.key))
		}
		o.order = append(o.order, left[next])
		left = slices.Delete(left, next, next+1)
	}
}

// touches lists the things a line settles, with a word for how; two lines that say the same of a thing do not conflict.
func (o *oracle) touches(l record.Line) map[string]string {
	t := map[string]string{}
	for _, p := range l.Parts {
		switch {
		case slices.Contains([]string{"removal", "fitting", "move", "out", "in"}, l.Act):
			t[string(p)] = "" // always conflicts
		case l.Gone != "" || l.Became != "" || (l.Act == "preserve" || l.Act == "rectify") && (l.Store != "" || l.Place != ""):
			t[string(p)] = ""
		case l.Act == "sighting" && (l.Store != "" || l.Place != "" || l.Position != ""):
			t[string(p)] = "sighting"
		}
		if l.Act == "alteration" || l.Act == "restoration" {
			t["mark "+string(p)] = l.Act
		}
		for _, e := range l.Ends {
			t["end "+string(p)+" "+e.End] = e.State
		}
	}
	for _, j := range o.jointIDs {
		clamped := slices.ContainsFunc(o.joints[j].Clamps, func(p record.Ref) bool { return slices.Contains(l.Parts, p) })
		named := slices.Contains(l.Joints, j)
		switch {
		case l.Act == "tightening" && named:
			t[string(j)] = "tight"
		case l.Act == "fitting" && (named || clamped && len(l.Joints) == 0):
			t[string(j)] = "made"
		case l.Act == "removal" && (named || clamped):
			t[string(j)] = "undone"
		}
	}
	if l.System != "" && (l.Act == "drain" || l.Act == "fill") {
		t[string(l.System)] = l.Act
	}
	return t
}

// run replays all lines and carries what their order leaves open.
func (o *oracle) run() {
	o.arrange()
	o.begin()
	last := map[string]int{}
	for i, l := range o.order {
		line := o.lines[l]
		o.now = i
		o.apply(line)
		o.afterwards(line)
		for thing, how := range o.touches(line.body) {
			prev, seen := last[thing]
			last[thing] = l
			if !seen || o.lines[prev].session == line.session || o.before[prev][l] {
				continue
			}
			was := o.touches(o.lines[prev].body)[thing]
			if how == was && how != "" {
				continue
			}
			o.doubts[fmt.Sprintf("order-not-stated %s: %s, %s", thing, o.sessions[o.lines[prev].session].id, o.sessions[line.session].id)] = true
			o.carry(thing, line)
		}
	}
}

// carry replaces what a line settled by the worse outcome.
func (o *oracle) carry(thing string, line oracleLine) {
	switch {
	case thing == string(o.root):
		o.car = "unstated "
	case strings.HasPrefix(thing, "parts/"):
		o.where[record.Ref(thing)], o.place[record.Ref(thing)] = "unstated", ""
	case strings.HasPrefix(thing, "joints/"):
		if o.joint[record.Ref(thing)] == "tight" {
			o.joint[record.Ref(thing)] = "made"
		}
	case strings.HasPrefix(thing, "end "):
		o.ends[strings.TrimPrefix(thing, "end ")] = "unknown"
	case strings.HasPrefix(thing, "systems/"):
		o.fills[record.Ref(thing)] = "unknown"
	case strings.HasPrefix(thing, "mark "):
		for m := range o.marks[record.Ref(strings.TrimPrefix(thing, "mark "))] {
			o.marks[record.Ref(strings.TrimPrefix(thing, "mark "))][m] = true
		}
	}
}

func (o *oracle) begin() {
	declare := func(p record.Ref) {
		if _, known := o.parts[p]; !known {
			o.parts[p] = record.Part{}
		}
	}
	first := map[record.Ref]string{}
	for _, l := range o.order {
		for _, p := range o.lines[l].body.Parts {
			if _, ok := first[p]; !ok {
				first[p] = o.lines[l].body.Act
				declare(p)
			}
		}
	}
	for _, l := range o.lines {
		if l.body.Became != "" {
			declare(l.body.Became)
		}
	}
	for p := range o.listed {
		declare(p)
	}
	for _, j := range o.joints {
		for _, p := range j.Clamps {
			declare(p)
		}
	}
	for _, body := range o.parts {
		for _, p := range body.Contains {
			declare(p)
		}
	}
	for p, body := range o.parts {
		if first[p] == "removal" && body.Found == "" && !o.wasFound(p) {
			body.Found = "inferred"
			o.parts[p] = body
		}
		o.where[p] = "never"
		if o.wasFound(p) {
			o.where[p], o.place[p] = "on", cmp.Or(o.listed[p], body.Position)
		}
		for _, r := range body.Runs {
			o.ends[string(p)+" "+r.End] = cmp.Or(r.State, "connected")
			if o.where[p] == "on" {
				o.ends[string(p)+" "+r.End] = "connected"
			}
		}
	}
	for p, body := range o.parts {
		for _, c := range body.Contains {
			if o.where[p] == "on" && o.where[c] == "on" && (o.inside[c] == "" || p < o.inside[c]) {
				o.inside[c] = p
			}
		}
	}
	for _, j := range o.jointIDs {
		o.joint[j] = "undone"
		if o.original(j) {
			o.joint[j] = "tight"
		}
	}
}

func (o *oracle) hosted(j record.Ref) bool {
	return o.joints[j].Host != "" || len(o.joints[j].Clamps) < 2
}

// within adds what the assemblies of a set hold; joined adds, off the car, what is bolted to it.
func (o *oracle) within(set []record.Ref, joined bool) map[record.Ref]bool {
	all := map[record.Ref]bool{}
	for _, p := range set {
		all[p] = true
	}
	for grown := true; grown; {
		grown = false
		for p := range o.parts {
			if !all[p] && o.inside[p] != "" && all[o.inside[p]] {
				all[p], grown = true, true
			}
		}
		for _, j := range o.jointIDs {
			if !joined || o.joint[j] == "undone" {
				continue
			}
			for _, p := range o.joints[j].Clamps {
				if !all[p] || o.where[p] == "on" {
					continue
				}
				for _, q := range o.joints[j].Clamps {
					if !all[q] && o.where[q] != "on" {
						all[q], grown = true, true
					}
				}
			}
		}
	}
	return all
}

func (o *oracle) put(p record.Ref, where, place string) {
	if o.where[p] == where && o.place[p] == place {
		return
	}
	o.where[p], o.place[p], o.since[p] = where, place, o.now
	if where == "store" {
		store, shelf, _ := strings.Cut(place, " ")
		o.opened(store, shelf)
	}
}

// off works out where a line puts what it takes off or moves; "" says that it does not tell.
func (o *oracle) off(l record.Line) (string, string) {
	switch {
	case l.Gone != "":
		return "gone", l.Gone
	case l.Act == "out":
		return "with", l.With
	case l.Store != "" || l.Place != "":
		return "store", string(l.Store) + " " + l.Place
	case l.Act == "in":
		return "off", ""
	}
	return "", ""
}

func (o *oracle) apply(line oracleLine) {
	l := line.body
	for _, p := range l.Parts {
		for _, e := range l.Ends {
			o.ends[string(p)+" "+e.End] = e.State
		}
	}
	switch l.Act {
	case "removal":
		o.remove(l)
	case "fitting":
		o.fit(l)
	case "tightening":
		joints := l.Joints
		if len(joints) == 0 {
			for _, j := range o.jointIDs {
				if o.joint[j] != "undone" && slices.ContainsFunc(o.joints[j].Clamps, func(p record.Ref) bool { return slices.Contains(l.Parts, p) }) {
					joints = append(joints, j)
				}
			}
			if len(joints) != 1 {
				joints = nil
			}
		}
		for _, j := range joints {
			o.joint[j] = "tight"
		}
	case "move", "out", "in":
		o.shift(l)
	case "preserve", "rectify":
		if l.Store != "" || l.Place != "" {
			o.shift(l)
		}
	case "restoration":
		o.restore(l)
	case "sighting":
		if l.Store != "" || l.Place != "" {
			o.shift(l)
			o.count(line)
		}
		for _, p := range l.Parts {
			if l.Store == "" && l.Place == "" && l.Position != "" && p != o.root {
				o.put(p, "on", l.Position)
			}
		}
	case "drain", "fill":
		if l.System != "" {
			o.fills[l.System] = l.Act
		}
	case "alteration", "repair":
		id := fmt.Sprintf("%s#%d", o.sessions[line.session].id, line.line)
		m := oracleMark{session: string(o.sessions[line.session].id), repair: l.Act == "repair"}
		if a := l.Alteration; a != nil {
			m.told, m.zone, m.where = true, a.Zone, a.Where
		}
		o.made[id] = m
		for _, p := range l.Parts {
			if o.marks[p] == nil {
				o.marks[p] = map[string]bool{}
			}
			o.marks[p][id] = true
		}
	}
	if l.Gone != "" && !slices.Contains([]string{"removal", "move", "out", "in"}, l.Act) {
		o.shift(l)
	}
}

func (o *oracle) remove(l record.Line) {
	set := o.within(l.Parts, false)
	delete(set, o.root)
	o.open(set, l.Joints)
	where, place := o.off(l)
	for p := range set {
		if where != "" {
			o.put(p, where, place)
		} else if o.where[p] == "on" || o.where[p] == "never" || o.where[p] == "unstated" {
			o.put(p, "off", "")
		}
		if slices.Contains(l.Parts, p) && !set[o.inside[p]] {
			o.inside[p] = ""
		}
	}
}

// open undoes the named joints and those that cross the border of a set.
func (o *oracle) open(set map[record.Ref]bool, named []record.Ref) {
	for _, j := range o.jointIDs {
		in, out := 0, 0
		for _, p := range o.joints[j].Clamps {
			if set[p] {
				in++
			} else {
				out++
			}
		}
		if slices.Contains(named, j) || in > 0 && (out > 0 || o.hosted(j)) {
			o.joint[j] = "undone"
		}
	}
}

func (o *oracle) fit(l record.Line) {
	set := o.within(l.Parts, true)
	delete(set, o.root)
	where, place, bench := o.bench(l, set)
	for p := range set {
		switch {
		case bench:
			o.put(p, where, place)
		case slices.Contains(l.Parts, p):
			o.put(p, "on", cmp.Or(l.Position, o.listed[p], o.parts[p].Position))
		default:
			o.put(p, "on", cmp.Or(o.listed[p], o.parts[p].Position))
		}
	}
	for _, p := range l.Parts {
		var holders []record.Ref
		for a, body := range o.parts {
			if slices.Contains(body.Contains, p) && o.where[a] == o.where[p] && (o.where[p] == "on" || o.place[a] == o.place[p]) {
				holders = append(holders, a)
			}
		}
		if len(holders) > 0 {
			o.inside[p] = slices.Min(holders)
		} else if !set[o.inside[p]] {
			o.inside[p] = ""
		}
	}
	if len(l.Joints) > 0 {
		for _, j := range l.Joints {
			o.joint[j] = "made"
		}
		return
	}
	for _, j := range o.jointIDs {
		if o.mayMake(j, set, where, place, bench) {
			o.joint[j] = "made"
		}
	}
}

func (o *oracle) mayMake(j record.Ref, set map[record.Ref]bool, where, place string, bench bool) bool {
	touched := false
	for _, p := range o.joints[j].Clamps {
		touched = touched || set[p]
		if bench && (o.where[p] != where || o.place[p] != place) || !bench && o.where[p] != "on" {
			return false
		}
	}
	if !touched || o.joint[j] != "undone" || bench && o.hosted(j) {
		return false
	}
	if up := o.joints[j].PicksUp; up != "" && o.joint[up] != "undone" && o.joint[up] != "" {
		return false
	}
	for _, k := range o.jointIDs {
		if o.joints[k].PicksUp == j && o.joint[k] != "undone" {
			return false
		}
	}
	return true
}

func keysOf(m map[record.Ref]bool) func(func(record.Ref) bool) {
	return func(yield func(record.Ref) bool) {
		for k := range m {
			if !yield(k) {
				return
			}
		}
	}
}

// bench says whether parts are put together off the car: every partner that the line or the assemblies name is off it.
func (o *oracle) bench(l record.Line, set map[record.Ref]bool) (where, place string, is bool) {
	var partners []record.Ref
	for _, j := range l.Joints {
		if o.hosted(j) {
			return "", "", false
		}
		for _, p := range o.joints[j].Clamps {
			if !set[p] {
				partners = append(partners, p)
			}
		}
	}
	if len(l.Joints) == 0 && l.Position == "" {
		for a, body := range o.parts {
			for _, p := range l.Parts {
				if slices.Contains(body.Contains, p) && !set[a] {
					partners = append(partners, a)
				}
			}
		}
	}
	if len(partners) == 0 {
		return "", "", false
	}
	for _, p := range partners {
		if o.where[p] == "on" || o.where[p] == "never" || o.where[p] == "gone" || p == o.root {
			return "", "", false
		}
	}
	first := slices.Min(partners)
	return o.where[first], o.place[first], true
}

// shift moves parts that are off the car with all that is bolted to them; a part that was on the car has come off unrecorded.
func (o *oracle) shift(l record.Line) {
	var off []record.Ref
	on := map[record.Ref]bool{}
	for _, p := range l.Parts {
		switch {
		case p == o.root:
			o.moveCar(l)
		case l.Act == "in" && o.where[p] == "with" && l.Tag != "" && o.parts[p].Tag != "" && l.Tag != o.parts[p].Tag:
			o.doubts["returned-as-another "+string(p)] = true
		case l.Act == "sighting" && l.Place == "" && o.where[p] == "store" && strings.HasPrefix(o.place[p], string(l.Store)+" "):
		case o.where[p] == "on":
			if where, _ := o.off(l); where != "" {
				on[p] = true
			} else if l.Position != "" {
				o.put(p, "on", l.Position)
			}
		default:
			off = append(off, p)
		}
	}
	where, place := o.off(l)
	if len(on) > 0 {
		taken := o.within(slices.Collect(keysOf(on)), false)
		o.open(taken, nil)
		for p := range taken {
			o.put(p, where, place)
			if on[p] && !taken[o.inside[p]] {
				o.inside[p] = ""
			}
		}
	}
	if where == "" || len(off) == 0 {
		return
	}
	set := o.within(off, l.Act != "sighting")
	for p := range set {
		o.put(p, where, place)
	}
	for _, p := range off {
		if !set[o.inside[p]] {
			o.inside[p] = ""
		}
	}
}

// moveCar notes where the car itself is.
func (o *oracle) moveCar(l record.Line) {
	where, place := o.off(l)
	switch {
	case l.Act == "in":
		o.car = "on "
	case where != "":
		o.car = where + " " + place
	case l.Position != "":
		o.car = "on " + l.Position
	}
}

// text writes the whole state, sorted, for comparison with another reading.
func (o *oracle) text() string {
	var b []string
	for p := range o.parts {
		b = append(b, strings.TrimSpace(fmt.Sprintf("%s %s %s", p, o.where[p], o.place[p])))
		if o.inside[p] != "" {
			b = append(b, fmt.Sprintf("%s inside %s", p, o.inside[p]))
		}
		for m, there := range o.marks[p] {
			b = append(b, fmt.Sprintf("%s mark %s %v", p, m, there))
		}
		if n, ok := o.seen[p]; ok || o.missed[p] {
			b = append(b, fmt.Sprintf("%s seen %v %d, through a seal %v, missed %v", p, ok, n, o.through[p], o.missed[p]))
		}
	}
	b = append(b, "car "+strings.TrimSpace(o.car))
	for _, j := range o.jointIDs {
		b = append(b, fmt.Sprintf("%s %s", j, o.joint[j]))
	}
	for e, state := range o.ends {
		b = append(b, fmt.Sprintf("end %s %s", e, state))
	}
	for f, state := range o.fills {
		b = append(b, fmt.Sprintf("%s %s", f, state))
	}
	for d := range o.doubts {
		b = append(b, "doubt "+d)
	}
	slices.Sort(b)
	return strings.Join(b, "\n")
}
