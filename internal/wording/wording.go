package wording

import (
	"fmt"
	"slices"
	"strings"

	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/reversal"
)

// maker holds what is worked out once for all sentences.
type maker struct {
	w     *replay.Work
	now   *replay.State
	st    *reversal.Statement
	kept  []reversal.Kept
	zones *replay.Zones
	day   string // of the root baseline, as it is written
	list  []Phrase
}

// Make works out the sentences for a car on a day; no day takes all that is recorded.
func Make(w *replay.Work, on replay.Day) ([]Phrase, error) {
	opts := reversal.Options{On: on}
	st, err := reversal.Make(w, opts)
	if err != nil {
		return nil, err
	}
	kept, err := reversal.KeptParts(w, opts)
	if err != nil {
		return nil, err
	}
	m := &maker{w: w, now: w.On(on), st: st, kept: kept, zones: replay.ZonesOf(w)}
	_, car := w.Car()
	m.day = "the day of the baseline, which is not recorded"
	if car.Baseline != nil && car.Baseline.On != "" {
		m.day = string(car.Baseline.On)
	}
	m.putBack()
	m.allKept()
	m.numberedKept()
	m.attachments()
	m.zonePhrases()
	m.looms()
	m.massPhrases()
	m.never()
	return m.list, nil
}

func (m *maker) say(p Phrase) { m.list = append(m.list, p.finish(m.w)) }

func (m *maker) floorsMissed() (codes []string, why string, against []record.Ref) {
	for _, l := range m.st.Lines {
		for _, r := range l.Reasons {
			switch r.Code {
			case "too-few-parts", "too-little-evidence", "order-impossible":
				codes, why = append(codes, r.Code), r.Text
				against = append(against, r.Records...)
			}
		}
	}
	return codes, why, against
}

// putBack is the statement itself, worded with its outcome.
func (m *maker) putBack() {
	p := Phrase{Code: "can-be-put-back", For: m.st.For, Against: m.st.Against}
	whose := "the workshop's own records"
	if m.st.Workshop != "" {
		whose = "the records of " + m.st.Workshop
	}
	with := map[reversal.Outcome]string{reversal.Nothing: " with work alone", reversal.Consumables: " with consumables",
		reversal.Replacements: " with the replacements named in the reversal statement", reversal.Traces: " with the traces named in the reversal statement"}[m.st.Outcome]
	p.Text = fmt.Sprintf("By %s, not by an examination of the car, the conversion can be taken off again and what is on record as found on %s put back%s; "+
		"work done for other purposes stays, and whether stored parts work and the law allows it is not on record.", whose, m.day, with)
	switch m.st.Outcome {
	case reversal.CannotSay:
		p.Standing, p.Why = Withheld, "the records are too thin: "+firstReason(m.st)
		p.Settle = firstSettle(m.st)
	case reversal.NotFully:
		p.Standing, p.Why = Contradicted, firstReason(m.st)
	default:
		p.Standing, p.Why = Supported, m.st.Lines[0].Text
	}
	m.say(p)
}

func firstReason(st *reversal.Statement) string {
	if len(st.Lines) > 0 && len(st.Lines[0].Reasons) > 0 {
		return st.Lines[0].Reasons[0].Text
	}
	return "see the reversal statement"
}

func firstSettle(st *reversal.Statement) string {
	for _, r := range st.Lines[0].Reasons {
		if r.Settle != "" {
			return r.Settle
		}
	}
	return ""
}

