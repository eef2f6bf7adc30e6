package reversal_test

import (
	"fmt"
	"slices"
	"time"

	"pgregory.net/rapid"

	"boltback/internal/record"
)

// conversion draws a car and its conversion the way a workshop does it: parts hang on parts, subtrees come off as one and
// some are split on the bench, ends of looms are unplugged, conversion parts pick up the holes that fell free or hang on each
// other, and some found parts go back on in between. What is lost on the way is planted and kept in a list.
type conversion struct {
	*bench
	t        *rapid.T
	parts    []*foundPart
	fitted   []record.Ref // conversion parts on the car
	joints   int
	day      time.Time
	number   int
	last     record.Ref
	lines    []record.Line
	planted  []string // "what thing"
	baseline []record.BaselinePart

	lossy, deep, border, looms, splits, overlaps, corrected, assemblies bool
}

type foundPart struct {
	ref     record.Ref
	parent  *foundPart
	on      bool
	gone    bool
	inside  bool
	mount   record.Ref // the joint to its parent
	loom    bool
	depth   int
	kids    []*foundPart
	as      []*foundPart // what it came off with as one and still lies bolted to
	crossed bool
}

func drawConversion(t *rapid.T, most int, lossy bool) *conversion {
	return drawSized(t, rapid.IntRange(1, most).Draw(t, "found parts"), rapid.IntRange(1, 3+most/2).Draw(t, "sessions"), lossy)
}

func drawSized(t *rapid.T, parts, sessions int, lossy bool) *conversion {
	c := &conversion{bench: newBench(), t: t, day: time.Date(2026, 1, 5, 0, 0, 0, 0, time.UTC), lossy: lossy}
	for i := range parts {
		c.drawFound(i)
	}
	c.part("parts/shell", record.Part{Head: record.Head{Name: "Shell"}, Found: "yes"})
	c.put("systems/coolant", &record.System{Head: record.Head{Kind: record.KindSystem}, Sort: "fill"})
	for range sessions {
		c.drawSession()
	}
	c.car(record.Car{Root: "parts/shell", Baseline: &record.Baseline{Name: "as found", On: "2026-01-02", Parts: c.baseline}})
	return c
}

func (c *conversion) chance(oneIn int, label string) bool {
	return rapid.IntRange(1, oneIn).Draw(c.t, label) == 1
}

func (c *conversion) newJoint(j record.Joint) record.Ref {
	ref := record.Ref(fmt.Sprintf("joints/j%d", c.joints))
	c.joints++
	if c.chance(3, "fasteners") {
		j.Fasteners = []record.Fastener{{What: "bolt", Count: 2, SingleUse: "no"}}
	}
	c.joint(ref, j)
	return ref
}

func (c *conversion) drawFound(i int) {
	p := &foundPart{ref: record.Ref(fmt.Sprintf("parts/f%03d", i)), on: true}
	body := record.Part{Found: "yes", Position: fmt.Sprintf("spot %d", i)}
	if len(c.parts) > 0 && !c.chance(6, "on the shell") {
		p.parent = c.parts[max(0, len(c.parts)-1-rapid.IntRange(0, 2).Draw(c.t, "parent"))]
		p.depth = p.parent.depth + 1
	}
	c.deep = c.deep || p.depth >= 4
	switch {
	case c.chance(8, "loom"):
		p.loom, c.looms = true, true
		body.Class, body.Runs = "loom", []record.Run{{End: "lamp"}, {End: "fuse box"}}
	case p.parent != nil && !p.parent.loom && c.chance(8, "inside"):
		p.inside, c.assemblies = true, true
	}
	if p.parent != nil {
		p.parent.kids = append(p.parent.kids, p)
	}
	switch {
	case p.parent == nil:
		p.mount = c.newJoint(record.Joint{Clamps: []record.Ref{p.ref}, Host: "shell", Original: "yes"})
	default:
		p.mount = c.newJoint(record.Joint{Clamps: []record.Ref{p.ref, p.parent.ref}, Original: "yes"})
	}
	if len(c.parts) > 0 && c.chance(4, "second joint") {
		other := rapid.SampledFrom(c.parts).Draw(c.t, "with")
		c.newJoint(record.Joint{Clamps: []record.Ref{p.ref, other.ref}, Original: "yes"})
		c.border = true
	}
	c.part(p.ref, body)
	if p.inside { // the assembly declares what it holds
		var holds []record.Ref
		for _, k := range p.parent.kids {
			if k.inside {
				holds = append(holds, k.ref)
			}
		}
		c.part(p.parent.ref, record.Part{Found: "yes", Class: "assembly", Contains: holds, Position: "spot " + string(p.parent.ref[7:])})
	}
	c.parts = append(c.parts, p)
	c.baseline = append(c.baseline, record.BaselinePart{Part: p.ref, Position: fmt.Sprintf("place of %s", p.ref[6:]), Evidence: "seen"})
}

