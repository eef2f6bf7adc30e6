package replay_test

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"boltback/internal/record"
	"boltback/internal/replay"
)

// small is a car with an engine and gearbox bolted together, an alternator on the engine, a loom, and a mount that an earth
// strap and a bracket share.
func small() *bench {
	b := newBench("parts/shell",
		record.BaselinePart{Part: "parts/engine", Position: "engine bay"}, record.BaselinePart{Part: "parts/gearbox", Position: "tunnel"},
		record.BaselinePart{Part: "parts/alternator"}, record.BaselinePart{Part: "parts/loom"}, record.BaselinePart{Part: "parts/strap"}, record.BaselinePart{Part: "parts/bracket"})
	b.part("parts/engine", record.Part{Found: "yes", Class: "assembly", Contains: refs("head"), Tag: "0101", Position: "engine bay", PositionSingle: "yes"})
	b.part("parts/head", record.Part{Found: "yes"})
	b.part("parts/motor", record.Part{Found: "no", Position: "engine bay"})
	b.part("parts/loom", record.Part{Found: "yes", Class: "loom", Runs: []record.Run{{End: "lamp", State: "unplugged"}}})
	b.joint("joints/mount", record.Joint{Clamps: refs("engine"), Host: "tower", Original: "yes"})
	b.joint("joints/bell", record.Joint{Clamps: refs("engine", "gearbox"), Original: "yes"})
	b.joint("joints/alternator", record.Joint{Clamps: refs("alternator", "engine"), Original: "yes"})
	b.joint("joints/shared", record.Joint{Clamps: refs("strap", "bracket"), Host: "shell", Original: "yes"})
	b.joint("joints/motor", record.Joint{Clamps: refs("motor"), Host: "tower", Original: "no", PicksUp: "joints/mount"})
	return b
}

func line(act string, parts ...string) record.Line {
	return record.Line{Act: act, Parts: refs(parts...)}
}

func stored(l record.Line, store, place string) record.Line {
	l.Store, l.Place = record.Ref("stores/tallow-lane/"+store), place
	return l
}

func jointed(l record.Line, joints ...string) record.Line {
	l.Joints = jointRefs(joints...)
	return l
}

// after replays sessions of one line each, a day apart, and gives the state.
func after(b *bench, lines ...record.Line) *replay.State {
	for i, l := range lines {
		b.work(record.Ref("work/2026-03-"+string(rune('0'+i/10))+string(rune('0'+i%10))+"-ines-s"), record.Session{Started: record.Date("2026-03-" + string(rune('0'+(i+1)/10)) + string(rune('0'+(i+1)%10))), Lines: []record.Line{l}})
	}
	return replay.Of(b.load()).Now()
}

func place(t *testing.T, s *replay.State, part string) replay.Where {
	t.Helper()
	p, ok := s.Part(record.Ref("parts/" + part))
	if !ok {
		t.Fatalf("nothing is known of %s", part)
	}
	return p.Where
}

func doneUp(t *testing.T, s *replay.State, joint string) replay.Done {
	t.Helper()
	j, ok := s.Joint(record.Ref("joints/" + joint))
	if !ok {
		t.Fatalf("nothing is known of %s", joint)
	}
	return j.Done
}

func doubts(s *replay.State) []string {
	var list []string
	for _, d := range s.Doubts() {
		list = append(list, d.Code)
	}
	slices.Sort(list)
	return slices.Compact(list)
}

