package validate

import (
	"fmt"
	"strings"

	"boltback/internal/record"
)

// corrections checks what stands in place of what.
func (c *checker) corrections() {
	for _, r := range c.s.Records() {
		head := r.Body.Heading()
		if head.Corrects == r.ID || head.Withdraws == r.ID {
			c.report(r, pointerOf(head), "self-correction", "a record cannot correct or withdraw itself", "name the record that was wrong")
		}
		over := head.Corrects != "" || head.Withdraws != ""
		if over && strings.TrimSpace(head.Reason) == "" {
			c.report(r, pointerOf(head), "no-reason", "this does not say why", `add "reason"`)
		}
		if !over && head.Reason != "" {
			c.report(r, "/reason", "reason-alone", "a reason stands here, but nothing is corrected or withdrawn", "move it to note")
		}
		if rivals := c.s.Over(r.ID); len(rivals) > 1 {
			c.rivals(r, rivals)
		}
	}
}

// rivals reports each record that claims to stand over one that has several.
func (c *checker) rivals(below *record.Record, rivals []*record.Record) {
	names := make([]string, len(rivals))
	for i, r := range rivals {
		names[i] = string(r.ID)
	}
	for _, r := range rivals {
		c.report(r, pointerOf(r.Body.Heading()), "two-corrections",
			fmt.Sprintf("%s is corrected or withdrawn by %d records, and none of them applies: %s", below.ID, len(rivals), strings.Join(names, ", ")), "withdraw all but one of them")
	}
}

func pointerOf(h *record.Head) string {
	if h.Withdraws != "" {
		return "/withdraws"
	}
	return "/corrects"
}