// subtree is a part and all that hangs on it and is on the car.
func (p *foundPart) subtree() []*foundPart {
	list := []*foundPart{p}
	for i := 0; i < len(list); i++ {
		for _, k := range list[i].kids {
			if k.on {
				list = append(list, k)
			}
		}
	}
	return list
}

func refsOf(parts []*foundPart) []record.Ref {
	var list []record.Ref
	for _, p := range parts {
		list = append(list, p.ref)
	}
	return list
}

func (c *conversion) drawSession() {
	c.lines = nil
	for range rapid.IntRange(1, 5).Draw(c.t, "acts") {
		switch rapid.SampledFrom([]string{"off", "off", "off", "fit", "fit", "ends", "drain", "lose", "drill", "again"}).Draw(c.t, "what") {
		case "off":
			c.takeOff()
		case "fit":
			c.fitNew()
		case "ends":
			c.unplug()
		case "drain":
			c.add(record.Line{Act: "drain", Parts: []record.Ref{}, System: "systems/coolant"})
		case "lose":
			c.lose()
		case "drill":
			c.drill()
		case "again":
			c.refit()
		}
	}
	if len(c.lines) > 0 {
		c.write()
	}
}

func (c *conversion) add(l record.Line) {
	l.Purpose = rapid.SampledFrom([]string{"conversion", "conversion", "not stated", ""}).Draw(c.t, "purpose")
	c.lines = append(c.lines, l)
}

// write closes a session: on a new day, or on the same day as the one before, which it then states to come after.
func (c *conversion) write() {
	w := record.Session{Lines: c.lines}
	same := c.last != "" && c.chance(3, "same day")
	if same {
		w.After, c.overlaps = []record.Ref{c.last}, true
	} else {
		c.day = c.day.AddDate(0, 0, 1)
	}
	// The later the earlier by name: the order must come from what is stated.
	ref := record.Ref(fmt.Sprintf("work/%s-ines-s%03d", c.day.Format("2006-01-02"), 999-c.number))
	c.number++
	c.last = ref
	if c.chance(6, "corrected") {
		wrong := w
		wrong.Lines = append(slices.Clone(w.Lines), record.Line{Act: "alteration", Parts: []record.Ref{"parts/shell"}, Alteration: &record.Hole{Zone: "misread"}})
		c.work(ref, wrong)
		w.Corrects, w.Reason = ref, "misread"
		ref, c.corrected = record.Ref(fmt.Sprintf("work/2027-01-01-ines-correction-%d", c.number)), true
	}
	c.work(ref, w)
}

// takeOff takes a part off with all that hangs on it, as one, and sometimes splits it on the bench.
func (c *conversion) takeOff() {
	var on []*foundPart
	for _, p := range c.parts {
		if p.on && !p.inside {
			on = append(on, p)
		}
	}
	if len(on) == 0 {
		return
	}
	set := rapid.SampledFrom(on).Draw(c.t, "off").subtree()
	l := record.Line{Act: "removal", Parts: refsOf(set), Store: "stores/tallow-lane/loft", Place: "crate 1"}
	c.add(l)
	for _, p := range set {
		p.on, p.as = false, set
	}
	if len(set) > 1 && c.chance(2, "split") {
		c.split(set)
	}
}

// split takes what came off as one apart, from the outside in.
func (c *conversion) split(set []*foundPart) {
	for i := len(set) - 1; i > 0; i-- {
		if set[i].inside {
			continue
		}
		c.splits = true
		var with []record.Ref
		for _, p := range set[i].as {
			if p != set[i] && !slices.Contains(set[:i], p) && set[i].holds(p) {
				with = append(with, p.ref)
			}
		}
		c.add(record.Line{Act: "removal", Parts: append([]record.Ref{set[i].ref}, with...), Store: "stores/tallow-lane/rack"})
	}
}

