package requirement

import (
	"fmt"
	"strings"
)

// goingBack is the name that an item bears in every set which knows anything of putting a converted car back.
const goingBack = "going-back"

// GoingBack is what a set says of putting the car back: sentences with the text that they come from, how it is known, and what
// to ask. A set that knows nothing of it gives none.
func (s *Set) GoingBack() []string {
	var lines []string
	for i := range s.Items {
		it := &s.Items[i]
		if it.RequirementItem.Item != goingBack || it.Waived {
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