func TestTheRules(t *testing.T) {
	tests := map[string]struct {
		lines  []record.Line
		check  func(*testing.T, *replay.State)
		doubts []string
	}{
		"engine and gearbox come out as one: joints inside stay, those across the border are undone": {
			lines: []record.Line{stored(line("removal", "engine", "gearbox"), "loft", "pallet 1")},
			check: func(t *testing.T, s *replay.State) {
				if doneUp(t, s, "bell") != replay.Tight || doneUp(t, s, "mount") != replay.Undone || doneUp(t, s, "alternator") != replay.Undone {
					t.Error(s.Joints())
				}
				if w := place(t, s, "head"); w.Place != replay.InStore || w.Shelf != "pallet 1" {
					t.Errorf("what is in the engine goes with it: %v", w)
				}
			}},
		"and are split on the bench, where they stay if nothing else is said": {
			lines: []record.Line{stored(line("removal", "engine", "gearbox"), "loft", "pallet 1"), line("removal", "gearbox")},
			check: func(t *testing.T, s *replay.State) {
				if doneUp(t, s, "bell") != replay.Undone || place(t, s, "gearbox") != place(t, s, "engine") {
					t.Error(doneUp(t, s, "bell"), place(t, s, "gearbox"))
				}
			}},
		"what is bolted together is moved together": {
			lines: []record.Line{stored(line("removal", "engine", "gearbox"), "loft", ""), stored(line("move", "engine"), "rack", "")},
			check: func(t *testing.T, s *replay.State) {
				if place(t, s, "gearbox").Store != "stores/tallow-lane/rack" {
					t.Error(place(t, s, "gearbox"))
				}
			}},
		"and goes back together": {
			lines: []record.Line{stored(line("removal", "engine", "gearbox"), "loft", ""), line("fitting", "engine")},
			check: func(t *testing.T, s *replay.State) {
				if place(t, s, "gearbox").Place != replay.OnCar || place(t, s, "gearbox").Position != "tunnel" || doneUp(t, s, "mount") != replay.DoneUp {
					t.Error(place(t, s, "gearbox"), doneUp(t, s, "mount"))
				}
			}},
		"disturbing one part of a joint undoes it, and it is open until it is tightened": {
			lines: []record.Line{stored(line("removal", "strap"), "loft", ""), line("fitting", "strap")},
			check: func(t *testing.T, s *replay.State) {
				if open := s.Open(); len(open) != 1 || open[0].Ref != "joints/shared" || open[0].Done != replay.DoneUp {
					t.Error(open)
				}
			}},
		"a vacated joint is not open, and proves its holes": {
			lines: []record.Line{stored(line("removal", "engine", "gearbox", "alternator"), "loft", "")},
			check: func(t *testing.T, s *replay.State) {
				if len(s.Open()) > 0 || !s.Vacated("joints/mount") {
					t.Error(s.Open())
				}
			}},
		"a fitting does up the joints whose parts are together, but not those whose holes are taken": {
			lines: []record.Line{stored(line("removal", "engine", "gearbox"), "loft", ""), line("fitting", "motor"), line("fitting", "engine")},
			check: func(t *testing.T, s *replay.State) {
				if doneUp(t, s, "motor") != replay.DoneUp || doneUp(t, s, "mount") != replay.Undone {
					t.Error(doneUp(t, s, "motor"), doneUp(t, s, "mount"))
				}
			}, doubts: []string{"spot-taken"}},
		"a part is bolted to another on the bench": {
			lines: []record.Line{stored(line("removal", "engine", "gearbox", "alternator"), "loft", "pallet 1"), stored(line("removal", "alternator"), "rack", ""), jointed(line("fitting", "alternator"), "alternator")},
			check: func(t *testing.T, s *replay.State) {
				if place(t, s, "alternator").Shelf != "pallet 1" || doneUp(t, s, "alternator") != replay.DoneUp {
					t.Error(place(t, s, "alternator"))
				}
			}},
		"a tightening without a joint means the only one there is": {
			lines: []record.Line{stored(line("removal", "strap"), "loft", ""), line("fitting", "strap"), line("tightening", "bracket")},
			check: func(t *testing.T, s *replay.State) {
				if doneUp(t, s, "shared") != replay.Tight {
					t.Error(doneUp(t, s, "shared"))
				}
			}},
		"and of several, none": {
			lines:  []record.Line{line("tightening", "engine")},
			check:  func(*testing.T, *replay.State) {},
			doubts: []string{"joint-not-stated"}},
		"an undeclared part that comes off was on the car, by inference": {
			lines: []record.Line{stored(record.Line{Act: "removal", Parts: refs("ashtray"), Position: "dash"}, "loft", "")},
			check: func(t *testing.T, s *replay.State) {
				if p, _ := s.Part("parts/ashtray"); p.Found != "inferred" {
					t.Error(p.Found)
				}
			}},
		"a part that is seen in store has come off the car unrecorded": {
			lines: []record.Line{stored(line("sighting", "alternator"), "loft", "crate 2")},
			check: func(t *testing.T, s *replay.State) {
				if doneUp(t, s, "alternator") != replay.Undone || place(t, s, "alternator").Place != replay.InStore {
					t.Error(place(t, s, "alternator"))
				}
			},
			doubts: []string{"removal-not-recorded"}},
		"a part that is taken off twice is carried with the doubt": {
			lines:  []record.Line{stored(line("removal", "alternator"), "loft", ""), line("removal", "alternator")},
			check:  func(*testing.T, *replay.State) {},
			doubts: []string{"not-on-the-car"}},
		"and so is one that is fitted twice": {
			lines:  []record.Line{line("fitting", "alternator")},
			check:  func(*testing.T, *replay.State) {},
			doubts: []string{"already-on-the-car"}},
		"a shell at the painter is the car away": {
			lines: []record.Line{{Act: "out", Parts: refs("shell"), With: "paint shop", Due: "2026-05-01"}},
			check: func(t *testing.T, s *replay.State) {
				if s.Car.Place != replay.WithSomeone || s.Car.With != "paint shop" || place(t, s, "engine").Place != replay.OnCar {
					t.Error(s.Car, place(t, s, "engine"))
				}
			}},
		"and back again": {
			lines: []record.Line{{Act: "out", Parts: refs("shell"), With: "paint shop"}, line("in", "shell")},
			check: func(t *testing.T, s *replay.State) {
				if s.Car.Place != replay.OnCar {
					t.Error(s.Car)
				}
			}},
		"the shell is not taken off itself": {
			lines:  []record.Line{line("removal", "shell")},
			check:  func(*testing.T, *replay.State) {},
			doubts: []string{"root-removed"}},
		"a part that was machined is another from then on, with the traces of the first": {
			lines: []record.Line{stored(line("removal", "alternator"), "loft", ""), line("alteration", "alternator"), {Act: "rectify", Parts: refs("alternator"), Became: "parts/alternator-rewound"}},
			check: func(t *testing.T, s *replay.State) {
				p, _ := s.Part("parts/alternator-rewound")
				if place(t, s, "alternator").Became != "parts/alternator-rewound" || p.Where.Place != replay.InStore || len(p.Marks) != 1 {
					t.Error(place(t, s, "alternator"), p)
				}
			}},
		"a part that was reconditioned goes back as what it became": {
			lines: []record.Line{stored(line("removal", "alternator"), "loft", ""), {Act: "rectify", Parts: refs("alternator"), Became: "parts/alternator-rewound"}, line("fitting", "alternator-rewound")},
			check: func(t *testing.T, s *replay.State) {
				if place(t, s, "alternator-rewound").Place != replay.OnCar || place(t, s, "alternator").Place != replay.BecameAnother {
					t.Error(place(t, s, "alternator-rewound"), place(t, s, "alternator"))
				}
			}},
		"a crate opened ends the seal of the store around it": {
			lines: []record.Line{stored(line("removal", "alternator"), "loft", "crate 1"), {Act: "sighting", Parts: []record.Ref{}, Store: "stores/tallow-lane/loft", Seal: "sealed"},
				stored(line("removal", "bracket"), "loft", "crate 2"), {Act: "sighting", Parts: []record.Ref{}, Store: "stores/tallow-lane/loft", Seal: "unbroken"}},
			check: func(t *testing.T, s *replay.State) {
				if step, _, _ := s.LastSeen("parts/alternator"); step != 0 {
					t.Error(step)
				}
			},
			doubts: []string{"seal-not-recorded"}},
		"fasteners belong to the one joint a line names, though it holds no part of the set": {
			lines: []record.Line{{Act: "removal", Parts: refs("motor"), Joints: jointRefs("alternator"), Bag: "0149", Fasteners: 2}},
			check: func(t *testing.T, s *replay.State) {
				if j, _ := s.Joint("joints/alternator"); j.Bag != "0149" || j.Fasteners != 2 {
					t.Error(j)
				}
			}},
		"a restoration that says more of the place than the alteration undoes it all the same": {
			lines: []record.Line{{Act: "alteration", Parts: refs("shell")}, {Act: "restoration", Parts: refs("shell"), Undoes: "work/2026-03-00-ines-s", Alteration: &record.Hole{Zone: "floor", Where: "left"}}},
			check: func(t *testing.T, s *replay.State) {
				if p, _ := s.Part("parts/shell"); len(p.Marks) != 1 || p.Marks[0].Undone == replay.NoStep {
					t.Error(p.Marks)
				}
			}},
		"a part goes to another car of the yard by a line that stands alone": {
			lines: []record.Line{stored(line("removal", "alternator"), "loft", ""), {Act: "out", Parts: refs("alternator"), Gone: "to another car"}},
			check: func(t *testing.T, s *replay.State) {
				if w := place(t, s, "alternator"); w.Place != replay.Gone || w.How != "to another car" {
					t.Error(w)
				}
			}},
		"a part that is gone and fitted all the same is carried with the doubt": {
			lines:  []record.Line{stored(line("removal", "alternator"), "loft", ""), {Act: "out", Parts: refs("alternator"), Gone: "sold"}, line("fitting", "alternator")},
			check:  func(*testing.T, *replay.State) {},
			doubts: []string{"fitted-though-gone"}},
		"what a stock-take does not list is missed, and seen again later": {
			lines: []record.Line{stored(line("removal", "alternator", "strap"), "loft", "crate 1"), {Act: "sighting", Parts: refs("strap"), Store: "stores/tallow-lane/loft", Place: "crate 1", Counted: "everything there"}},
			check: func(t *testing.T, s *replay.State) {
				if s.MissedBy("parts/alternator") == replay.NoStep || s.MissedBy("parts/strap") != replay.NoStep {
					t.Error("missed the wrong one")
				}
			}},
		"a stock-take of the assembly finds what is in it": {
			lines: []record.Line{stored(line("removal", "engine"), "loft", "pallet 1"), {Act: "sighting", Parts: refs("engine"), Store: "stores/tallow-lane/loft", Counted: "everything there"}},
			check: func(t *testing.T, s *replay.State) {
				step, _, within := s.LastSeen("parts/head")
				if s.MissedBy("parts/head") != replay.NoStep || step != 1 || !within {
					t.Error("the head is in the engine")
				}
			}},
		"a seal seen whole is a sighting of what was sealed in": {
			lines: []record.Line{stored(line("removal", "alternator"), "loft", "crate 1"), {Act: "move", Parts: refs("strap"), Store: "stores/tallow-lane/loft", Place: "crate 1", Seal: "sealed"}, {Act: "sighting", Parts: []record.Ref{}, Store: "stores/tallow-lane/loft", Place: "crate 1", Seal: "unbroken"}},
			check: func(t *testing.T, s *replay.State) {
				if step, sealed, _ := s.LastSeen("parts/alternator"); step != 2 || !sealed {
					t.Error(step, sealed)
				}
			}, doubts: []string{"removal-not-recorded"}},
		"a seal that nobody put on shows nothing": {
			lines: []record.Line{stored(line("removal", "alternator"), "loft", "crate 1"), {Act: "sighting", Parts: []record.Ref{}, Store: "stores/tallow-lane/loft", Place: "crate 1", Seal: "unbroken"}},
			check: func(t *testing.T, s *replay.State) {
				if step, _, _ := s.LastSeen("parts/alternator"); step != 0 {
					t.Error(step)
				}
			},
			doubts: []string{"seal-not-recorded"}},
		"what is put in later has not been seen through the seal": {
			lines: []record.Line{{Act: "sighting", Parts: []record.Ref{}, Store: "stores/tallow-lane/loft", Place: "crate 1", Seal: "sealed"}, stored(line("removal", "alternator"), "loft", "crate 1"), {Act: "sighting", Parts: []record.Ref{}, Store: "stores/tallow-lane/loft", Place: "crate 1", Seal: "unbroken"}},
			check: func(t *testing.T, s *replay.State) {
				if step, _, _ := s.LastSeen("parts/alternator"); step != 1 {
					t.Error(step)
				}
			}, doubts: []string{"seal-not-recorded"}},
		"ends of a loom follow the work; what its record says is how they are now": {
			lines: []record.Line{{Act: "preserve", Parts: refs("loom"), Ends: []record.End{{End: "lamp", State: "free"}, {End: "horn", State: "cut"}}}},
			check: func(t *testing.T, s *replay.State) {
				p, _ := s.Part("parts/loom")
				if len(p.Ends) != 2 || p.Ends[0].State != "free" || p.Ends[1].State != "cut" {
					t.Error(p.Ends)
				}
			}},
		"a restoration undoes the alteration at its place and no other": {
			lines: []record.Line{
				{Act: "alteration", Parts: refs("shell"), Alteration: &record.Hole{Zone: "floor", Where: "left"}},
				{Act: "alteration", Parts: refs("shell"), Alteration: &record.Hole{Zone: "floor", Where: "right"}},
				{Act: "restoration", Parts: refs("shell"), Alteration: &record.Hole{Zone: "floor", Where: "left"}}},
			check: func(t *testing.T, s *replay.State) {
				p, _ := s.Part("parts/shell")
				if len(p.Marks) != 2 || p.Marks[0].Undone == replay.NoStep || p.Marks[1].Undone != replay.NoStep {
					t.Error(p.Marks)
				}
			}},
		"and one that fits none is carried with the doubt": {
			lines:  []record.Line{{Act: "restoration", Parts: refs("shell"), Alteration: &record.Hole{Zone: "floor", Where: "left"}}},
			check:  func(*testing.T, *replay.State) {},
			doubts: []string{"restores-nothing-recorded"}},
		"a part that is seen at another place than recorded is there": {
			lines: []record.Line{stored(line("removal", "alternator"), "loft", "crate 1"), stored(line("sighting", "alternator"), "rack", "")},
			check: func(t *testing.T, s *replay.State) {
				if place(t, s, "alternator").Store != "stores/tallow-lane/rack" {
					t.Error(place(t, s, "alternator"))
				}
			},
			doubts: []string{"seen-elsewhere"}},
		"a part that is seen on the car has been fitted unrecorded": {
			lines: []record.Line{stored(line("removal", "alternator"), "loft", ""), {Act: "sighting", Parts: refs("alternator"), Position: "engine, left"}},
			check: func(t *testing.T, s *replay.State) {
				if place(t, s, "alternator").Position != "engine, left" {
					t.Error(place(t, s, "alternator"))
				}
			},
			doubts: []string{"fitting-not-recorded"}},
		"what came back under another tag is not the part that was sent": {
			lines: []record.Line{stored(line("removal", "engine"), "loft", ""), {Act: "out", Parts: refs("engine"), With: "grinders"}, {Act: "in", Parts: refs("engine"), Tag: "9", Store: "stores/tallow-lane/loft"}},
			check: func(t *testing.T, s *replay.State) {
				if place(t, s, "engine").Place != replay.WithSomeone {
					t.Error(place(t, s, "engine"))
				}
			},
			doubts: []string{"returned-as-another"}},
		"fasteners are counted into the bag of the one joint a line undoes": {
			lines: []record.Line{{Act: "removal", Parts: refs("alternator"), Bag: "0148", Fasteners: 3, Store: "stores/tallow-lane/loft"}},
			check: func(t *testing.T, s *replay.State) {
				if j, _ := s.Joint("joints/alternator"); j.Bag != "0148" || j.Fasteners != 3 || !j.Counted {
					t.Error(j)
				}
			}},
		"a fill follows its lines": {
			lines: []record.Line{{Act: "drain", Parts: []record.Ref{}, System: "systems/coolant"}},
			check: func(t *testing.T, s *replay.State) {
				if f := s.Fills(); len(f) != 1 || f[0].State != "drain" {
					t.Error(f)
				}
			}},
	}
	named := map[string]bool{}
	for name, test := range tests {
		for _, code := range test.doubts {
			named[code] = true
		}
		t.Run(name, func(t *testing.T) {
			s := after(small(), test.lines...)
			test.check(t, s)
			if got := doubts(s); !slices.Equal(got, test.doubts) {
				t.Errorf("doubts: %v, wanted %v", got, test.doubts)
			}
			for _, d := range s.Doubts() {
				if d.Text == "" || d.Hint == "" || strings.HasSuffix(d.Text, ".") || d.Finding().File == "" {
					t.Errorf("a doubt without its words or place: %+v", d)
				}
			}
		})
	}
	for _, code := range regexp.MustCompile(`\*\*([a-z]+(?:-[a-z]+)+)\*\*`).FindAllStringSubmatch(replay.Rules(), -1) {
		if !named[code[1]] && !strings.HasPrefix(code[1], "order-") {
			t.Errorf("no rule shows the doubt %s that RULES.md names", code[1])
		}
	}
}

