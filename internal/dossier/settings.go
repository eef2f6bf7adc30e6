package dossier

import (
	"boltback/internal/doc"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// settings lists what each unit was set to: unit, firmware, version and fingerprint of the file together.
func (b *book) settings() *doc.Section {
	s := doc.NewSection("settings", "Settings of the units")
	list := ledger.All[record.Setting](b.s)
	if len(list) == 0 {
		s.Add(doc.Para("No setting of a unit is on record. A unit that fails could then not be set up again from these records."))
		return s
	}
	s.Add(doc.Para("A settings file belongs to one unit with one firmware: another pairing may not load, or may load and do harm. " +
		"The fingerprint tells whether a file is this one; the file itself is not in the records."))
	t := doc.NewTable("Settings on record", doc.Col("Unit", 5), doc.Col("Firmware and version", 4), doc.Col("File", 5), doc.Col("Read and loaded", 5), doc.Col("Figures and codes", 5))
	t.ID = "setting-list"
	for _, one := range list {
		t.Row(b.settingUnit(one), settingVersion(one.Body), settingFile(one.Body), b.settingWhen(one.Body), b.settingMore(one.Body))
	}
	s.Add(t)
	return s
}

func (b *book) settingUnit(one ledger.Entry[record.Setting]) doc.Text {
	t := doc.Say("{}; {}; number {}", b.called(one.Body.Unit), stated(one.Body.Sort), asRead(one.Body.Serial))
	if one.Body.Name != "" {
		t = doc.Say("{}: {}", doc.Strong(one.Body.Name), t)
	}
	if one.Body.Replaces != "" {
		t = t.And("; in the place of {}", b.called(one.Body.Replaces))
	}
	if by := b.replacedBy(one.ID); by != "" {
		t = t.And("; no longer in force: replaced by {}", b.called(by))
	}
	if one.Body.Note != "" {
		t = t.And("; note: {}", quoted(one.Body.Note))
	}
	return t.From(b.source(one.Record, ""))
}

// replacedBy gives the setting that says it stands in the place of another, or "".
func (b *book) replacedBy(id record.Ref) record.Ref {
	for _, other := range ledger.All[record.Setting](b.s) {
		if other.Body.Replaces == id {
			return other.ID
		}
	}
	return ""
}

func settingVersion(s *record.Setting) doc.Text {
	return doc.Say("firmware {}; file version {}", asRead(s.Firmware), asRead(s.Version))
}

func settingFile(s *record.Setting) doc.Text {
	t := doc.Text{doc.Missing("no fingerprint on record")}
	if s.File != nil && s.File.Digest != "" {
		t = doc.Say("SHA-256 {}", doc.Literal(string(s.File.Digest)))
		if s.File.Bytes > 0 {
			t = t.And(", {} bytes", s.File.Bytes)
		}
	}
	return t.And("; held: {}; to read it: {}", stated(s.Held), stated(s.ReadsWith))
}

func (b *book) settingWhen(s *record.Setting) doc.Text {
	return doc.Say("read {}, {}; loaded {}, {}", dayOr(s.ReadOn), b.called(s.ReadBy), dayOr(s.LoadedOn), b.called(s.LoadedBy))
}

func (b *book) settingMore(s *record.Setting) doc.Text {
	var list []doc.Text
	for _, v := range s.Values {
		list = append(list, doc.Say("{}: {}", v.Of, asRead(v.Value)))
	}
	for _, fault := range s.FaultsBefore {
		list = append(list, doc.Say("fault code before it was cleared: {}", doc.Literal(fault)))
	}
	if len(s.Codes) > 0 {
		list = append(list, doc.Say("codes: {}", b.callThem(s.Codes)))
	}
	if len(list) == 0 {
		return doc.Text{doc.Missing("")}
	}
	return joinTexts(list, "; ")
}

// codes lists where keys, codes and passwords are held, and by whom.
func (b *book) codes() *doc.Section {
	s := doc.NewSection("codes", "Where keys, codes and passwords are held")
	list := ledger.All[record.Code](b.s)
	if len(list) == 0 {
		s.Add(doc.Para("The records do not say where any key, code or password is held. That does not say that there is none."))
		return s
	}
	s.Add(doc.Para("No secret stands in the records. They say who holds it, and when somebody last saw that it is there."))
	t := doc.NewTable("Keys, codes and passwords", doc.Col("What", 4), doc.Col("Opens", 4), doc.Col("Held by", 7), doc.Col("If it is lost", 4))
	t.ID = "code-list"
	for _, one := range list {
		what := doc.Say("{}", stated(one.Body.Sort))
		if one.Body.Name != "" {
			what = doc.Say("{}: {}", doc.Strong(one.Body.Name), what)
		}
		opens := doc.Say("{}", stated(one.Body.Opens))
		if len(one.Body.Units) > 0 {
			opens = opens.And("; at {}", b.callThem(one.Body.Units))
		}
		held := b.holders(one.Body)
		if one.Body.HandedOver != "" {
			held = held.And("; handed over: {}", b.called(one.Body.HandedOver))
		}
		t.Row(what.From(b.source(one.Record, "")), opens, held, doc.Say("{}", stated(one.Body.IfLost)))
	}
	s.Add(t)
	return s
}

// holders says who holds a key, code or password.
func (b *book) holders(c *record.Code) doc.Text {
	var list []doc.Text
	for _, h := range c.Held {
		t := doc.Say("{}", stated(h.Sort))
		if h.Person != "" {
			t = t.And(", {}", b.called(h.Person))
		}
		t = t.And("; where: {}", stated(h.Where))
		if h.Copies > 1 {
			t = t.And(", {}", count(int(h.Copies), "copy"))
		}
		if h.CheckedOn != "" || h.CheckedBy != "" {
			t = t.And("; seen to be there {}, {}", dayOr(h.CheckedOn), b.called(h.CheckedBy))
		} else {
			t = t.And("; when it was last seen: {}", doc.Missing(""))
		}
		list = append(list, t)
	}
	if len(list) == 0 {
		return doc.Text{doc.Missing("nobody is recorded as holding it")}
	}
	return joinTexts(list, "; also ")
}
