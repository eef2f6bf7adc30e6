package dossier

import (
	"strings"

	"boltback/internal/doc"
	"boltback/internal/history"
	"boltback/internal/record"
)

// differences are the sorts of change in the order in which a reader needs them:
// what no longer counts first, mere layout last.
var differences = []struct {
	what          history.What
	title, remark string
}{
	{history.Withdrawn, "Withdrawn", "These records count no more. They stay in the ledger with the reason."},
	{history.Corrected, "Corrected", "Another record stands in the place of each; what it says otherwise is listed below it."},
	{history.Disputed, "Disputed", "These count with that doubt until it is settled."},
	{history.NotApplied, "Not applied", "Another record claims to stand over the same one, so that none of them applies."},
	{history.StandsAgain, "Stands again", "Nothing stands over these or disputes them any more, so that they count."},
	{history.Removed, "Gone from the ledger", "The files are gone, without a record that says why. What is taken back with a reason is withdrawn instead."},
	{history.Changed, "Changed", ""},
	{history.Renamed, "Renamed", "Taken for the same record under another name, because most of what they say is the same."},
	{history.Added, "Added", ""},
	{history.Layout, "Only the layout", "The bytes differ and the values do not: other spaces, another order of members or of a list that has none. A sign-off names the bytes, so that it does not cover the new ones."},
}

// Differences tells what differs between two states of a ledger, which from and to
// name: commits, days or the files as they lie here. The changes are all there are.
func Differences(from, to string, changes []history.Change) *doc.Section {
	s := doc.NewSection("differences", "What differs")
	s.Add(doc.FactsOf(doc.Is("From", "{}", doc.Plain(from)), doc.Is("To", "{}", doc.Plain(to))))
	changes = toldOnce(changes)
	if len(changes) == 0 {
		s.Add(doc.Lead("Nothing differs."))
	} else {
		s.Add(doc.Lead("{}.", count(len(changes), "difference")))
	}
	for _, sort := range differences {
		list := doc.Bullets()
		for _, c := range changes {
			if c.What == sort.what {
				list.Items = append(list.Items, changeItem(c))
			}
		}
		if len(list.Items) == 0 {
			continue
		}
		group := doc.NewSection("differences."+doc.Anchor(string(sort.what)), sort.title)
		if sort.remark != "" {
			group.Add(doc.Para("{}", doc.Plain(sort.remark)))
		}
		s.Add(group)
		group.Add(list)
	}
	return oneLined(s)[0]
}

// toldOnce leaves out the new record of a correction or withdrawal, where what it
// stands over tells of it.
func toldOnce(changes []history.Change) []history.Change {
	by := map[record.Ref]bool{}
	for _, c := range changes {
		if c.What == history.Corrected || c.What == history.Withdrawn {
			by[c.By] = true
		}
	}
	var left []history.Change
	for _, c := range changes {
		if c.What != history.Added || c.Over == "" || !by[c.Record] {
			left = append(left, c)
		}
	}
	return left
}

// changeItem says what became of one record, with its values below it.
func changeItem(c history.Change) doc.Item {
	item := doc.Item{Text: changeText(c)}
	if len(c.Fields) == 0 {
		return item
	}
	values := doc.Bullets()
	for _, f := range c.Fields {
		values.Items = append(values.Items, doc.Item{Text: stopped(fieldText(f)).From(fieldSource(c, f))})
	}
	return item.With(values)
}

// changeText says what became of a record. What no longer counts is struck.
func changeText(c history.Change) doc.Text {
	name := doc.Text{doc.Strong(c.Title)}
	if c.Kind != "" {
		name = doc.Say("{} {}", capital(string(c.Kind)), name)
	}
	switch c.What {
	case history.Withdrawn, history.Corrected, history.Removed:
		name = struckUnless(false, name)
	}
	if c.Kind != "" {
		name = name.From(doc.FromRecord(c.Path, 0))
	}
	text := name.And(", {}", changeWords(c))
	if c.Remark != "" {
		text = text.And("; {}", doc.Plain(c.Remark))
	}
	return text.And(".")
}