func TestHearsayIsNoSighting(t *testing.T) {
	b := small()
	b.work("work/2026-03-01-ines-off", record.Session{Basis: "seen", Lines: []record.Line{stored(line("removal", "strap"), "loft", "")}})
	b.work("work/2026-03-02-ines-told", record.Session{Basis: "told", Lines: []record.Line{stored(line("sighting", "strap"), "rack", "")}})
	s := replay.Of(b.load()).Now()
	p, _ := s.Part("parts/strap")
	if p.Seen != 0 || p.Where.Store != "stores/tallow-lane/rack" {
		t.Errorf("seen in line %d, at %v", p.Seen, p.Where)
	}
}

func TestASealThatSomebodyToldOfShowsNothing(t *testing.T) {
	b := small()
	b.work("work/2026-03-01-ines-off", record.Session{Lines: []record.Line{stored(line("removal", "strap"), "loft", "crate 1")}})
	whole := stored(line("sighting"), "loft", "crate 1")
	whole.Seal = "sealed"
	b.work("work/2026-03-02-ines-sealed", record.Session{Lines: []record.Line{whole}})
	whole.Seal = "unbroken"
	for basis, seen := range map[string]replay.Step{"told": 0, "seen": 2} {
		b.work("work/2026-03-03-ines-told", record.Session{Basis: basis, Lines: []record.Line{whole}})
		if step, _, _ := replay.Of(b.load()).Now().LastSeen("parts/strap"); step != seen {
			t.Errorf("%s: seen in line %d", basis, step)
		}
	}
}

