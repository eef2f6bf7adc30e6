package replay_test

import (
	"fmt"
	"slices"

	"pgregory.net/rapid"

	"boltback/internal/record"
)

// randomCar draws a small ledger with everything that makes ordering and replay hard: assemblies, joints of several parts,
// looms, sessions of the same day or of a whole month, stated orders that may contradict the clock, corrections and
// withdrawals. Nothing is kept sensible: parts may be fitted twice and removed from nowhere.
type randomCar struct {
	*bench
	t         *rapid.T
	parts     []record.Ref
	joints    []record.Ref
	sessions  []record.Ref
	corrected bool
	looms     bool
	row, rows int // sessions stated to come one after the other: now, and most of them
}

func drawCar(t *rapid.T) *randomCar {
	c := &randomCar{t: t}
	n := rapid.IntRange(2, 7).Draw(t, "parts")
	for i := range n {
		c.parts = append(c.parts, record.Ref(fmt.Sprintf("parts/p%d", i)))
	}
	var baseline []record.BaselinePart
	for _, p := range c.parts {
		if rapid.IntRange(0, 3).Draw(t, "listed") == 0 {
			baseline = append(baseline, record.BaselinePart{Part: p, Position: "spot " + string(p[6:])})
		}
	}
	root := record.Ref("parts/shell")
	if rapid.IntRange(0, 4).Draw(t, "no root") == 0 {
		root = ""
	}
	c.bench = newBench(root, baseline...)
	c.drawParts()
	for i := range rapid.IntRange(0, 6).Draw(t, "joints") {
		c.drawJoint(record.Ref(fmt.Sprintf("joints/j%d", i)))
	}
	c.files["systems/coolant.json"] = nil
	c.put("systems/coolant", &record.System{Head: record.Head{Kind: record.KindSystem}, Sort: "fill"})
	for i := range rapid.IntRange(1, 6).Draw(t, "sessions") {
		c.drawSession(i)
	}
	return c
}

func (c *randomCar) drawParts() {
	for i, p := range c.parts {
		if rapid.IntRange(0, 5).Draw(c.t, "no record") == 0 {
			continue
		}
		body := record.Part{Found: rapid.SampledFrom([]string{"", "yes", "no", "inferred"}).Draw(c.t, "found")}
		if rapid.Bool().Draw(c.t, "tagged") {
			body.Tag = "0101"
		}
		if rapid.Bool().Draw(c.t, "spot") {
			body.Position = fmt.Sprintf("place %d", i)
		}
		if i+1 < len(c.parts) && rapid.IntRange(0, 3).Draw(c.t, "assembly") == 0 {
			body.Class = "assembly"
			body.Contains = c.some(c.parts[i+1:], 1, 3, "contains")
		}
		if rapid.IntRange(0, 4).Draw(c.t, "loom") == 0 {
			body.Class, c.looms = "loom", true
			body.Runs = []record.Run{{End: "lamp", State: rapid.SampledFrom([]string{"", "connected", "unplugged"}).Draw(c.t, "state")}, {End: "fuse box"}}
		}
		c.part(p, body)
	}
}

func (c *randomCar) drawJoint(id record.Ref) {
	j := record.Joint{Clamps: c.some(append(slices.Clone(c.parts), "parts/shell"), 1, 3, "clamps"),
		Original: rapid.SampledFrom([]string{"", "yes", "no", "unknown"}).Draw(c.t, "original")}
	if rapid.IntRange(0, 3).Draw(c.t, "host") == 0 {
		j.Host = "mount tower"
	}
	if len(c.joints) > 0 && rapid.IntRange(0, 4).Draw(c.t, "picks") == 0 {
		j.PicksUp = rapid.SampledFrom(c.joints).Draw(c.t, "picked")
	}
	c.joints = append(c.joints, id)
	c.joint(id, j)
}

// some draws a few different names.
func (c *randomCar) some(from []record.Ref, least, most int, label string) []record.Ref {
	var list []record.Ref
	for range rapid.IntRange(least, most).Draw(c.t, label) {
		if r := rapid.SampledFrom(from).Draw(c.t, label); !slices.Contains(list, r) {
			list = append(list, r)
		}
	}
	return list
}

var times = []string{"", "", "2026-03", "2026-03-02", "2026-03-03", "2026-03-02T08:00:00Z", "2026-03-02T13:00:00Z", "2026-03-04T09:00:00Z"}

func (c *randomCar) drawSession(i int) {
	started := rapid.SampledFrom(times).Draw(c.t, "started")
	day := rapid.SampledFrom([]string{"2026-03-02", "2026-03-03", "2026-03-04", "0000-00-00"}).Draw(c.t, "day")
	w := record.Session{Started: record.Date(started), Basis: rapid.SampledFrom([]string{"seen", "", "told"}).Draw(c.t, "basis")}
	if rapid.Bool().Draw(c.t, "entered") {
		w.Entered = "2026-03-03"
	}
	if started == "2026-03-02T08:00:00Z" && rapid.Bool().Draw(c.t, "ended") {
		w.Ended = "2026-03-02T12:00:00Z"
	}
	if len(c.sessions) > 0 && rapid.IntRange(0, 2).Draw(c.t, "after") == 0 {
		w.After = c.some(c.sessions, 1, 2, "after")
	}
	if i > 0 && rapid.Bool().Draw(c.t, "row") { // after the one before alone: rows of sessions become likely
		w.After = []record.Ref{c.sessions[i-1]}
		c.row++
		c.rows = max(c.rows, c.row)
	} else {
		c.row = 0
	}
	if rapid.IntRange(0, 9).Draw(c.t, "ahead") == 0 { // a later session by number: rings become possible
		w.After = append(w.After, record.Ref(fmt.Sprintf("work/%s-ines-s%d", day, i+1)))
	}
	for range rapid.IntRange(1, 4).Draw(c.t, "lines") {
		w.Lines = append(w.Lines, c.drawLine())
	}
	if rapid.IntRange(0, 3).Draw(c.t, "scene") == 0 {
		w.Lines = append(w.Lines, c.drawScene()...)
	}
	id := record.Ref(fmt.Sprintf("work/%s-ines-s%d", day, i))
	c.sessions = append(c.sessions, id)
	c.work(id, w)
	switch rapid.IntRange(0, 9).Draw(c.t, "afterwards") {
	case 0:
		w.Corrects, w.Reason = id, "misread"
		w.Lines[0] = c.drawLine()
		c.work(record.Ref(fmt.Sprintf("work/2026-04-0%d-ines-correction", i+1)), w)
		c.corrected = true
	case 1:
		c.put(record.Ref(fmt.Sprintf("work/2026-04-0%d-ines-withdrawal", i+1)), &record.Session{Head: record.Head{Kind: record.KindSession, Withdraws: id, Reason: "written twice"}})
	}
}