// holds says that a part is somewhere above another.
func (p *foundPart) holds(o *foundPart) bool {
	for o = o.parent; o != nil; o = o.parent {
		if o == p {
			return true
		}
	}
	return false
}

// fitNew fits a conversion part: in the holes of a joint that fell free, on another conversion part, or on a found part.
func (c *conversion) fitNew() {
	ref := record.Ref(fmt.Sprintf("parts/n%03d", len(c.fitted)))
	j := record.Joint{Original: "no", Clamps: []record.Ref{ref}}
	free := c.freeMount()
	switch {
	case free != "" && c.chance(2, "free holes"):
		j.Host, j.PicksUp = "shell", free
	case len(c.fitted) > 0 && c.chance(2, "on the last"):
		j.Clamps = append(j.Clamps, c.fitted[len(c.fitted)-1])
	case c.chance(4, "on the bench"):
		for _, p := range c.parts { // to a part in store, and it stays there
			if !p.on && !p.gone && len(p.as) == 1 && len(j.Clamps) == 1 && len(p.kids) == 0 {
				j.Clamps = append(j.Clamps, p.ref)
				p.as = append(p.as, p)
			}
		}
	default:
		for _, p := range c.parts {
			if p.on && len(j.Clamps) == 1 && c.chance(3, "on a found part") {
				j.Clamps = append(j.Clamps, p.ref)
			}
		}
	}
	c.part(ref, record.Part{Found: "no"})
	joint := c.newJoint(j)
	c.fitted = append(c.fitted, ref)
	c.add(record.Line{Act: "fitting", Parts: []record.Ref{ref}, Joints: []record.Ref{joint}})
	if c.chance(2, "tightened") {
		c.add(record.Line{Act: "tightening", Parts: []record.Ref{ref}, Joints: []record.Ref{joint}})
	}
}

func (c *conversion) freeMount() record.Ref {
	for _, p := range c.parts {
		if !p.on && p.parent == nil && !p.crossed {
			p.crossed = true
			return p.mount
		}
	}
	return ""
}

func (c *conversion) unplug() {
	for _, p := range c.parts {
		if p.loom && !p.gone && c.chance(2, "unplugged") {
			c.add(record.Line{Act: "preserve", Parts: []record.Ref{p.ref}, Ends: []record.End{{End: "lamp", State: "unplugged"}}})
			if c.lossy && c.chance(3, "cut") {
				c.add(record.Line{Act: "preserve", Parts: []record.Ref{p.ref}, Ends: []record.End{{End: "fuse box", State: "cut"}}})
				c.plant("end " + string(p.ref))
			}
			return
		}
	}
}

func (c *conversion) plant(what string) {
	if !slices.Contains(c.planted, what) {
		c.planted = append(c.planted, what)
	}
}

// lose sells a part that lies by itself in store.
func (c *conversion) lose() {
	if !c.lossy {
		return
	}
	for _, p := range c.parts {
		if p.on || p.gone || len(p.as) > 1 || len(p.kids) > 0 || p.loom || p.inside || !c.chance(2, "lost") {
			continue
		}
		p.gone = true
		c.add(record.Line{Act: "out", Parts: []record.Ref{p.ref}, Gone: "sold"})
		c.plant("missing " + string(p.ref))
		return
	}
}

func (c *conversion) drill() {
	if !c.lossy {
		return
	}
	c.add(record.Line{Act: "alteration", Parts: []record.Ref{"parts/shell"}, Alteration: &record.Hole{Zone: "floor", MaterialRemoved: "yes", Undo: "close it", Leaves: "a plugged hole"}})
	c.plant("alteration parts/shell")
}

// refit puts a found part that lies by itself back, fastened to a conversion part.
func (c *conversion) refit() {
	if len(c.fitted) == 0 {
		return
	}
	for _, p := range c.parts {
		if p.on || p.gone || len(p.as) > 1 || p.inside || len(p.kids) > 0 || p.parent != nil && !p.parent.on {
			continue
		}
		p.on = true
		to := c.fitted[len(c.fitted)-1]
		if p.parent != nil && c.chance(2, "to a found part") {
			to = p.parent.ref
		}
		joint := c.newJoint(record.Joint{Original: "no", Clamps: []record.Ref{p.ref, to}})
		l := record.Line{Act: "fitting", Parts: []record.Ref{p.ref}, Joints: []record.Ref{joint}}
		if c.chance(2, "elsewhere") {
			l.Position = "on the conversion"
		}
		c.add(l)
		return
	}
}
