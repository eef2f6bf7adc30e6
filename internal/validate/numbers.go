package validate

import (
	"slices"
	"strconv"
	"strings"

	"boltback/internal/finding"
	"boltback/internal/identity"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// numbers holds every reading of every number against the others, and says what follows for the car's identity.
func (c *checker) numbers() {
	readings := identity.Readings(c.s)
	claims := identity.Claims(readings)
	for _, m := range identity.Matrix(ofTheCar(claims)) {
		c.disagreement(m)
	}
	c.statements(readings, identity.Statements(claims))
	c.statements(readings, identity.Plates(identity.PlateEntries(readings)))
	c.certificates(readings)
	for _, e := range identity.Enquiries(c.s, readings) {
		c.report(e.Paper, "/enquiry/number", e.Code, e.Sentence, hintOf(e.Asks))
	}
	c.checkDigits(readings)
}

// ofMany are the numbers of which a car has many: serial numbers of parts and modules, castings. That two of them differ
// says nothing.
var ofMany = []identity.Kind{"serial", "casting", "other"}

// ofTheCar leaves out the numbers of which a car has many.
func ofTheCar(claims []identity.Claim) []identity.Claim {
	return slices.DeleteFunc(slices.Clone(claims), func(c identity.Claim) bool { return slices.Contains(ofMany, c.Kind) })
}

// disagreement reports the readings of one kind of number that do not agree, once, at the later of the two.
func (c *checker) disagreement(m identity.KindMatrix) {
	code := map[identity.State]string{identity.StateConflict: "number-conflict", identity.StateNearMiss: "number-near-miss"}[m.State]
	if code == "" {
		return
	}
	for _, p := range m.Doubts() {
		a, b := m.Claims[p.I], m.Claims[p.J]
		c.atLine(b.Record, code, p.Agreement.Sentence()+"; the other reading stands at "+a.Record, "look again at both; both readings stay")
	}
}

// statements reports what the identity package draws from the numbers, each at the first record it rests on.
func (c *checker) statements(readings []identity.Reading, statements []identity.Statement) {
	for _, s := range statements {
		if len(s.Records) > 0 {
			c.atLine(s.Records[0], s.Code, s.Sentence, hintOf(s.Asks))
		}
	}
}

func hintOf(asks []string) string {
	if len(asks) == 0 {
		return ""
	}
	return "would settle it: " + strings.Join(asks, "; ")
}

// certificates holds the registration mark or number a certificate was made out for against the car's own.
func (c *checker) certificates(readings []identity.Reading) {
	var marks []identity.Reading
	for _, r := range readings {
		if r.Kind == identity.Registration && r.Record.Kind == record.KindCar {
			marks = append(marks, r)
		}
	}
	for _, p := range ledger.All[record.Paper](c.s) {
		if p.Body.Certificate == nil || p.Body.Certificate.Mark == "" || len(marks) == 0 {
			continue
		}
		paper := identity.Paper{Number: identity.Plain(p.Body.Certificate.Mark), Kind: identity.Registration, Name: p.Name(), Record: p.Path}
		if s, ok := madeOutFor(paper, marks); !ok {
			c.report(p.Record, "/certificate/mark", s.Code, s.Sentence, hintOf(s.Asks))
		}
	}
}

// madeOutFor accepts a paper for any mark the car has carried, and else gives the statement on the first.
func madeOutFor(paper identity.Paper, marks []identity.Reading) (identity.Statement, bool) {
	var first identity.Statement
	for i, m := range marks {
		ok, s := paper.MadeOutFor(m.Claim)
		if ok {
			return s, true
		}
		if i == 0 {
			first = s
		}
	}
	return first, false
}

// checkDigits computes the check digit of chassis numbers where a rule asks for one.
func (c *checker) checkDigits(readings []identity.Reading) {
	_, car := c.s.Car()
	year := 0
	if len(car.Year) >= 4 {
		year, _ = strconv.Atoi(string(car.Year[:4]))
	}
	scope := identity.VINScope{USMarket: car.Market == "US", ModelYear: year}
	for _, r := range readings {
		if r.Kind != identity.Chassis {
			continue
		}
		check := identity.VIN(r.Number.Raw, scope)
		if check.Outcome == identity.VINDiffers || check.Outcome == identity.VINMalformed {
			c.report(r.Record, r.Pointer+"/raw", "check-digit", check.Sentence(), "read it again; this is a check of transcription only and proves nothing either way")
		}
	}
}

// atLine reports at a place written "path:line", which is how identity names records.
func (c *checker) atLine(place, code, message, hint string) {
	path, lineText, _ := strings.Cut(place, ":")
	line, _ := strconv.Atoi(lineText)
	column := 0
	if line > 0 {
		column = c.indentOf(path, line)
	}
	c.add(finding.Finding{Code: code, File: path, Line: line, Column: column, Message: message, Hint: hint})
}

// indentOf gives the column at which a line of a record begins to say something.
func (c *checker) indentOf(path string, line int) int {
	id, _ := record.IDOf(path)
	r := c.s.Record(id)
	if r == nil {
		return 0
	}
	for i, text := range strings.Split(string(r.Doc.Source), "\n") {
		if i+1 == line {
			return len(text) - len(strings.TrimLeft(text, " \t")) + 1
		}
	}
	return 0
}
