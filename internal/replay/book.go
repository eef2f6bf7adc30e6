package replay

import (
	"cmp"
	"slices"

	"boltback/internal/ledger"
	"boltback/internal/record"
)

// book is a ledger with its names turned into numbers: things that lines can touch, and the sessions in the order of their
// earliest beginnings. It does not change once it is made.
type book struct {
	snapshot *ledger.Snapshot
	names    [3]names // of parts, joints and systems
	same     map[record.Ref]record.Ref
	parts    []partInfo
	joints   []jointInfo
	systems  []record.Ref
	root     int32
	singles  map[string][]int32 // by spot: the parts that belong there and share it with nothing
	spots    map[string][]int32 // by spot: all parts that belong there
	sessions []session
}

// partInfo is what is declared of a part. Several records of one part (same-as) are one part here.
type partInfo struct {
	ref      record.Ref
	body     *record.Part // nil where only lines and lists speak of it
	listed   *record.BaselinePart
	found    string // yes, no, inferred, or "" where nothing is declared
	position string
	contains []int32
	holders  []int32 // assemblies that declare it, by name
	joints   []int32 // that clamp it, by name
}

// jointInfo is what is declared of a joint. A joint with a host, or with fewer than two parts, is fastened to the car.
type jointInfo struct {
	ref    record.Ref
	body   *record.Joint
	clamps []int32
	hosted bool
	picks  int32   // the joint whose holes it uses, or none
	picked []int32 // joints that use its holes
}

// session is one session that counts, in the place where it stands.
type session struct {
	place   *record.Record // whose path and date count
	current *record.Record // whose lines count
	body    *record.Session
	span    span
	after   []int32 // numbers of sessions it states to come after
	lines   []step
}

const none = int32(-1)

// newBook reads a snapshot. With an earlier book of the same car the numbers of the things stay what they were, so that
// states replayed with it can be taken over.
func newBook(s *ledger.Snapshot, earlier *book) *book {
	b := &book{snapshot: s, same: map[record.Ref]record.Ref{}, singles: map[string][]int32{}, spots: map[string][]int32{}, root: none}
	for i := range b.names {
		b.names[i] = names{map[record.Ref]int32{}, map[record.Ref]bool{}}
	}
	if earlier != nil {
		for _, p := range earlier.parts {
			b.partAt(p.ref)
		}
		for _, j := range earlier.joints {
			b.jointAt(j.ref)
		}
		for _, y := range earlier.systems {
			b.systemAt(y)
		}
		for i := range b.names {
			clear(b.names[i].spoken)
		}
	}
	b.join()
	b.declareParts()
	b.declareBaseline()
	b.declareJoints()
	b.declareSessions()
	for i := range b.parts {
		p := &b.parts[i]
		slices.SortFunc(p.holders, b.byName)
		p.holders = slices.Compact(p.holders)
		spot := p.spot()
		b.spots[spot] = append(b.spots[spot], int32(i))
		if p.body != nil && p.body.PositionSingle == "yes" && spot != "" {
			b.singles[spot] = append(b.singles[spot], int32(i))
		}
	}
	return b
}

// sorted lists joints by name, each once.
func (b *book) sorted(joints []int32) []int32 {
	slices.SortFunc(joints, func(x, y int32) int { return cmp.Compare(b.joints[x].ref, b.joints[y].ref) })
	return slices.Compact(joints)
}

func (b *book) byName(x, y int32) int { return cmp.Compare(b.parts[x].ref, b.parts[y].ref) }

const (
	partNames = iota
	jointNames
	systemNames
)

func (b *book) declareParts() {
	for _, e := range standing[record.Part](b.snapshot) {
		n := b.partAt(e.ID)
		p := &b.parts[n]
		if p.body == nil {
			p.body = e.Body
		} else {
			p.body = joined(p.body, e.Body)
		}
		p.found, p.position = p.body.Found, p.body.Position
	}
	for i := range b.parts {
		if b.parts[i].body == nil {
			continue
		}
		for _, c := range b.parts[i].body.Contains {
			if child := b.partAt(c); child != int32(i) && !slices.Contains(b.parts[i].contains, child) {
				b.parts[i].contains = append(b.parts[i].contains, child)
				b.parts[child].holders = append(b.parts[child].holders, int32(i))
			}
		}
	}
	for _, y := range standing[record.System](b.snapshot) {
		b.systemAt(y.ID)
	}
}

func (b *book) declareBaseline() {
	_, car := b.car()
	if car.Root != "" {
		b.root = b.partAt(car.Root)
	}
	if car.Baseline == nil {
		return
	}
	for i := range car.Baseline.Parts {
		listed := &car.Baseline.Parts[i]
		p := &b.parts[b.partAt(listed.Part)]
		if p.listed == nil {
			p.listed = listed
		}
	}
}

// car gives the car's record as it stands today.
func (b *book) car() (*record.Record, *record.Car) {
	if e, ok := ledger.Get[record.Car](b.snapshot, "car"); ok {
		return e.Record, e.Body
	}
	return nil, &record.Car{}
}

func (b *book) declareJoints() {
	for _, e := range standing[record.Joint](b.snapshot) {
		n := b.jointAt(e.ID)
		j := &b.joints[n]
		j.body, j.hosted = e.Body, e.Body.Host != ""
		for _, c := range e.Body.Clamps {
			if p := b.partAt(c); !slices.Contains(j.clamps, p) {
				j.clamps = append(j.clamps, p)
			}
		}
		if e.Body.PicksUp != "" {
			picked := b.jointAt(e.Body.PicksUp)
			b.joints[n].picks = picked
			b.joints[picked].picked = append(b.joints[picked].picked, n)
		}
	}
	b.linkJoints()
}

// linkJoints lists at each part the joints that clamp it, by name.
func (b *book) linkJoints() {
	order := make([]int32, len(b.joints))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortFunc(order, func(x, y int32) int { return cmp.Compare(b.joints[x].ref, b.joints[y].ref) })
	for _, n := range order {
		b.joints[n].hosted = b.joints[n].hosted || len(b.joints[n].clamps) < 2
		for _, p := range b.joints[n].clamps {
			b.parts[p].joints = append(b.parts[p].joints, n)
		}
	}
}

// wasListed says that a part is declared to have been on the car at the root baseline.
func (p *partInfo) wasListed() bool {
	return p.listed != nil || p.found == "yes" || p.found == "inferred"
}

// found says the same with the root itself, which is the car.
func (b *book) wasFound(p int32) bool { return p == b.root || b.parts[p].wasListed() }

// original says that a joint was done up at the root baseline: not denied, and all it clamps was there.
func (b *book) original(j int32) bool {
	joint := &b.joints[j]
	if joint.body == nil || joint.body.Original == "no" {
		return false
	}
	for _, p := range joint.clamps {
		if !b.wasFound(p) {
			return false
		}
	}
	return true
}

// spot is where a part belongs as far as it is declared.
func (p *partInfo) spot() string {
	if p.listed != nil && p.listed.Position != "" {
		return p.listed.Position
	}
	return p.position
}
