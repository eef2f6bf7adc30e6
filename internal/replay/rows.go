package replay

// rows divides the sessions into rows. In a row each session names only the one before it, and is named by no other, so that
// whoever comes after its last comes after all of them. A long chain of sessions that name each other is one row, and a walk
// along what is stated takes it in one stride.
type rows struct {
	of, place []int32 // by session: its row, and its place in it
	head      []int32 // by row: its first session
	tail      []int32 // by row: its last
	after     func(int32) []int32
	followers [][]int32
	kin       kin // of the row asked about last
}

// kin are the rows that by what is stated come before one row, and those that come after it: those whose tail its head names,
// and so on; and the same the other way.
type kin struct {
	row  int32
	mark []side // by row
	list []int32
}

// side says on which side of a row another stands; of rows that wait for each other in a ring, on both.
type side uint8

const (
	before side = 1 << iota
	after
)

// rowsOf divides the sessions of a book, of which rank tells the place in the order of edges 1 to 3. What that order could not
// keep does not join a row.
func rowsOf(b *book, followers [][]int32, rank []int32) *rows {
	n := len(b.sessions)
	r := &rows{of: make([]int32, n), place: make([]int32, n), followers: followers, kin: kin{row: none},
		after: func(x int32) []int32 { return b.sessions[x].after }}
	joined := func(x int32) (int32, bool) {
		names := b.sessions[x].after
		if len(names) != 1 || len(followers[names[0]]) != 1 || rank[names[0]] >= rank[x] {
			return 0, false
		}
		return names[0], true
	}
	for x := range int32(n) {
		if _, ok := joined(x); ok {
			continue
		}
		row := int32(len(r.head))
		r.head = append(r.head, x)
		for place, more := int32(0), true; more; place++ {
			r.of[x], r.place[x] = row, place
			r.tail = append(r.tail[:row], x)
			more = len(followers[x]) == 1
			if more {
				next := followers[x][0]
				if _, more = joined(next); more {
					x = next
				}
			}
		}
	}
	r.kin.mark = make([]side, len(r.head))
	return r
}

// alone says that nothing is stated of a session: it names none and is named by none.
func (r *rows) alone(session int32) bool {
	return len(r.after(session)) == 0 && len(r.followers[session]) == 0
}

// kinOf gives the rows before and after a row. They are kept until the next row is asked about.
func (r *rows) kinOf(row int32) *kin {
	if r.kin.row == row {
		return &r.kin
	}
	for _, x := range r.kin.list {
		r.kin.mark[x] = 0
	}
	r.kin.row, r.kin.list = row, r.kin.list[:0]
	r.walk(row, before, func(x int32) []int32 { return r.after(r.head[x]) })
	r.walk(row, after, func(x int32) []int32 { return r.followers[r.tail[x]] })
	return &r.kin
}

func (r *rows) walk(row int32, towards side, next func(int32) []int32) {
	todo := []int32{row}
	for len(todo) > 0 {
		x := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		for _, session := range next(x) {
			y := r.of[session]
			if r.kin.mark[y]&towards != 0 {
				continue
			}
			if r.kin.mark[y] == 0 {
				r.kin.list = append(r.kin.list, y)
			}
			r.kin.mark[y] |= towards
			todo = append(todo, y)
		}
	}
}

// states says that one session comes before another by what is stated.
func (r *rows) states(a, b int32) bool {
	if r.of[a] == r.of[b] && r.place[a] < r.place[b] {
		return true
	}
	return r.kinOf(r.of[b]).mark[r.of[a]]&before != 0
}
