package identity

// Crossing is a likeness between numbers of two kinds: what a title calls the
// car's number may be the engine's, and a plate may repeat the chassis.
type Crossing struct {
	A, B      Claim // in the order of kinds that Matrix shows
	Agreement Agreement
}

// Across compares every plate, title and archive number with the numbers of
// other kinds, and lists those that do not conflict. Numbers of different kinds
// differ by nature, so a difference between them says nothing.
func Across(claims []Claim) []Crossing {
	all := sorted(claims)
	var out []Crossing
	for i, a := range all {
		for _, b := range all[i+1:] {
			if a.Kind == b.Kind || !a.Kind.namesCar() && !b.Kind.namesCar() || !a.usable() || !b.usable() {
				continue
			}
			if g := Compare(a.Number, b.Number); g.Verdict != Conflict {
				out = append(out, Crossing{A: a, B: b, Agreement: g})
			}
		}
	}
	return out
}

// namesCar tells whether a number of this kind names the car without saying
// which part bears it.
func (k Kind) namesCar() bool { return k == Plate || k == Title || k == ArchivePaper }
