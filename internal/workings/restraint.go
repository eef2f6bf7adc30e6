package workings

import (
	"fmt"
	"slices"
	"strings"

	"boltback/internal/quantity"
)

const restraintCaution = "A screening sum for an engineer, not a design. It looks at static force on one path and knows nothing of welds, brackets, seams, fatigue or how the shell folds. A licensed engineer decides what holds a battery; safety stands before reversibility."

// Direction is one direction in which the pack is thrown.
type Direction struct {
	Name   string
	G      Input // acceleration
	Tilted bool  // upward or along the bolts: they are in tension
	Source Source
}

// DirectionsUN are the directions of the UN shock corridor.
func DirectionsUN() []Direction {
	return []Direction{
		{"forward or rearward", published("20 gn", unShock).exactly(), false, unShock},
		{"sideways", published("8 gn", unShock).exactly(), false, unShock},
	}
}

// DirectionsCode are the four directions of the Australian code, as recalled.
func DirectionsCode() []Direction {
	return []Direction{
		{"forward", published("20 gn", codeShock).exactly(), false, codeShock},
		{"sideways", published("15 gn", codeShock).exactly(), false, codeShock},
		{"rearward", published("10 gn", codeShock).exactly(), false, codeShock},
		{"upward", published("10 gn", codeShock).exactly(), true, codeShock},
	}
}

// Mount is how a pack is bolted to the car.
type Mount struct {
	Name      string
	Mass      Input
	Bolts     int64
	Size      string
	Class     string
	Thickness Input // of the host sheet, all layers that bear together
	Strength  Input // tensile strength of the host
	Condition string
	Spread    Input // across the washer or spreader plate behind the sheet
	Prying    Input // factor on bolt tension; empty takes 1.5
	// Bracket is the static force that the bracket is stated to bear; empty where
	// nobody stated it.
	Bracket Input
}

// RestraintIn finds the weakest link between pack and car in one direction: the
// fasteners, the bracket, and the metal of the car in bearing or pull-through.
// Without thickness, strength and condition of that metal the outcome is that
// evidence is missing: what holds the bolt.
func RestraintIn(id string, m Mount, d Direction) Working {
	s := begin(Restraint, "restraint "+id+" "+d.Name, "Restraint, "+d.Name+": "+m.Name)
	s.w.Sources = []Source{d.Source, bearingSrc, shearSrc, pullSrc}
	s.w.Caution = restraintCaution
	s.take("m", "mass held", m.Mass, quantity.Mass)
	s.take("g", "acceleration "+d.Name, d.G, quantity.Acceleration)
	s.takeCount("n", "fasteners", m.Bolts, Input{})
	s.assume("the force is static and shared evenly by all fasteners, which is kinder than a crash",
		"friction is given no credit, and no safety factor is taken: an engineer's code asks for one")
	s.calc("F", "kN", "m*g", "Force on the mount.")
	s.calc("F_1", "kN", "F/n", "On each fastener.")
	links := s.fasteners(m, d)
	host, missing := s.host(m, d)
	links = append(links, host...)
	if m.Bracket.Text != "" && s.take("B", "bracket, as stated", m.Bracket, quantity.Force) {
		s.calc("B_1", "kN", "B/n", "The bracket's share for each fastener.")
		links = append(links, link{"bracket", "B_1"})
	} else {
		s.missing("the strength of the bracket, from a drawing or a calculation")
	}
	s.weakest(links, missing, d)
	return s.done()
}

// link is one part of the load path with its strength for each fastener.
type link struct{ what, symbol string }

func (s *sheet) fasteners(m Mount, d Direction) []link {
	thread, ok := ThreadOf(m.Size, m.Class)
	if !ok {
		s.missing(noTable(m.Size, m.Class))
		return nil
	}
	s.take("d", "thread", thread.Diameter, quantity.Length)
	s.take("F_u", "ultimate load of one fastener", thread.Ultimate, quantity.Force)
	if d.Tilted {
		prying := m.Prying
		if prying.Value.IsZero() {
			prying = published("1.5", Source{"prying is not known; 1.5 is taken", Habit}).exactly()
			s.assume("prying: the edge of a flange levers on the bolt, and its tension is taken 1.5 times the force")
		}
		s.take("q", "prying", prying, quantity.Count)
		s.calc("N", "kN", "F_u/q", "Tension that the fastener bears, prying taken off.")
		return []link{{"fastener in tension with prying", "N"}}
	}
	s.take("k", "shear over ultimate", published(shearShare(m.Class), shearSrc).exactly(), quantity.Count)
	s.calc("V", "kN", "k*F_u", "Shear that the fastener bears, thread in the shear plane.")
	return []link{{"fastener in shear", "V"}}
}

// noTable says why a fastener has no loads here.
func noTable(size, class string) string {
	if size == "" {
		return "size and class of the fasteners"
	}
	return "a fastener with a table here (metric coarse 8.8 or 10.9, UNC or UNF grade 5 or 8); " + strings.TrimSpace(size+" "+class) + " has none, and old British strength letters are not taken for SAE grades"
}

// shearShare is the shear strength over the ultimate load: less for the harder
// classes, which are more brittle.
func shearShare(class string) string {
	if class == "10.9" || class == "8" {
		return "0.5"
	}
	return "0.6"
}