var drawnActs = []string{"removal", "removal", "fitting", "fitting", "tightening", "alteration", "restoration", "drain", "fill", "move", "sighting", "sighting", "out", "in", "in",
	"repair", "preserve", "rectify"}

func (c *randomCar) drawLine() record.Line {
	l := record.Line{Act: rapid.SampledFrom(drawnActs).Draw(c.t, "act"), Parts: c.some(append(slices.Clone(c.parts), c.parts[0], "parts/shell"), 1, 2, "parts")}
	if len(c.joints) > 0 && slices.Contains([]string{"removal", "fitting", "tightening"}, l.Act) && rapid.IntRange(0, 2).Draw(c.t, "names joints") == 0 {
		l.Joints = c.some(c.joints, 1, 2, "joints")
	}
	switch l.Act {
	case "removal", "move", "sighting", "in", "preserve":
		if rapid.IntRange(0, 3).Draw(c.t, "stored") > 0 {
			l.Store = rapid.SampledFrom([]record.Ref{"stores/tallow-lane/loft", "stores/tallow-lane/loft", "stores/tallow-lane/rack"}).Draw(c.t, "store")
			l.Place = rapid.SampledFrom([]string{"", "crate 1"}).Draw(c.t, "place")
		}
		if l.Act != "removal" && l.Store == "" && rapid.Bool().Draw(c.t, "at") {
			l.Position = "bulkhead"
		}
	case "alteration", "restoration", "repair":
		c.drawHole(&l)
	case "out":
		l.With = rapid.SampledFrom([]string{"", "plating works"}).Draw(c.t, "with")
		if rapid.IntRange(0, 3).Draw(c.t, "gone") == 0 {
			l.Gone = "sold"
		}
	case "fitting":
		if rapid.IntRange(0, 2).Draw(c.t, "position") == 0 {
			l.Position = "bulkhead"
		}
	case "drain", "fill":
		l.System = "systems/coolant"
	}
	c.drawRest(&l)
	if c.looms && rapid.IntRange(0, 3).Draw(c.t, "ends") == 0 {
		l.Ends = []record.End{{End: "lamp", State: rapid.SampledFrom([]string{"connected", "free", "unplugged", "cut"}).Draw(c.t, "end")}}
	}
	return l
}

// drawHole says where an alteration was made, or which one is undone, as far as anybody says so.
func (c *randomCar) drawHole(l *record.Line) {
	if rapid.Bool().Draw(c.t, "place of it") {
		l.Alteration = &record.Hole{Zone: rapid.SampledFrom([]string{"", "floor"}).Draw(c.t, "zone"), Where: rapid.SampledFrom([]string{"", "left"}).Draw(c.t, "where")}
	}
	if l.Act == "restoration" && len(c.sessions) > 0 && rapid.Bool().Draw(c.t, "undoes") {
		l.Undoes = rapid.SampledFrom(c.sessions).Draw(c.t, "undone")
	}
}

// drawRest adds what only some lines say: what became of a part, its tag, a seal, and that all was looked for.
func (c *randomCar) drawRest(l *record.Line) {
	if rapid.IntRange(0, 11).Draw(c.t, "became") == 0 && l.Act != "fitting" {
		l.Became = rapid.SampledFrom(c.parts).Draw(c.t, "became what")
	}
	if l.Act == "in" {
		l.Tag = rapid.SampledFrom([]string{"", "0101", "K 7"}).Draw(c.t, "tag")
	}
	if l.Store == "" {
		return
	}
	l.Seal = rapid.SampledFrom([]string{"", "", "", "sealed", "broken", "unbroken"}).Draw(c.t, "seal")
	if l.Act == "sighting" && rapid.IntRange(0, 3).Draw(c.t, "all") > 0 {
		l.Counted, l.Place = "everything there", ""
	}
}

// drawScene draws two lines of which the second answers the first: what is altered is restored, what is stored is looked for.
func (c *randomCar) drawScene() []record.Line {
	two := c.some(c.parts, 2, 2, "in it")
	if rapid.Bool().Draw(c.t, "material") {
		hole := &record.Hole{Zone: "floor", Where: "left"}
		return []record.Line{{Act: "alteration", Parts: two, Alteration: hole}, {Act: "restoration", Parts: two[:1], Alteration: hole}}
	}
	return []record.Line{{Act: "removal", Parts: two, Store: "stores/tallow-lane/loft"},
		{Act: "sighting", Parts: two[:1], Store: "stores/tallow-lane/loft", Counted: "everything there"}}
}
