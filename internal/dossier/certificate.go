package dossier

import (
	"strings"

	"boltback/internal/canon"
	"boltback/internal/doc"
	"boltback/internal/identity"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// addCertificates lays each certificate that states lines beside what the car
// shows. A difference is no failure: cars were repainted and refitted.
func (b *book) addCertificates(s *doc.Section) {
	for _, p := range ledger.All[record.Paper](b.s) {
		if p.Body.Certificate != nil && len(p.Body.Certificate.Lines) > 0 {
			s.Add(b.certificate(p))
		}
	}
}

func (b *book) certificate(p ledger.Entry[record.Paper]) *doc.Table {
	cert := p.Body.Certificate
	var lines []identity.ArchiveLine
	for _, l := range cert.Lines {
		number := strings.Contains(strings.ToLower(l.What), "number")
		lines = append(lines, identity.ArchiveLine{Item: l.What, Certificate: l.Says, Car: l.Car, Number: number})
	}
	t := doc.NewTable("Line by line: "+titleOf(p.Record), doc.Col("Line", 3), doc.Col("The paper says", 4), doc.Col("The car shows", 4), doc.Col("Compared", 4))
	t.ID = "lines-" + doc.Anchor(string(p.ID))
	for i, r := range identity.CompareArchive(lines) {
		t.Row(stated(r.Line.Item), asRead(r.Line.Certificate), stated(r.Line.Car),
			doc.Text{doc.Plain(string(r.Outcome))}.From(b.source(p.Record, canon.ElementPointer("/certificate/lines", i))))
	}
	return t
}
