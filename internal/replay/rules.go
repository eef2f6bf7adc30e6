package replay

import _ "embed"

//go:embed RULES.md
var rules string

// Rules is the normative text of the rules of replay, in Markdown.
func Rules() string { return rules }
