package dossier

import (
	"strings"

	"boltback/internal/canon"
	"boltback/internal/doc"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// viewer says the members of one record in the order of its file.
type viewer struct {
	*book
	record *record.Record
	leaves map[string]record.Leaf // by pointer: what each text is
	told   map[string]bool        // members that the top of the page has said already
	counts bool
}

// toldAtTop gives the members that standingWords says: of a record that another one overrules, what it overruled itself, and why,
// is not among them.
func (b *book) toldAtTop(r *record.Record) map[string]bool {
	standing, _ := b.s.StandingOf(r)
	head := r.Body.Heading()
	switch {
	case standing == ledger.Corrected || standing == ledger.Withdrawn || standing == ledger.Disputed:
		return map[string]bool{"kind": true}
	case head.Withdraws != "" && standing != ledger.NotApplied:
		return map[string]bool{"kind": true, "withdraws": true, "reason": true}
	case head.Corrects != "" || standing == ledger.NotApplied:
		return map[string]bool{"kind": true, "corrects": true, "reason": true}
	}
	return map[string]bool{"kind": true}
}

// members lays an object: plain members as facts, groups and lists behind them.
func (v *viewer) members(n *canon.Node, pointer string) []doc.Block {
	facts := &doc.Facts{}
	var behind []doc.Block
	for _, m := range n.Members {
		at := canon.ChildPointer(pointer, m.Name)
		switch {
		case pointer == "" && v.told[m.Name]:
		case m.Value.Kind == canon.Object:
			behind = append(behind, v.group(m, at))
		case m.Value.Kind == canon.Array && holdsObjects(m.Value):
			behind = append(behind, doc.Para("{}:", doc.Strong(label(m.Name))), v.entries(m.Value, at))
		default:
			facts.Items = append(facts.Items, doc.Fact{Label: label(m.Name), Value: v.struck(v.value(m.Value, at))})
		}
	}
	if len(facts.Items) == 0 {
		return behind
	}
	return append([]doc.Block{facts}, behind...)
}

func (v *viewer) struck(t doc.Text) doc.Text { return struckUnless(v.counts, t) }

func holdsObjects(n *canon.Node) bool {
	return len(n.Elements) > 0 && n.Elements[0].Kind == canon.Object
}

// group lays an object that stands in a member, such as a fill or a certificate.
func (v *viewer) group(m canon.Member, pointer string) doc.Block {
	if len(m.Value.Members) == 0 {
		return doc.Para("{}: {}", doc.Strong(label(m.Name)), doc.Missing(""))
	}
	return doc.Bullets(doc.Item{Text: v.struck(doc.Say("{}: {}", doc.Strong(label(m.Name)), v.value(m.Value, pointer)))})
}

// entries lays a list of objects, one a step; the lines of a session in words.
func (v *viewer) entries(n *canon.Node, pointer string) doc.Block {
	list := doc.Steps()
	session, isSession := v.record.Body.(*record.Session)
	warned := map[string]bool{}
	for i, e := range n.Elements {
		at := canon.ElementPointer(pointer, i)
		if !isSession || pointer != "/lines" || i >= len(session.Lines) {
			list.Items = append(list.Items, doc.Item{Text: v.struck(orMissing(v.value(e, at)))})
			continue
		}
		item := doc.Item{Text: v.struck(v.line(&session.Lines[i]))}
		for _, h := range v.hazardsOfLine(&session.Lines[i]) {
			if v.counts && !warned[h.word] {
				item = item.With(h.beside())
			}
			warned[h.word] = true
		}
		list.Items = append(list.Items, item)
	}
	return list
}

// value says any value in one run of text.
func (v *viewer) value(n *canon.Node, pointer string) doc.Text {
	switch n.Kind {
	case canon.Object:
		var list []doc.Text
		for _, m := range n.Members {
			list = append(list, doc.Say("{} {}", strings.ToLower(label(m.Name)), v.value(m.Value, canon.ChildPointer(pointer, m.Name))))
		}
		return orMissing(joinTexts(list, "; "))
	case canon.Array:
		var list []doc.Text
		for i, e := range n.Elements {
			list = append(list, v.value(e, canon.ElementPointer(pointer, i)))
		}
		return orMissing(joinTexts(list, ", "))
	case canon.String:
		return v.leaf(n.Text, v.leaves[pointer])
	}
	return doc.Say("{}", n.Text)
}

// leaf says a text by what it is: a name, a quantity or number as it was
// written, a seal.
func (v *viewer) leaf(text string, leaf record.Leaf) doc.Text {
	switch leaf.Role {
	case record.Reference:
		if leaf.Pointer == "/corrects" || leaf.Pointer == "/withdraws" {
			return doc.Text{v.plainID(record.Ref(text))} // the record itself, not what stands in its place
		}
		return v.name(record.Ref(text))
	case record.Secret:
		return v.sealed(record.Sealed(text)).From(doc.FromDigest(text))
	case record.Quantity, record.Hash:
		return doc.Text{asRead(text)}
	}
	if strings.HasSuffix(leaf.Pointer, "/raw") || strings.HasSuffix(leaf.Pointer, "/value") {
		return doc.Text{asRead(text)}
	}
	return doc.Text{stated(text)}
}

// label is a member's name in words: "mass-source" is "Mass source".
func label(name string) string { return capital(strings.ReplaceAll(name, "-", " ")) }