func TestPreservingAPartInAnotherStoreNeedsAStatedOrderToo(t *testing.T) {
	b := small()
	b.work("work/2026-03-01-ines-off", record.Session{Lines: []record.Line{stored(line("removal", "strap"), "loft", "")}})
	b.work("work/2026-03-02-a-oiled", record.Session{Lines: []record.Line{stored(line("preserve", "strap"), "rack", "")}})
	b.work("work/2026-03-02-b-moved", record.Session{Lines: []record.Line{stored(line("move", "strap"), "cage", "")}})
	if s := replay.Of(b.load()).Now(); place(t, s, "strap").Place != replay.NotKnown {
		t.Error(place(t, s, "strap"), doubts(s))
	}
}

func TestTwoCorrectionsOfOneRecordAreADisputeAndNeitherApplies(t *testing.T) {
	b := small()
	off := record.Session{Lines: []record.Line{stored(line("removal", "strap"), "loft", "")}}
	b.work("work/2026-03-01-ines-off", off)
	for _, id := range []record.Ref{"work/2026-03-02-ines-a", "work/2026-03-02-ines-b"} {
		w := off
		w.Corrects, w.Reason, w.Lines = "work/2026-03-01-ines-off", "misread", []record.Line{stored(line("removal", "bracket"), "loft", "")}
		b.work(id, w)
	}
	w := replay.Of(b.load())
	if w.Len() != 1 || w.Line(0).Ref() != "work/2026-03-01-ines-off" {
		t.Errorf("%d lines count", w.Len())
	}
}