// allKept says that every part found on the car is still with it.
func (m *maker) allKept() {
	p := Phrase{Code: "all-found-parts-kept", Standing: Supported,
		Text: fmt.Sprintf("By the records, all %d parts found on the car on %s are on it or in store", len(m.kept), m.day)}
	var gone, open []string
	var oldest replay.Day
	for _, k := range m.kept {
		if !k.Seen.IsZero() && (oldest.IsZero() || k.Seen.Compare(oldest) < 0) {
			oldest = k.Seen
		}
		switch k.Keeping {
		case reversal.NotKept:
			gone, p.Against = append(gone, k.Text), append(p.Against, k.Records...)
		case reversal.NotVerified:
			open, p.Against = append(open, k.Text), append(p.Against, k.Records...)
		default:
			p.For = append(p.For, k.Records...)
		}
	}
	if !oldest.IsZero() {
		p.Text += ", each stored one last seen on " + oldest.String() + " or later"
	}
	p.Text += "; what is renewed each time (gaskets, clips and the like) is not counted."
	codes, why, against := m.floorsMissed()
	switch {
	case len(gone) > 0:
		p.Standing, p.Why = Contradicted, few(gone)
	case len(open) > 0:
		p.Standing, p.Why, p.Settle = Withheld, few(open), "record a sighting of each, with its store"
	case len(codes) > 0:
		p.Standing, p.Why, p.Settle = Withheld, why, "record the parts that were on the car, with evidence from before the work"
		p.Against = append(p.Against, against...)
	default:
		p.Why = fmt.Sprintf("each of the %d is on the car or was seen in store", len(m.kept))
	}
	m.say(p)
}

// few names the first of a list of sentences and counts the rest.
func few(texts []string) string {
	if len(texts) > 3 {
		return strings.Join(texts[:3], "; ") + fmt.Sprintf("; and %d more", len(texts)-3)
	}
	return strings.Join(texts, "; ")
}

// numberedKept says, for each found part that bears a number of the car, that it is kept, with the number as it was read.
func (m *maker) numberedKept() {
	for _, k := range m.kept {
		number, known := numberOf(k.Part.Body)
		if !known {
			continue
		}
		p := Phrase{Code: "found-part-kept", Thing: k.Part.Ref, Why: k.Text,
			Text: fmt.Sprintf("By the records, the part called %q, found on the car on %s and bearing the number %s, as read%s, is on the car or in store.", m.w.Called(k.Part.Ref), m.day, number.Raw, readOn(number))}
		switch k.Keeping {
		case reversal.NotKept:
			p.Standing, p.Against = Contradicted, k.Records
		case reversal.NotVerified:
			p.Standing, p.Against, p.Settle = Withheld, k.Records, "record a sighting of it, with the number read again"
		default:
			p.Standing, p.For = Supported, k.Records
			m.judgeNumber(&p, k, number)
		}
		m.say(p)
	}
}

// readOn says on which day a number was read, where that is on record.
func readOn(n record.Number) string {
	if n.On == "" {
		return ""
	}
	return " on " + string(n.On)
}

// judgeNumber withholds a sentence about a part whose number was not read while it was on the car.
func (m *maker) judgeNumber(p *Phrase, k reversal.Kept, n record.Number) {
	if k.OffOn.IsZero() {
		return
	}
	day, ok := replay.LastDay(n.On)
	if !ok || day.Compare(k.OffOn) > 0 {
		p.Standing, p.Why = Withheld, "its number is not on record as read before it came off the car on "+k.OffOn.String()
		p.Settle = "a dated photo of the number from before would settle it"
		p.Against = append(p.Against, k.Part.Ref)
	}
}

func numberOf(p *record.Part) (record.Number, bool) {
	for _, n := range p.Numbers {
		if n.Raw != "" && n.Legibility != "illegible" && slices.Contains([]string{"engine", "gearbox", "axle", "body", "chassis"}, n.What) {
			return n, true
		}
	}
	return record.Number{}, false
}

