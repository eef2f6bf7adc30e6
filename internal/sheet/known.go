package sheet

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"boltback/internal/ledger"
	"boltback/internal/record"
)

// HeadFrom fills what the records say of the car itself: its name, and the
// numbers read on the car. The caller adds day, people, paper and source.
func HeadFrom(s *ledger.Snapshot, slug string) Head {
	_, car := s.Car()
	h := Head{Car: car.Name, Slug: slug}
	seen := map[string]bool{}
	var numbers []string
	for _, n := range car.Numbers {
		if n.Raw == "" || n.OnCar == "no" || seen[n.What] {
			continue
		}
		seen[n.What] = true
		numbers = append(numbers, n.What+" "+n.Raw)
	}
	h.Numbers = strings.Join(numbers, "   ")
	return h
}

// RemovalsFrom lists the parts of a zone (of all, if zone is empty) that are on
// the car, with what the records know of their fasteners. Where parts are today
// is for the caller to say. Parts with no joint come last.
func RemovalsFrom(s *ledger.Snapshot, zone string, onCar func(record.Ref) bool) []Removal {
	joints := map[record.Ref][]*record.Joint{}
	bags := map[record.Ref]string{}
	for _, j := range ledger.All[record.Joint](s) {
		for _, p := range j.Body.Clamps {
			joints[p] = append(joints[p], j.Body)
			bags[p] = oneBag(bags[p], j.Body.Fasteners)
		}
	}
	_, car := s.Car()
	var list []Removal
	for _, p := range ledger.All[record.Part](s) {
		if p.ID == car.Root || !inZone(zone, p.Body.Zone) || !onCar(p.ID) {
			continue
		}
		list = append(list, Removal{
			Tag: p.Body.Tag, Part: p.Name(), Position: p.Body.Position, Side: p.Body.Side,
			Fasteners: inBox(joints[p.ID]), Bag: bags[p.ID], Hazard: strings.Join(p.Body.Hazards, ", "),
		})
	}
	slices.SortStableFunc(list, func(a, b Removal) int { return cmp.Compare(rank(a), rank(b)) })
	return list
}

func rank(r Removal) int {
	if r.Fasteners == "" {
		return 1
	}
	return 0
}

// TighteningsFrom lists the joints of a zone with their specification. A value
// whose source is not stated is not passed on.
func TighteningsFrom(s *ledger.Snapshot, zone string) []TighteningLine {
	var list []TighteningLine
	for _, j := range ledger.All[record.Joint](s) {
		if !inZone(zone, j.Body.Zone) {
			continue
		}
		line := TighteningLine{Joint: j.Name(), Fasteners: fastenerWords(j.Body.Fasteners)}
		if sp := j.Body.Specification; sp != nil {
			line.Specified = joined(string(sp.Torque), string(sp.Angle), " + ")
			line.Source = sp.Source
			if line.Specified != "" && sp.Surface != "" {
				line.Specified += ", " + sp.Surface
			}
			line.SecondCheck = sp.SecondCheck != "" && sp.SecondCheck != "not required"
		}
		list = append(list, line)
	}
	return list
}

// FeaturesFrom lists what was seen in a zone before the first work on it.
func FeaturesFrom(s *ledger.Snapshot, zone string) []Feature {
	var list []Feature
	for _, e := range ledger.All[record.Existing](s) {
		if inZone(zone, e.Body.Zone) {
			where := e.Body.Where
			if where == "" {
				where = e.Name()
			}
			list = append(list, Feature{What: e.Body.What, Where: where, Size: string(e.Body.Size), Count: int(e.Body.Count)})
		}
	}
	return list
}

// highVoltage are the words by which records name circuits above the touch-safe
// limit.
const highVoltage = "traction"

// IsolationsFrom lists the parts of the high-voltage circuits, each a point at
// which to prove dead.
func IsolationsFrom(s *ledger.Snapshot) []Isolation {
	var list []Isolation
	for _, sys := range ledger.All[record.System](s) {
		c := sys.Body.Circuit
		if c == nil || c.Sort != highVoltage {
			continue
		}
		for _, id := range sys.Body.Parts {
			where := string(id)
			if p, ok := ledger.Get[record.Part](s, id); ok {
				where = p.Name()
			}
			list = append(list, Isolation{Where: where, Voltage: string(c.Voltage)})
		}
	}
	return list
}

func inZone(wanted, zone string) bool { return wanted == "" || strings.EqualFold(wanted, zone) }

func fastenerWords(list []record.Fastener) string {
	var words []string
	for _, f := range list {
		w := strings.TrimSpace(f.Size + " " + f.Class)
		if w == "" {
			w = f.What
		}
		if f.Count > 0 {
			w = fmt.Sprintf("%d × %s", f.Count, w)
		}
		words = append(words, w)
	}
	return strings.Join(words, ", ")
}

// mostKinds is how many kinds of fasteners are written out in one box; of more only the number is of use there.
const mostKinds = 3

// inBox are the fasteners of a part's joints, as far as a box holds them.
func inBox(joints []*record.Joint) string {
	words, pieces, kinds := "", int64(0), 0
	for _, j := range joints {
		words = joined(words, fastenerWords(j.Fasteners), "; ")
		for _, f := range j.Fasteners {
			pieces, kinds = pieces+f.Count, kinds+1
		}
	}
	if kinds > mostKinds && pieces > 0 {
		return fmt.Sprintf("%d in %d joints", pieces, len(joints))
	}
	return words
}

// oneBag keeps a bag's number while there is only one.
func oneBag(before string, list []record.Fastener) string {
	for _, f := range list {
		if f.Bag != "" && before != "" && f.Bag != before {
			return "several"
		}
		if f.Bag != "" {
			before = f.Bag
		}
	}
	return before
}

func joined(a, b, between string) string {
	if a == "" || b == "" {
		return a + b
	}
	return a + between + b
}
