package steps

import (
	"fmt"
	"slices"
	"strings"

	"boltback/internal/entry"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// fasteners finds or makes the joint that fasteners belong to, and counts them into their bag.
func (t *taking) fasteners() error {
	if t.step.Joint == "" && len(t.step.Fasteners) == 0 {
		return nil
	}
	for _, f := range t.step.Fasteners {
		t.line.Fasteners += f.Count
	}
	if t.step.Joint != "" {
		return t.namedJoint()
	}
	if len(t.named) != 1 {
		t.note("the fasteners are counted, and no joint is made for them: name one part, or the joint")
		t.line.Note = sizes(t.line.Note, t.step.Fasteners)
		return nil
	}
	switch joints := t.s.jointsOf(t.named[0]); {
	case len(joints) == 1:
		t.toJoint(joints[0])
	case len(joints) > 1:
		t.told.Open = fmt.Sprintf("%s is held by %s: say which with joint NAME", t.named[0], join(joints))
	default:
		t.newJoint(strings.TrimPrefix(string(t.named[0]), "parts/"))
	}
	return nil
}

// sizes keeps what the fasteners were where no joint holds it.
func sizes(note string, list []record.Fastener) string {
	var words []string
	for _, f := range list {
		words = append(words, fastenerText(f))
	}
	return strings.TrimPrefix(note+"; "+strings.Join(words, ", "), "; ")
}

// namedJoint finds the joint that the step names. A tightening of a joint that nobody recorded stays open: there is nothing
// to say what it clamps.
func (t *taking) namedJoint() error {
	if ref := t.s.joint(t.step.Joint); ref != "" {
		t.toJoint(ref)
		return nil
	}
	if t.step.Act == "tightening" && len(t.named) == 0 {
		if part := t.s.known(t.step.Joint); part != "" {
			if joints := t.s.jointsOf(part); len(joints) == 1 {
				t.toJoint(joints[0])
				return nil
			}
		}
		t.told.Open = fmt.Sprintf("no joint is called %s%s", t.step.Joint, t.s.nearJoint(t.step.Joint))
		return nil
	}
	slug := entry.Slug(t.step.Joint)
	if slug == "" {
		return &entry.Fault{Word: t.step.Joint, Message: "a joint needs a name with letters or digits"}
	}
	t.newJoint(slug)
	return nil
}

// newJoint makes the joint of the parts named. It does not say that the joint is of the car as found: that is derived.
func (t *taking) newJoint(slug string) {
	ref := t.s.freeRef("joints/"+slug, t.fresh)
	body := &record.Joint{Head: record.Head{Kind: record.KindJoint}, Clamps: slices.Clone(t.named)}
	if t.step.Act == "fitting" {
		body.Original = "no"
	}
	body.Fasteners = bagged(t.step.Fasteners, t.step.Bag)
	t.fresh = append(t.fresh, NewRecord{ref, body})
	t.line.Joints = []record.Ref{ref}
}

// toJoint names a joint that is there. One that this session made takes more fasteners; a recorded one is not edited, and
// what differs from it is said.
func (t *taking) toJoint(ref record.Ref) {
	t.line.Joints = []record.Ref{ref}
	if mine, ok := t.s.named.own(ref).(*record.Joint); ok {
		copied := *mine
		copied.Fasteners = append(slices.Clone(mine.Fasteners), bagged(t.step.Fasteners, t.step.Bag)...)
		for _, part := range t.named {
			if !slices.Contains(copied.Clamps, part) {
				copied.Clamps = append(slices.Clone(copied.Clamps), part)
			}
		}
		t.changed = append(t.changed, NewRecord{ref, &copied})
		return
	}
	if t.s.context.Snapshot == nil || len(t.step.Fasteners) == 0 {
		return
	}
	j, ok := ledger.Get[record.Joint](t.s.context.Snapshot, ref)
	if !ok {
		return
	}
	expected := int64(0)
	for _, f := range j.Body.Fasteners {
		expected += f.Count
	}
	if expected > 0 && expected != t.line.Fasteners {
		t.note("%s has %d fasteners on record, and %d are counted: it stays open which is right", ref, expected, t.line.Fasteners)
	}
	t.line.Note = sizes(t.line.Note, t.step.Fasteners)
}

func bagged(list []record.Fastener, bag string) []record.Fastener {
	list = slices.Clone(list)
	for i := range list {
		list[i].Bag = bag
	}
	return list
}

func fastenerText(f record.Fastener) string {
	text := fmt.Sprintf("%d × %s", f.Count, f.Size)
	if f.Size == "" {
		text = fmt.Sprintf("%d", f.Count)
	}
	what := f.What
	if what == "" && f.Size == "" {
		what = "fastener"
	}
	if what != "" {
		text += " " + what
		if f.Count != 1 {
			text += "s"
		}
	}
	return text
}

// system finds the fill that was drained or filled; one that nobody recorded is new.
func (t *taking) system() error {
	name := t.step.Fields["system"]
	if name == "" {
		return nil
	}
	if ref := t.s.named.find("systems", name); ref != "" {
		t.line.System = ref
		return nil
	}
	slug := entry.Slug(name)
	if slug == "" {
		return &entry.Fault{Word: name, Message: "a fill needs a name with letters or digits", Hint: "drain coolant, 6 l"}
	}
	t.line.System = t.s.freeRef("systems/"+slug, t.fresh)
	t.fresh = append(t.fresh, NewRecord{t.line.System, &record.System{Head: record.Head{Kind: record.KindSystem, Name: name}}})
	return nil
}
