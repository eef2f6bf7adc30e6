package replay_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"boltback/internal/record"
	"boltback/internal/replay"
)

var placeWords = map[replay.Place]string{replay.NotLocated: "never", replay.OnCar: "on", replay.InStore: "store", replay.WithSomeone: "with",
	replay.OffCar: "off", replay.Gone: "gone", replay.BecameAnother: "became", replay.NotKnown: "unstated"}

// textOf writes a state the way the oracle writes its own.
func textOf(s *replay.State) string {
	var b []string
	seen := map[string]bool{}
	for _, p := range s.Parts() {
		detail := map[replay.Place]string{replay.OnCar: p.Where.Position, replay.InStore: string(p.Where.Store) + " " + p.Where.Shelf,
			replay.WithSomeone: p.Where.With, replay.Gone: p.Where.How}[p.Where.Place]
		b = append(b, strings.TrimSpace(fmt.Sprintf("%s %s %s", p.Ref, placeWords[p.Where.Place], detail)))
		if p.Inside != "" {
			b = append(b, fmt.Sprintf("%s inside %s", p.Ref, p.Inside))
		}
		for _, m := range p.Marks {
			line, _ := s.Line(m.Step)
			b = append(b, fmt.Sprintf("%s mark %s#%d", p.Ref, line.Place.ID, line.Index))
		}
		for _, e := range p.Ends {
			b = append(b, fmt.Sprintf("end %s %s %s", p.Ref, e.End, e.State))
		}
	}
	for _, j := range s.Joints() {
		b = append(b, fmt.Sprintf("%s %s", j.Ref, map[replay.Done]string{replay.Undone: "undone", replay.DoneUp: "made", replay.Tight: "tight"}[j.Done]))
	}
	for _, f := range s.Fills() {
		if f.State != "" {
			b = append(b, fmt.Sprintf("%s %s", f.Ref, f.State))
		}
	}
	for _, d := range s.Doubts() {
		if text := orderText(d); text != "" && !seen[text] {
			seen[text] = true
			b = append(b, text)
		}
	}
	slices.Sort(b)
	return strings.Join(b, "\n")
}

func orderText(d replay.Doubt) string {
	switch d.Code {
	case "order-impossible":
		var names []string
		for _, l := range d.Lines {
			names = append(names, string(l.Place.ID))
		}
		slices.Sort(names)
		return "doubt order-impossible " + strings.Join(names, " ")
	case "order-not-stated":
		thing := string(d.Thing)
		switch d.About {
		case "alteration":
			thing = "mark " + thing
		case "end":
			thing = "end " + thing + " " + d.End
		}
		return fmt.Sprintf("doubt order-not-stated %s: %s, %s", thing, d.Lines[0].Place.ID, d.Lines[1].Place.ID)
	}
	return ""
}

func TestAnOrderThatIsWalkedIsTheOneReadFromIntervals(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		snapshot := drawCar(t).load()
		read := fullText(replay.Of(snapshot).Now())
		restore := replay.WalkWhatIsStated()
		defer restore()
		if got := fullText(replay.Of(snapshot).Now()); got != read {
			t.Fatalf("walked\n%s\n--- read\n%s", got, read)
		}
	})
}

func TestReplayAgreesWithTheSlowReadingOfTheRules(t *testing.T) {
	runs, overlaps, corrections, looms, rings, borders, rows := 0, 0, 0, 0, 0, 0, 0
	rapid.Check(t, func(t *rapid.T) {
		c := drawCar(t)
		snapshot := c.load()
		o := newOracle(snapshot)
		o.run()
		w := replay.Of(snapshot)
		var order, want []string
		for i := range w.Len() {
			l := w.Line(replay.Step(i))
			order = append(order, fmt.Sprintf("%s#%d", l.Place.ID, l.Index))
		}
		for _, l := range o.order {
			want = append(want, fmt.Sprintf("%s#%d", o.sessions[o.lines[l].session].id, o.lines[l].line))
		}
		if !slices.Equal(order, want) {
			t.Fatalf("order\n got %v\nwant %v", order, want)
		}
		// In a ledger with a ring every line of it comes before every other, and a full table no longer tells what is stated.
		ring := strings.Contains(o.text(), "order-impossible")
		if got, want := textOf(w.Now()), o.text(); got != want && !ring {
			t.Fatalf("order %v\nstate\n%s\n--- slow reading\n%s", order, got, want)
		}
		runs++
		count(&overlaps, strings.Contains(o.text(), "order-not-stated"))
		count(&rings, ring)
		count(&corrections, c.corrected)
		count(&looms, c.looms)
		count(&rows, c.rows > 1)
		count(&borders, slices.ContainsFunc(o.jointIDs, func(j record.Ref) bool { return o.joint[j] == "undone" && o.original(j) }))
	})
	for name, n := range map[string]int{"order not stated": overlaps, "corrections": corrections, "looms": looms, "rows of three sessions": rows, "joints undone across a border": borders} {
		if n*10 < runs {
			t.Errorf("only %d of %d runs had %s: the generator no longer tests it", n, runs, name)
		}
	}
	if rings == 0 {
		t.Errorf("none of %d runs had an impossible order", runs)
	}
}

func count(n *int, yes bool) {
	if yes {
		*n++
	}
}
