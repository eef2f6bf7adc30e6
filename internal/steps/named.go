package steps

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"boltback/internal/ledger"
	"boltback/internal/record"
)

// named holds records by what people call them, in layers: those of the car at the bottom, on them those that a session named
// first, and on these what is only tried. A layer reads what lies under it and never changes it. Every question costs the
// same however much has a name.
type named struct {
	under  *named
	bodies map[record.Ref]record.Body
	order  []record.Ref
	// called finds a record by its folder and any of its names, tagged the parts that bear a number, holding the joints of a part.
	called  map[string]record.Ref
	tagged  map[string][]record.Ref
	holding map[record.Ref][]record.Ref
	stores  []storeName
	// numbers is up to which number all names of a stem are taken: wheel, wheel-2, wheel-3.
	numbers map[string]int
}

// over begins a layer.
func over(under *named) *named {
	return &named{under: under, bodies: map[record.Ref]record.Body{}, called: map[string]record.Ref{}, tagged: map[string][]record.Ref{},
		holding: map[record.Ref][]record.Ref{}, numbers: map[string]int{}}
}

// ofCar is the layer of what the car has on record.
func ofCar(s *ledger.Snapshot) *named {
	m := over(nil)
	if s == nil {
		return m
	}
	for _, r := range ledger.All[record.Part](s) {
		m.keep(NewRecord{r.ID, r.Body})
	}
	for _, r := range ledger.All[record.Joint](s) {
		m.keep(NewRecord{r.ID, r.Body})
	}
	for _, r := range ledger.All[record.System](s) {
		m.keep(NewRecord{r.ID, r.Body})
	}
	for _, r := range ledger.All[record.Store](s) {
		m.keep(NewRecord{r.ID, r.Body})
	}
	return m
}

// car is the layer at the bottom.
func (m *named) car() *named {
	for m.under != nil {
		m = m.under
	}
	return m
}

// body gives a record as it is by now, nil where there is none.
func (m *named) body(ref record.Ref) record.Body {
	for ; m != nil; m = m.under {
		if b := m.bodies[ref]; b != nil {
			return b
		}
	}
	return nil
}

// own gives a record that was named first here, nil for one of the car.
func (m *named) own(ref record.Ref) record.Body {
	for ; m.under != nil; m = m.under {
		if b := m.bodies[ref]; b != nil {
			return b
		}
	}
	return nil
}

// each visits the records of a folder, those of the car first.
func (m *named) each(folder string, visit func(ref record.Ref, body record.Body)) {
	if m == nil {
		return
	}
	m.under.each(folder, visit)
	for _, ref := range m.order {
		if folderOf(ref) == folder {
			visit(ref, m.bodies[ref])
		}
	}
}

func folderOf(ref record.Ref) string {
	folder, _, _ := strings.Cut(string(ref), "/")
	return folder
}

// keep takes a record up; what it is called counts from then on.
func (m *named) keep(r NewRecord) {
	if m.body(r.ID) == nil {
		m.name(r)
	}
	if m.bodies[r.ID] == nil {
		m.order = append(m.order, r.ID)
	}
	m.bodies[r.ID] = r.Body
	if joint, ok := r.Body.(*record.Joint); ok {
		for _, part := range joint.Clamps {
			if !slices.Contains(m.heldBy(part), r.ID) {
				m.holding[part] = append(m.holding[part], r.ID)
			}
		}
	}
}

// name notes what a record is called: the end of its path with and without dashes, and its name; and a part by its tag. The
// first that bears a name keeps it.
func (m *named) name(r NewRecord) {
	end := string(r.ID[strings.LastIndexByte(string(r.ID), '/')+1:])
	words, tag := "", ""
	switch body := r.Body.(type) {
	case *record.Part:
		words, tag = body.Name, body.Tag
	case *record.Joint:
		words = body.Name
	case *record.System:
		words = body.Name
	case *record.Store:
		m.addStore(r.ID, body.Name)
		return
	}
	for _, one := range []string{end, strings.ReplaceAll(end, "-", " "), words} {
		key := nameKey(folderOf(r.ID), one)
		if m.called[key] == "" && one != "" {
			m.called[key] = r.ID
		}
	}
	if tag != "" {
		m.tagged[tagNumber(tag)] = append(m.tagged[tagNumber(tag)], r.ID)
	}
	m.number(r.ID)
}

func nameKey(folder, words string) string { return folder + "/" + folded(words) }

// folded is a text without the difference of capitals, as strings.EqualFold sees it.
func folded(text string) string {
	return strings.Map(func(r rune) rune {
		least := r
		for next := unicode.SimpleFold(r); next != r; next = unicode.SimpleFold(next) {
			least = min(least, next)
		}
		return least
	}, text)
}

// find gives the record of a folder that words mean: its whole path, the end of it, or its name, whatever the capitals.
func (m *named) find(folder, words string) record.Ref {
	if folderOf(record.Ref(words)) == folder && m.body(record.Ref(words)) != nil {
		return record.Ref(words)
	}
	return m.byKey(nameKey(folder, words))
}

func (m *named) byKey(key string) record.Ref {
	if m == nil {
		return ""
	}
	if ref := m.under.byKey(key); ref != "" {
		return ref
	}
	return m.called[key]
}

// bearing lists the parts that bear a number, those of the car first.
func (m *named) bearing(number string) []record.Ref {
	if m == nil {
		return nil
	}
	return slices.Concat(m.under.bearing(number), m.tagged[number])
}

// heldBy lists the joints of a part, those of the car first.
func (m *named) heldBy(part record.Ref) []record.Ref {
	if m == nil {
		return nil
	}
	return slices.Concat(m.under.heldBy(part), m.holding[part])
}

// number notes that the next name of a stem is taken.
func (m *named) number(ref record.Ref) {
	at := strings.LastIndexByte(string(ref), '-')
	if at < 0 {
		return
	}
	stem := string(ref[:at])
	if n, err := strconv.Atoi(string(ref[at+1:])); err == nil && n == m.last(stem)+1 {
		m.numbers[stem] = n
	}
}

// last is up to which number all names of a stem are taken, 1 where only the stem may be.
func (m *named) last(stem string) int {
	n := 1
	for ; m != nil; m = m.under {
		n = max(n, m.numbers[stem])
	}
	return n
}

// free gives a name from a stem that is not taken.
func (m *named) free(stem string, taken func(record.Ref) bool) record.Ref {
	ref := record.Ref(stem)
	for n := m.last(stem) + 1; taken(ref); n++ {
		ref = record.Ref(fmt.Sprintf("%s-%d", stem, n))
	}
	return ref
}