func TestSeveralRecordsOfOnePartAreOnePart(t *testing.T) {
	b := small()
	b.part("parts/generator", record.Part{SameAs: "parts/alternator", Found: "yes"})
	s := after(b, stored(line("removal", "generator"), "loft", ""))
	if place(t, s, "alternator").Place != replay.InStore || place(t, s, "generator") != place(t, s, "alternator") {
		t.Error(place(t, s, "alternator"), place(t, s, "generator"))
	}
}

func TestSessionsOfOneDayOnOneThingNeedAStatedOrder(t *testing.T) {
	b := small()
	b.work("work/2026-03-01-ines-off", record.Session{Lines: []record.Line{stored(line("removal", "strap"), "loft", "")}})
	b.work("work/2026-03-02-a-moved", record.Session{Lines: []record.Line{stored(line("move", "strap"), "rack", "")}})
	second := record.Session{Lines: []record.Line{stored(line("move", "strap"), "cage", "")}}
	b.work("work/2026-03-02-b-moved", second)
	s := replay.Of(b.load()).Now()
	if place(t, s, "strap").Place != replay.NotKnown || !slices.Equal(doubts(s), []string{"order-not-stated"}) {
		t.Error(place(t, s, "strap"), doubts(s))
	}
	second.After = []record.Ref{"work/2026-03-02-a-moved"}
	b.work("work/2026-03-02-b-moved", second)
	if s := replay.Of(b.load()).Now(); place(t, s, "strap").Store != "stores/tallow-lane/cage" || len(s.Doubts()) > 0 {
		t.Error(place(t, s, "strap"), doubts(s))
	}
}