func changeWords(c history.Change) doc.Text {
	switch c.What {
	case history.Withdrawn, history.Corrected:
		return doc.Say("{} by {}; reason: {}", c.What, doc.Literal(string(c.By)), quoted(c.Reason))
	case history.NotApplied:
		return doc.Say("not applied to {}; reason given: {}", doc.Literal(string(c.Over)), quoted(c.Reason))
	case history.StandsAgain:
		if c.By == "" {
			return doc.Say("stands again")
		}
		return doc.Say("stands again, without {}", doc.Literal(string(c.By)))
	case history.Renamed:
		return doc.Say("renamed from {}; {} of {} values are the same", doc.Literal(string(c.Was)), c.Alike, c.Values)
	case history.Removed:
		return doc.Say("gone from the ledger")
	case history.Layout:
		return doc.Say("laid out otherwise")
	}
	if c.Over != "" {
		return doc.Say("{}, over {}; reason: {}", c.What, doc.Literal(string(c.Over)), quoted(c.Reason))
	}
	return doc.Say("{}", c.What)
}

// stopped is a sentence with its full stop, if what is quoted last does not bring one.
func stopped(t doc.Text) doc.Text {
	if strings.HasSuffix(t.String(), ".") {
		return t
	}
	return t.And(".")
}

// fieldText says one value that differs, without a full stop: what it was struck through, then what it is.
func fieldText(f history.Field) doc.Text {
	name := doc.Text{doc.Plain(capital(f.Label))}
	switch {
	case f.Phrase() != "":
		return doc.Say("{}", doc.Plain(capital(f.Phrase())))
	case f.Relation == history.Sealed:
		return name.And(": {}", doc.Withheld(f.Remark))
	case f.What == history.Added:
		return name.And(" added: {}", valueSpan(f.New))
	case f.What == history.Removed:
		return name.And(" taken out: {}", struckValue(f.Old))
	case f.What == history.Moved:
		return name.And(": {}, moved here from place {}", valueSpan(f.New), f.PlaceBefore())
	}
	text := name.And(": {} → {}", struckValue(f.Old), valueSpan(f.New))
	if f.IsText() {
		before, was, is, after := history.Apart(f.Old.Text, f.New.Text)
		text = name.And(": “{}{}{}{}{}”", doc.Plain(before), spanOf(doc.Struck, was), between(was, is), spanOf(doc.Strong, is), doc.Plain(after))
	}
	if f.Remark != "" {
		text = text.And("; {}", f.Remark)
	}
	return text
}

// spanOf leaves out a span without text.
func spanOf(style func(string) doc.Span, text string) doc.Text {
	if text == "" {
		return nil
	}
	return doc.Text{style(text)}
}

// between sets what was struck apart from what stands in its place.
func between(was, is string) string {
	if was == "" || is == "" {
		return ""
	}
	return " "
}

func valueSpan(v history.Value) doc.Span {
	switch v.Role {
	case record.Secret:
		return doc.Withheld("")
	case record.Quantity, record.Hash, record.Reference, record.Moment:
		return asRead(v.Text)
	}
	return stated(v.Text)
}

func struckValue(v history.Value) doc.Span {
	if span := valueSpan(v); span.Style == doc.StyleMissing || span.Style == doc.StyleWithheld {
		return span
	}
	return doc.Struck(v.Text)
}

// fieldSource is the line where a value stands now, or where it stood.
func fieldSource(c history.Change, f history.Field) doc.Span {
	r, pointer := c.New, f.At
	if f.What == history.Removed {
		r, pointer = c.Old, f.Was
	}
	if r == nil || r.Doc == nil {
		return doc.FromRecord(c.Path, 0)
	}
	return doc.FromRecord(r.Path, r.Doc.Locate(pointer).Line)
}
