package workings

import (
	"slices"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
)

// joints gives the workings of joints and of the tools that tightened them.
func (c *Car) joints() []Working {
	last := c.lastTightenings()
	list := c.tightened(last)
	list = append(list, c.preloads(last)...)
	list = append(list, c.fallout(last)...)
	if len(list) == 0 {
		s := begin(Joints, "joints", "Joints")
		s.missing("a joint that was tightened")
		list = append(list, s.done())
	}
	return list
}

// tightened judges the last tightening of every joint that asks for one or had
// one.
func (c *Car) tightened(last map[record.Ref]lastTightening) []Working {
	var list []Working
	for _, j := range ledger.All[record.Joint](c.s) {
		st, ok := c.state.Joint(j.ID)
		line, was := last[j.ID]
		if !ok || !was && (st.Done == replay.Undone || st.Since == replay.NoStep || j.Body.Specification == nil) {
			continue
		}
		if was && st.Done == replay.Undone && c.state.Vacated(j.ID) {
			continue
		}
		list = append(list, JointTightened(short(j.ID), c.tightening(j, st, line, was)).about(j.ID))
	}
	return list
}

// lastTightening is the last tightening of a joint, and the days of those before
// it since the joint was last undone.
type lastTightening struct {
	replay.Line
	earlier []edtf.Date
	undone  bool // the joint was undone after it
}

// lastTightenings gives the last tightening of each joint, whether it still
// stands or not.
func (c *Car) lastTightenings() map[record.Ref]lastTightening {
	last := map[record.Ref]lastTightening{}
	c.work.Each(func(_ replay.Step, line replay.Line, state *replay.State, changed replay.Changed) {
		if !c.byToday(line.Work.Started) {
			return
		}
		for _, ref := range changed.Joints {
			if st, ok := state.Joint(ref); ok && st.Done == replay.Undone {
				if one, was := last[ref]; was {
					one.undone = true
					last[ref] = one
				}
			}
		}
		if line.Body.Act != "tightening" {
			return
		}
		for _, ref := range line.Body.Joints {
			if r := c.s.Current(ref); r != nil {
				last[r.ID] = last[r.ID].then(line)
			}
		}
	})
	return last
}

// then is the tightening after this one.
func (l lastTightening) then(line replay.Line) lastTightening {
	next := lastTightening{Line: line}
	if l.Session != nil && !l.undone {
		next.earlier = append(slices.Clone(l.earlier), dateOf(l.Work.Started).Calendar())
	}
	return next
}

func (c *Car) tightening(j ledger.Entry[record.Joint], st replay.JointState, line lastTightening, was bool) Tightening {
	t := Tightening{Joint: j.Name()}
	if spec := j.Body.Specification; spec != nil {
		t.Torque = measure(j.Record, "/specification/torque", spec.Torque)
		t.Angle = measure(j.Record, "/specification/angle", spec.Angle)
		t.Tolerance = measure(j.Record, "/specification/tolerance", spec.Tolerance)
		t.Retighten = measure(j.Record, "/specification/retighten-after", spec.RetightenAfter)
		t.Surface, t.SecondCheck = spec.Surface, spec.SecondCheck
	}
	for _, f := range j.Body.Fasteners {
		t.Fasteners = append(t.Fasteners, Fastener{f.What, f.Size, f.Class, f.Count, f.SingleUse, f.Origin})
	}
	if !was {
		return t
	}
	l, at := line.Body, line.Pointer()
	t.Method, t.On, t.Earlier, t.Odometer = l.Method, dateOf(line.Work.Started), line.earlier, c.odometer()
	t.Set = measure(line.Session, at+"/set", l.Set)
	t.Indicated = measure(line.Session, at+"/indicated", l.Indicated)
	t.Turned = measure(line.Session, at+"/angle", l.Angle)
	t.By = c.name(line.Work.By)
	if l.SecondCheck != "" {
		t.SecondCheckBy = c.name(l.SecondCheck)
	}
	if l.Instrument != "" {
		t.Tool = c.tool(l.Instrument)
	}
	if st.Tightened == replay.NoStep {
		t.Disturbed = "the records do not say by what"
		if since, ok := c.state.Line(st.Since); ok {
			t.Disturbed = since.Session.Name() + ", " + string(since.Work.Started)
		}
	}
	return t
}

// tool is a torque tool with its calibrations, which lie in its folder.
func (c *Car) tool(ref record.Ref) Tool {
	t := Tool{Name: c.name(ref)}
	in, ok := ledger.Get[record.Instrument](c.s, ref)
	if !ok {
		return t
	}
	t.Accuracy = ReadAccuracy(in.Body.Accuracy)
	if in.Body.Range != nil {
		t.From = Recorded(in.Record, "/range/from", in.Body.Range.From)
		t.To = Recorded(in.Record, "/range/to", in.Body.Range.To)
	}
	for _, k := range ledger.All[record.Calibration](c.s) {
		if strings.HasPrefix(string(k.ID), string(in.ID)+"/") && c.byToday(k.Body.On) {
			t.Calibrations = append(t.Calibrations, Calibration{Name: k.Name(), On: dateOf(k.Body.On), Due: dateOf(k.Body.Due),
				AsFound: k.Body.AsFound, AsLeft: k.Body.AsLeft, Deviation: measure(k.Record, "/deviation", k.Body.Deviation)})
		}
	}
	return t
}

// preloads gives the range of clamping force where the fastener has a table.
func (c *Car) preloads(last map[record.Ref]lastTightening) []Working {
	var list []Working
	for _, j := range ledger.All[record.Joint](c.s) {
		if _, was := last[j.ID]; !was || j.Body.Specification == nil {
			continue
		}
		for i, f := range j.Body.Fasteners {
			if _, ok := ThreadOf(f.Size, f.Class); ok {
				w := Preload(short(j.ID), measure(j.Record, "/specification/torque", j.Body.Specification.Torque), Fastener{f.What, f.Size, f.Class, f.Count, f.SingleUse, f.Origin})
				w.Title += ", " + j.Name()
				w.Inputs = append(w.Inputs, Input{Name: "fastener", Text: f.Size + " " + f.Class, Record: j.ID, Path: j.Path,
					Pointer: canon.ElementPointer("/fasteners", i), Line: j.Doc.Locate(canon.ElementPointer("/fasteners", i)).Line})
				list = append(list, w)
				break
			}
		}
	}
	return list
}

// fallout gives, for every tool that tightened a joint, what its calibrations
// leave without evidence.
func (c *Car) fallout(last map[record.Ref]lastTightening) []Working {
	uses := map[record.Ref][]Use{}
	for _, j := range ledger.All[record.Joint](c.s) {
		if line, was := last[j.ID]; was && line.Body.Instrument != "" {
			uses[line.Body.Instrument] = append(uses[line.Body.Instrument], Use{j.Name(), dateOf(line.Work.Started).Calendar()})
		}
	}
	var tools []record.Ref
	for ref := range uses {
		tools = append(tools, ref)
	}
	slices.Sort(tools)
	var list []Working
	for _, ref := range tools {
		list = append(list, Fallout(short(ref), c.tool(ref), uses[ref]).about(ref))
	}
	return list
}