// attachments says that whatever was fitted uses holes that were there before, as far as its joints are on record.
func (m *maker) attachments() {
	if len(m.st.Attachments) == 0 {
		return
	}
	p := Phrase{Code: "old-holes-only", Standing: Supported,
		Text: fmt.Sprintf("By the records, each of the %d joints on record by which parts were fitted to the car uses holes that were there before the work", len(m.st.Attachments))}
	if n := len(m.st.Unfastened); n > 0 {
		p.Text += fmt.Sprintf("; for %d of the parts fitted no joint is on record", n)
	}
	p.Text += "."
	var made, open []string
	for _, a := range m.st.Attachments {
		text := m.w.Called(a.Joint) + ": " + a.Why
		switch {
		case a.Drilled:
			made, p.Against = append(made, text), append(append(p.Against, a.Against...), a.Records...)
		case !a.Explained:
			open, p.Against = append(open, text), append(append(p.Against, a.Against...), a.Records...)
		default:
			p.For = append(p.For, a.Records...)
		}
	}
	thin, against := m.reasonsOf("attachments-not-recorded", "supplier-step-not-accounted-for", "order-impossible")
	switch {
	case len(made) > 0:
		p.Standing, p.Why = Contradicted, few(made)
	case len(open) > 0:
		p.Standing, p.Why, p.Settle = Withheld, few(open), "record the holes each uses, with a dated photo or survey from before"
	case len(thin) > 0:
		p.Standing, p.Why, p.Against = Withheld, few(thin), append(p.Against, against...)
	default:
		p.Why = "every one picks up a joint of the car as found, or existing holes with evidence older than the work"
	}
	m.say(p)
}

// reasonsOf gathers the reasons of the statement with the given codes.
func (m *maker) reasonsOf(codes ...string) (texts []string, against []record.Ref) {
	for _, l := range m.st.Lines {
		for _, r := range l.Reasons {
			if slices.Contains(codes, r.Code) {
				texts, against = append(texts, r.Text), append(against, r.Records...)
			}
		}
	}
	return texts, against
}

// looms says, for each loom found on the car, that none of its recorded ends was cut.
func (m *maker) looms() {
	for _, k := range m.kept {
		if k.Part.Body.Class != "loom" || len(k.Part.Body.Runs) == 0 {
			continue
		}
		s, _ := m.now.Part(k.Part.Ref)
		p := Phrase{Code: "loom-not-cut", Thing: k.Part.Ref, Standing: Supported,
			Text: fmt.Sprintf("By the records, none of the %d recorded ends of the %s was cut.", len(s.Ends), strings.ToLower(m.w.Called(k.Part.Ref)))}
		m.judgeEnds(&p, k, s)
		m.say(p)
	}
}

func (m *maker) judgeEnds(p *Phrase, k reversal.Kept, s replay.PartState) {
	declared := map[string]string{}
	for _, r := range k.Part.Body.Runs {
		declared[r.End] = r.State
	}
	p.Why = "every end is connected, unplugged or free by the work on record, and the part's own record agrees"
	for _, e := range s.Ends {
		records := []record.Ref{k.Part.Ref}
		if l, ok := m.now.Line(e.Since); ok {
			records = append(records, l.Ref())
		}
		says := declared[e.End]
		switch cut := func(state string) bool { return state == "cut" || state == "joined" }; {
		case cut(e.State) && cut(says), cut(e.State) && says == "":
			p.Standing, p.Why = Contradicted, fmt.Sprintf("the end %q was %s", e.End, e.State)
			p.Against = append(p.Against, records...)
		case cut(e.State) || cut(says) || e.State == "unknown" || says == "unknown":
			if p.Standing != Contradicted {
				p.Standing, p.Why, p.Settle = Withheld, fmt.Sprintf("the end %q is %s by the work on record and %s by the record of the part", e.End, e.State, orNothing(says)), "look at the end, and correct the record that is wrong"
			}
			p.Against = append(p.Against, records...)
		default:
			p.For = append(p.For, records...)
		}
	}
}

func orNothing(state string) string {
	if state == "" {
		return "not described"
	}
	return state
}

// never lists words that no record can carry.
func (m *maker) never() {
	m.say(Phrase{Code: "reversible", Text: "Reversible.", Standing: Withheld,
		Why:    "no record can promise it: what nobody wrote down, whether stored parts still work and what the law will allow are not on record",
		Settle: "say what the reversal statement says, and hand it over with the car"})
	m.say(Phrase{Code: "original", Text: "Original.", Standing: Withheld,
		Why:    "the records tell what was found on the car on a day; what left the works is for an archive certificate and whoever authenticates the car",
		Settle: "say \"found on the car\", with the day"})
}
