package requirement

import (
	"boltback/internal/ledger"
	"boltback/internal/record"
)

const onTheForm = "a certificate of that form on file, with its form, who signed it and when"

var formsSubject = Subject{Name: "forms", Words: "forms of an authority that are on file; forms.named(\"REG 256\") is the form of that number or name", Facts: []Fact{
	{Name: "all", Kind: Several, Of: "form", Words: "the forms on file", Want: onTheForm},
}}

var formSubject = Subject{Name: "form", Entry: true, Words: "a certificate that is written on an authority's form", Facts: []Fact{
	{Name: "name", Kind: Text, Words: "number or name of the form", Want: onTheForm},
	{Name: "signed", Kind: YesNo, Words: "whether the form is on file and signed", Want: onTheForm},
	{Name: "signed_on", Kind: OnDay, Words: "the day on which the form was signed", Want: onTheForm},
}}

// gatherForms lists the certificates that say on which form they are written, the forms of one name as one: signed once is signed.
func (f *Facts) gatherForms(t *thing) {
	var all []*thing
	t.entries = map[string]*thing{}
	for _, p := range ledger.All[record.Paper](f.s) {
		c := p.Body.Certificate
		if c == nil || c.Form == "" || !f.byToday(c.SignedOn) {
			continue
		}
		one := t.entries[c.Form]
		if one == nil {
			one = &thing{subject: &formSubject, name: c.Form, facts: map[string]known{}}
			one.is("name", c.Form, p.ID)
			one.is("signed", false, p.ID)
			t.entries[c.Form] = one
			all = append(all, one)
		}
		if d := dateOf(c.SignedOn); !d.IsZero() {
			one.is("signed", true, p.ID)
			one.is("signed_on", d, p.ID)
		}
	}
	t.set("all", known{value: all})
}

// named gives the entry of a subject by its name. Of one that is not on record nothing is known.
func (t *thing) named(name string, of *Subject) *thing {
	if t.entries[name] == nil {
		if t.entries == nil {
			t.entries = map[string]*thing{}
		}
		t.entries[name] = &thing{subject: of, name: name, facts: map[string]known{}}
	}
	return t.entries[name]
}
