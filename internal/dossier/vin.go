package dossier

import (
	"boltback/internal/doc"
	"boltback/internal/identity"
)

// transcriptionChecks says, for chassis numbers under a rule with a check digit,
// whether it fits. It finds slips of the pen and says nothing of identity; where
// the rule does not apply nothing is said.
func (b *book) transcriptionChecks(read []numberRead) []doc.Block {
	list := doc.Bullets()
	seen := map[string]bool{}
	for _, n := range read {
		if n.Kind != identity.Chassis || seen[n.number.Raw] {
			continue
		}
		seen[n.number.Raw] = true
		if check := identity.VIN(n.number.Raw, b.vinScope()); check.Outcome != identity.VINNotApplicable {
			list.Items = append(list.Items, doc.Item{Text: doc.Say("Transcription check of {}: {}.", asRead(n.number.Raw), check.Sentence()).
				From(b.source(n.Record, n.Pointer))})
		}
	}
	if len(list.Items) == 0 {
		return nil
	}
	return []doc.Block{list}
}

// vinScope is what the car's record says of the rule that its number stands under.
func (b *book) vinScope() identity.VINScope {
	scope := identity.VINScope{USMarket: b.car.Market == "US"}
	first, ok1 := date(b.car.Year).First()
	last, ok2 := date(b.car.Year).Last()
	from, _, _ := first.Date()
	to, _, _ := last.Date()
	if ok1 && ok2 && from == to {
		scope.ModelYear = from
	}
	return scope
}
