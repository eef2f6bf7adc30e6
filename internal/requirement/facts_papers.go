package requirement

import (
	"slices"

	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// Scopes are what a certificate may cover, as the schema lists them.
func Scopes() []string {
	return []string{"electric conversion", "traction circuit", "low voltage", "brakes", "structure", "refrigerant", "gas", "lifting", "identity", "general inspection"}
}

var certificateSubject = Subject{Name: "certificate", Entry: true, Words: "a certificate", Facts: []Fact{
	{Name: "number", Kind: Text, Words: "its number", Want: "the number of the certificate"},
	{Name: "signed_on", Kind: OnDay, Words: "the day on which it was signed", Want: "the day on the certificate"},
	{Name: "until", Kind: OnDay, Words: "the last day on which it is good", Want: "the last day on the certificate"},
	{Name: "current", Kind: YesNo, Words: "whether the car is still as the certificate describes it", Want: "a new certificate, or the inspector's word that the work since does not matter"},
	{Name: "signer_in_scope", Kind: YesNo, Words: "whether a licence of the signer covers that day and that subject", Want: "the signer and their licence"},
}}

func certificatesSubject() *Subject {
	s := &Subject{Name: "certificates", Words: "certificates of the car, by what they cover"}
	for _, scope := range Scopes() {
		s.Facts = append(s.Facts, Fact{Name: factName(scope), Kind: Several, Of: "certificate", Words: "certificates that cover: " + scope, Want: "a certificate that covers: " + scope})
	}
	return s
}

func (f *Facts) gatherCertificates(t *thing) {
	by := map[string][]*thing{}
	for _, p := range ledger.All[record.Paper](f.s) {
		c := p.Body.Certificate
		if c == nil || p.Body.Class != "certificate" || !f.byToday(c.SignedOn) {
			continue
		}
		for _, scope := range c.Scope {
			by[factName(scope)] = append(by[factName(scope)], f.certificate(p, scope))
		}
	}
	for name, list := range by {
		t.set(name, known{value: list})
	}
}

func (f *Facts) certificate(p ledger.Entry[record.Paper], scope string) *thing {
	c := p.Body.Certificate
	one := &thing{subject: &certificateSubject, name: p.Name(), facts: map[string]known{}}
	if c.Number != "" {
		one.is("number", c.Number, p.ID)
	}
	if d := dateOf(c.SignedOn); !d.IsZero() {
		one.is("signed_on", d, p.ID)
	}
	if d := dateOf(c.Until); !d.IsZero() {
		one.is("until", d, p.ID)
	}
	if words := f.staleness(p.ID); words != "" {
		one.lacks("current", Stale, words, p.ID)
	} else {
		one.is("current", true, p.ID)
	}
	f.signer(one, c, scope, p.ID)
	return one
}

// signer holds the day of a signature against the licences of whoever signed.
func (f *Facts) signer(one *thing, c *record.Certificate, scope string, paper record.Ref) {
	if c.SignedBy == "" || c.SignedOn == "" {
		return
	}
	day := dateOf(c.SignedOn).Calendar()
	why := "no licence of the signer for " + scope + " is recorded"
	for _, l := range ledger.All[record.Licence](f.s) {
		if record.OwnerOf(l.ID) != c.SignedBy || !slices.Contains(l.Body.Scope, scope) && !slices.Contains(l.Body.Scope, "general inspection") {
			continue
		}
		from, until := dateOf(l.Body.From), dateOf(l.Body.Until)
		late := !until.IsZero() && edtf.Compare(day, until) == edtf.After
		early := !from.IsZero() && edtf.Compare(day, from) == edtf.Before
		if !late && !early {
			one.is("signer_in_scope", true, paper, l.ID)
			return
		}
		why = "the licence does not cover the day of the signature"
	}
	if why == "the licence does not cover the day of the signature" {
		one.is("signer_in_scope", false, paper)
		return
	}
	one.lacks("signer_in_scope", Absent, why, paper)
}