// host is the metal of the car: bearing across the bolt, or pull-through along it.
func (s *sheet) host(m Mount, d Direction) ([]link, bool) {
	t := s.take("t", "thickness of the host", m.Thickness, quantity.Length)
	r := s.take("R_m", "tensile strength of the host", m.Strength, quantity.Pressure)
	looked := m.Condition != "" && m.Condition != "not looked at"
	if !looked {
		s.missing("the condition of the metal round the hole")
	}
	if !t || !r || !looked {
		return nil, true
	}
	s.say("Condition of the metal round the hole.", m.Condition)
	if m.Condition != "sound" {
		s.note("The metal is recorded as “%s”: the sum takes it as sound, so it overstates what it bears.", m.Condition)
	}
	if d.Tilted {
		if !s.take("D", "across the washer or spreader plate", m.Spread, quantity.Length) {
			return nil, true
		}
		s.take("π", "pi", published("3.14159", Source{"definition", Physics}).exactly(), quantity.Count)
		s.take("c", "shear over tensile strength", published("0.6", pullSrc).exactly(), quantity.Count)
		s.calc("P", "kN", "c*π*D*t*R_m", "Pull-through of the sheet round the washer.")
		return []link{{"host sheet, pull-through", "P"}}, false
	}
	if !s.has("d") {
		return nil, false // no thread with a table: what the fasteners bear is asked for
	}
	s.calc("L", "kN", "d*t*R_m", "Bearing of the fastener in the sheet, with no credit for what surrounds the hole.")
	s.take("f", "bearing factor far from any edge", published("2.5", bearingSrc).exactly(), quantity.Count)
	s.calc("L_f", "kN", "f*d*t*R_m", "The most that bearing could give, three diameters and more from every edge.")
	return []link{{"host sheet in bearing", "L"}}, false
}

// weakest compares the links with the force on each fastener.
func (s *sheet) weakest(links []link, missing bool, d Direction) {
	var least link
	for _, l := range links {
		if !s.has(l.symbol) {
			continue
		}
		if s.has("F_1") {
			v := decide(l.what, s.get("F_1"), quantity.AtMost(s.get(l.symbol)), quantity.SimpleAcceptance)
			v.Source, v.Why = d.Source, "force on each fastener against what this link bears"
			s.verdict(v)
		}
		if least.symbol == "" || s.bearsLess(l.symbol, least.symbol) {
			least = l
		}
	}
	if missing {
		s.verdict(Verdict{Of: "the mount, " + d.Name, Against: d.G.Text, Outcome: EvidenceMissing, Reason: "evidence missing: what holds the bolt. " +
			"Thickness, strength and condition of the metal of the car are needed", Source: d.Source})
		asked := ""
		if s.has("F_1") {
			asked = "; each fastener is asked for " + s.show("F_1")
		}
		s.conclude("%s: needs what holds the bolt (thickness, strength and condition of the metal of the car)%s", notComputed, asked)
		return
	}
	if least.symbol == "" {
		s.verdict(Verdict{Of: "the mount, " + d.Name, Against: d.G.Text, Outcome: EvidenceMissing, Reason: fastenersUnknown, Source: d.Source})
	}
	if least.symbol == "" || !s.has("F_1") {
		return
	}
	s.calc("η", "%", "F_1/"+least.symbol, fmt.Sprintf("Use of the weakest link, the %s.", least.what))
	s.answer("η", "the weakest link is the "+least.what+", used to {}")
	s.mountVerdict(least, links, d)
}

const fastenersUnknown = "nothing here says what the fasteners bear"

// mountVerdict says what the use of the weakest link means for the mount. It
// holds only where every part of the path is known.
func (s *sheet) mountVerdict(least link, links []link, d Direction) {
	v := Verdict{Of: "the mount, " + d.Name, Against: d.G.Text, Outcome: EvidenceMissing, Source: d.Source}
	fastened := slices.ContainsFunc(links, func(l link) bool { return strings.HasPrefix(l.what, "fastener") && s.has(l.symbol) })
	switch use := decide("", s.get("η"), quantity.AtMost(quantity.MustParse("100 %")), quantity.SimpleAcceptance).Outcome; {
	case use == NotMet:
		v.Outcome, v.Reason = NotMet, "the "+least.what+" fails first"
		if least.symbol == "L" {
			v.Reason += "; a stronger bolt does not help where the sheet gives way"
			if !less(s.get("L_f"), s.get("F_1")) {
				v.Outcome, v.Reason = TooClose, "the host sheet fails in bearing without credit for the metal round the hole, and holds with all of it: an engineer has to measure the edges"
			}
		}
	case use != Met:
		v.Reason = "the " + least.what + " rests on a bound, and whether it bears the force cannot be said: measure it"
	case !fastened:
		v.Reason = fastenersUnknown + "; what else is recorded holds in this screening sum"
	case !s.has("B_1"):
		v.Reason = "fasteners and host hold in this screening sum; nothing on record says what the bracket bears"
	default:
		v.Outcome, v.Reason = NoVerdict, "holds in this screening sum; an engineer decides"
	}
	s.verdict(v)
}

// bearsLess compares what two links bear at least: a bound counts as its number.
func (s *sheet) bearsLess(a, b string) bool {
	x, err1 := amountOf(s.get(a))
	y, err2 := amountOf(s.get(b))
	return err1 == nil && err2 == nil && x.v.Cmp(y.v) < 0
}

func less(a, b quantity.Quantity) bool {
	order, err := quantity.Compare(a, b)
	return err == nil && order == quantity.Less
}
