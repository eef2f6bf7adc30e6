package requirement

import (
	"fmt"
	"strings"
)

// Items that bear one name in every set which knows anything of their subject.
const (
	goingBack     = "going-back"
	looseAsbestos = "loose-asbestos"
)

// GoingBack is what a set says of putting the car back: sentences with the text that they come from, how it is known, and what
// to ask. A set that knows nothing of it gives none.
func (s *Set) GoingBack() []string { return s.says(goingBack) }

// LooseAsbestos is what a set says against handing over parts off the car that may hold asbestos, as GoingBack says it. That a
// set says nothing allows nothing.
func (s *Set) LooseAsbestos() []string { return s.says(looseAsbestos) }

func (s *Set) says(item string) []string {
	var lines []string
	for i := range s.Items {
		it := &s.Items[i]
		if it.RequirementItem.Item != item || it.Waived {
			continue
		}
		words := []string{it.Title + ". " + it.Asks}
		if it.Source.Document != "" {
			words = append(words, fmt.Sprintf("So %s, %s (%s).", it.Source.Document, it.Clause, it.Basis()))
		}
		if it.Ask != "" {
			words = append(words, "Ask the authority: "+it.Ask)
		}
		lines = append(lines, strings.Join(words, " "))
	}
	return lines
}