func TestWhatOnlyOneSessionGivesComesBeforeWhatNeedsIt(t *testing.T) {
	b := small()
	b.work("work/2026-03-02-a-tightened", record.Session{Lines: []record.Line{jointed(line("tightening", "motor"), "motor")}})
	b.work("work/2026-03-02-b-fitted", record.Session{Lines: []record.Line{line("fitting", "motor")}})
	s := replay.Of(b.load()).Now()
	if doneUp(t, s, "motor") != replay.Tight || slices.Contains(doubts(s), "order-not-stated") {
		t.Error(doneUp(t, s, "motor"), doubts(s))
	}
}

// A stated order reaches through other sessions of the day: what comes after by it is no provider, and closes no ring.
func TestASessionStatedToComeLaterThroughAnotherIsNotWhatAnEarlierOneNeeded(t *testing.T) {
	b := small()
	b.work("work/2026-03-02-c-first", record.Session{Lines: []record.Line{stored(line("removal", "motor"), "loft", "")}})
	b.work("work/2026-03-02-b-between", record.Session{After: []record.Ref{"work/2026-03-02-c-first"}, Lines: []record.Line{line("sighting", "strap")}})
	b.work("work/2026-03-02-a-last", record.Session{After: []record.Ref{"work/2026-03-02-b-between"}, Lines: []record.Line{line("fitting", "motor")}})
	s := replay.Of(b.load()).Now()
	if place(t, s, "motor").Place != replay.OnCar || slices.Contains(doubts(s), "order-impossible") {
		t.Error(place(t, s, "motor"), doubts(s))
	}
}

