package requirement

import (
	"fmt"
	"slices"

	"boltback/internal/canon"
	"boltback/internal/finding"
	"boltback/internal/quantity"
	"boltback/internal/record"
)

// builder puts a set together from what it builds on.
type builder struct {
	library *Library
	set     *Set
	used    map[string]bool
}

// mostDepth bounds how deep sets may build on sets.
const mostDepth = 8

// add takes in a set after those it builds on. A set that is reached twice counts once; a ring is a fault.
func (b *builder) add(name string, r *record.Record, body *record.RequirementSet, path []string) error {
	if len(path) >= mostDepth {
		b.report(r, "/builds-on", "set-depth", fmt.Sprintf("sets build on sets more than %d deep", mostDepth), "")
		return nil
	}
	b.used[name] = true
	if b.library.owns(name) {
		b.set.Own = append(b.set.Own, name)
	}
	for i, base := range body.BuildsOn {
		at := canon.ElementPointer("/builds-on", i)
		if slices.Contains(path, base) || base == name {
			b.report(r, at, "set-ring", "this set builds on itself by way of "+base, "")
			continue
		}
		if b.used[base] {
			continue
		}
		br, bb, err := b.library.Read(base)
		if none, ok := err.(*NoSet); ok {
			b.report(r, at, "set-unknown", none.Error(), nearest(base, none.Names))
			continue
		}
		if unreadable, ok := err.(*Unreadable); ok {
			b.report(r, at, "set-unknown", unreadable.Error(), "mend that file")
			continue
		}
		if err != nil {
			return err
		}
		if err := b.add(base, br, bb, append(path, name)); err != nil {
			return err
		}
		b.heads(base, br, bb)
	}
	b.items(name, r, body)
	b.overrides(r, body)
	return nil
}

func nearest(word string, names []string) string {
	if near := finding.Nearest(word, names); near != "" {
		return "did you mean " + near + "?"
	}
	return ""
}

// items takes in the items of one set.
func (b *builder) items(name string, r *record.Record, body *record.RequirementSet) {
	for i, raw := range body.Items {
		at := canon.ElementPointer("/items", i)
		it := Item{RequirementItem: raw, Set: name, Edition: body.Edition}
		if b.find(it.ID()) != nil {
			b.report(r, at+"/item", "item-twice", "there are two items called "+raw.Item, "give one of them another name")
			continue
		}
		for _, s := range body.Sources {
			if s.Key == raw.Source {
				it.Source = s
			}
		}
		if raw.Source != "" && it.Source.Key == "" {
			b.report(r, at+"/source", "source-unknown", "there is no source called "+raw.Source, "list it among the sources of the set")
		}
		it.Rule = quantity.Rule(first(raw.Rule, body.Rule))
		if raw.Test != "" && it.Rule == "" {
			b.report(r, at, "rule-not-stated", "neither the item nor the set states a decision rule, and it must be fixed before anything is measured", `add "rule": "guard band U"`)
		}
		b.compile(r, at, &it)
		b.set.Items = append(b.set.Items, it)
	}
}

func first(words ...string) string {
	for _, w := range words {
		if w != "" {
			return w
		}
	}
	return ""
}

// compile makes the expressions of an item ready; a fault stays with the item and does not stop the others.
func (b *builder) compile(r *record.Record, at string, it *Item) {
	it.fault = ""
	for _, e := range []struct {
		member, text string
		into         **program
	}{{"applies", it.Applies, &it.applies}, {"test", it.Test, &it.test}} {
		*e.into = nil
		if e.text == "" {
			continue
		}
		p, err := b.library.lang.compile(e.text)
		if err == nil {
			*e.into = p
			continue
		}
		f := err.(*Fault)
		it.fault = first(it.fault, f.Message)
		b.set.Findings = append(b.set.Findings, expressionFinding(r, at+"/"+e.member, f))
	}
}

func (b *builder) find(id string) *Item {
	for i := range b.set.Items {
		if b.set.Items[i].ID() == id {
			return &b.set.Items[i]
		}
	}
	return nil
}

func (b *builder) report(r *record.Record, pointer, code, message, hint string) {
	f := finding.Finding{Code: code, File: r.Path, Pointer: pointer, Message: message, Hint: hint}
	at := r.Doc.Locate(pointer)
	f.Line, f.Column = at.Line, at.Column
	b.set.Findings = append(b.set.Findings, f)
}

// expressionFinding places a fault of an expression in the file that holds it.
func expressionFinding(r *record.Record, pointer string, f *Fault) finding.Finding {
	at := r.Doc.Locate(pointer)
	return finding.Finding{Code: "expression", File: r.Path, Pointer: pointer, Line: at.Line, Column: at.Column + 1 + written(r, pointer, f.Offset), Message: f.Message, Hint: f.Hint}
}

// written is how many characters of the file stand for the first n characters of a text: escapes take more than one.
func written(r *record.Record, pointer string, n int) int {
	node := r.Doc.Find(pointer)
	if node == nil {
		return n
	}
	count, decoded := 0, 0
	raw := []rune(string(r.Doc.Source[node.Start+1:]))
	for decoded < n && count < len(raw) && raw[count] != '"' {
		step := 1
		if raw[count] == '\\' && count+1 < len(raw) {
			if step = 2; raw[count+1] == 'u' {
				step = 6
			}
		}
		count += step
		decoded++
	}
	return count
}
