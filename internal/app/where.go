package app

import (
	"slices"
	"strings"

	"boltback/internal/code"
	"boltback/internal/dossier"
	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
)

// Whereabouts is what was found for a tag.
type Whereabouts struct {
	Found []Located
	// Meant are the tags that were perhaps meant by one that is on nothing: then Found is what they are on.
	Meant []code.Guess
	// Wrong says why what was typed is no tag, in a sentence; "" where it could be one.
	Wrong string
}

// Located is one thing that bears a tag, in one car.
type Located struct {
	Car Car
	dossier.Tagged
	Work  *replay.Work
	State *replay.State
}

// PartPlace is a part and its whereabouts, as other programs read them.
type PartPlace struct {
	Part record.Ref `json:"part"`
	// Where is on the car, in store, and so on, in the words of replay; what follows says it more closely.
	Where    string     `json:"where"`
	Position string     `json:"position,omitempty"`
	Store    record.Ref `json:"store,omitempty"`
	Place    string     `json:"place,omitempty"`
	With     string     `json:"with,omitempty"`
	LastSeen string     `json:"last-seen,omitempty"`
}

// Places says where the parts are that bear the tag or lie in the crate.
func (l Located) Places() []PartPlace {
	var places []PartPlace
	for _, ref := range l.Parts {
		p, _ := l.State.Part(ref)
		one := PartPlace{Part: ref, Where: p.Where.Place.String(), Position: p.Where.Position, Store: p.Where.Store, Place: p.Where.Shelf, With: p.Where.With}
		if seen, _, _ := l.State.LastSeen(ref); seen != replay.NoStep {
			one.LastSeen = l.Work.DayOf(seen).String()
		}
		places = append(places, one)
	}
	return places
}

// Where finds what bears a tag, in a car or in all cars of a yard: by what is written on it, then by its number, then by
// the slip with which it was perhaps typed.
func (e Env) Where(cars []Car, typed, at string, on edtf.Day) (Whereabouts, error) {
	var all []Located
	for _, car := range cars {
		s, _, err := e.At(car, at)
		if err != nil {
			return Whereabouts{}, err
		}
		work := replay.Of(s)
		state := work.On(on)
		for _, t := range taggedIn(s, work, state) {
			all = append(all, Located{car, t, work, state})
		}
	}
	if hits := bearing(all, func(t string) bool { return strings.EqualFold(oneSpaced(t), oneSpaced(typed)) }); len(hits) > 0 {
		return Whereabouts{Found: hits}, nil
	}
	if n, ok := numberOf(typed); ok {
		if hits := bearing(all, func(t string) bool { return hasNumber(t, n) }); len(hits) > 0 {
			return Whereabouts{Found: hits}, nil
		}
	}
	return mistyped(all, typed), nil
}

// mostMeant is how many tags are offered for a mistyped one.
const mostMeant = 5

// mistyped looks for the tags that were perhaps meant.
func mistyped(all []Located, typed string) Whereabouts {
	var w Whereabouts
	if _, err := code.ParseTag(typed); err != nil {
		w.Wrong = err.Error()
	}
	var known []code.Tag
	for _, l := range all {
		for _, n := range numbersOn(l.Tag) {
			if tag, err := code.NewTag(n); err == nil && !slices.Contains(known, tag) {
				known = append(known, tag)
			}
		}
	}
	for _, guess := range code.WhereMistyped(typed, known) {
		n, _ := numberOf(string(guess.Tag))
		hits := bearing(all, func(t string) bool { return guess.Known && hasNumber(t, n) })
		if len(hits) > 0 && len(w.Meant) < mostMeant {
			w.Meant = append(w.Meant, guess)
			w.Found = append(w.Found, hits...)
		}
	}
	return w
}

func bearing(all []Located, is func(tag string) bool) []Located {
	var hits []Located
	for _, l := range all {
		if is(l.Tag) {
			hits = append(hits, l)
		}
	}
	return hits
}

func oneSpaced(s string) string { return strings.Join(strings.Fields(s), " ") }

// numbersOn are the tag numbers written on a thing: a tag's own, or those among the words of a place.
func numbersOn(tag string) []int {
	if n, ok := numberOf(tag); ok {
		return []int{n}
	}
	var numbers []int
	for _, word := range tagWords(tag) {
		if n, ok := numberOf(word); ok {
			numbers = append(numbers, n)
		}
	}
	return numbers
}

func hasNumber(tag string, n int) bool { return slices.Contains(numbersOn(tag), n) }

// taggedIn lists what bears a tag in a car, by the records that count.
func taggedIn(s *ledger.Snapshot, work *replay.Work, state *replay.State) []dossier.Tagged {
	list := tagList{work: work}
	for _, p := range ledger.All[record.Part](s) {
		list.add("part", p.Body.Tag, []record.Ref{p.ID}, nil)
	}
	for _, j := range ledger.All[record.Joint](s) {
		for _, f := range j.Body.Fasteners {
			list.add("bag", f.Bag, nil, []record.Ref{j.ID})
		}
	}
	for _, session := range replay.StandingSessions(s) {
		for _, l := range session.Body.Lines {
			list.add("part", l.Tag, l.Parts, nil)
			if len(l.Joints) > 0 {
				list.add("bag", l.Bag, nil, l.Joints)
			} else {
				list.add("bag", l.Bag, l.Parts, nil)
			}
		}
	}
	for _, p := range state.Parts() {
		if p.Where.Place == replay.InStore {
			list.add("crate", p.Where.Shelf, []record.Ref{p.Ref}, nil)
		}
	}
	return list.things
}

// tagList gathers what is said of each tag in one place.
type tagList struct {
	work   *replay.Work
	things []dossier.Tagged
}

func (l *tagList) add(on, tag string, parts, joints []record.Ref) {
	if tag = oneSpaced(tag); tag == "" {
		return
	}
	at := slices.IndexFunc(l.things, func(t dossier.Tagged) bool { return t.On == on && t.Tag == tag })
	if at < 0 {
		at = len(l.things)
		l.things = append(l.things, dossier.Tagged{On: on, Tag: tag})
	}
	thing := &l.things[at]
	thing.Parts = l.join(thing.Parts, parts)
	thing.Joints = l.join(thing.Joints, joints)
}

func (l *tagList) join(list, more []record.Ref) []record.Ref {
	for _, ref := range more {
		if name := l.work.Name(ref); !slices.Contains(list, name) {
			list = append(list, name)
		}
	}
	return list
}