// What came last on an earlier day is last by the order that its sessions state, and not by their names.
func TestWhatCameLastOfAnEarlierDayIsLastByItsStatedOrder(t *testing.T) {
	b := small()
	b.work("work/2026-03-01-z-off", record.Session{Lines: []record.Line{stored(line("removal", "strap"), "loft", "")}})
	b.work("work/2026-03-01-a-on", record.Session{After: []record.Ref{"work/2026-03-01-z-off"}, Lines: []record.Line{line("fitting", "strap")}})
	b.work("work/2026-03-02-b-off", record.Session{Lines: []record.Line{stored(line("removal", "strap"), "rack", "")}})
	b.work("work/2026-03-02-a-on", record.Session{Lines: []record.Line{line("fitting", "strap")}})
	if s := replay.Of(b.load()).Now(); place(t, s, "strap").Place != replay.OnCar || len(s.Doubts()) > 0 {
		t.Error(place(t, s, "strap"), doubts(s))
	}
}

func TestMomentsOfOtherZonesAreReadOnTheWorkshopsClock(t *testing.T) {
	b := small()
	b.work("work/2026-03-02-a", record.Session{Started: "2026-03-02T08:00:00+01:00", Ended: "2026-03-02T09:00:00+01:00", Lines: []record.Line{stored(line("removal", "strap"), "loft", "")}})
	b.work("work/2026-03-02-b", record.Session{Started: "2026-03-02T09:30:00+01:00", Ended: "2026-03-02T10:00:00+01:00", Lines: []record.Line{stored(line("move", "strap"), "rack", "")}})
	b.work("work/2026-03-02-c", record.Session{Started: "2026-03-02T08:30:00Z", Ended: "2026-03-02T08:45:00Z", Lines: []record.Line{stored(line("move", "strap"), "cage", "")}})
	s := replay.Of(b.load()).Now()
	if !slices.Equal(doubts(s), []string{"order-not-stated"}) {
		t.Errorf("half past eight in one zone is half past nine in the other: %v", doubts(s))
	}
}

func TestAnUndatedSessionIsNotYetDoneOnADayBeforeOneThatItComesAfter(t *testing.T) {
	b := small()
	b.work("work/2026-03-05-ines-off", record.Session{Lines: []record.Line{stored(line("removal", "strap"), "loft", "")}})
	b.work("work/0000-00-00-ines-moved", record.Session{After: []record.Ref{"work/2026-03-05-ines-off"}, Lines: []record.Line{stored(line("move", "strap"), "rack", "")}})
	w := replay.Of(b.load())
	for day, want := range map[string]string{"2026-03-04": "on the car", "2026-03-05": "in store"} {
		d, _ := replay.ParseDay(day)
		if got := place(t, w.On(d), "strap").Place.String(); got != want {
			t.Errorf("on %s: %s", day, got)
		}
	}
}

func TestAStateOnADayKnowsNothingOfLaterWork(t *testing.T) {
	b := small()
	b.work("work/2026-03-01-ines-off", record.Session{Lines: []record.Line{stored(line("removal", "strap"), "loft", "")}})
	b.work("work/2026-03-05-ines-on", record.Session{Lines: []record.Line{line("fitting", "strap")}})
	w := replay.Of(b.load())
	for day, want := range map[string]replay.Place{"2026-02-28": replay.OnCar, "2026-03-01": replay.InStore, "2026-03-04": replay.InStore, "2026-03-05": replay.OnCar} {
		d, _ := replay.ParseDay(day)
		if got := place(t, w.On(d), "strap").Place; got != want {
			t.Errorf("on %s: %v", day, got)
		}
	}
}
