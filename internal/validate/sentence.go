package validate

import (
	"fmt"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/finding"
)

// sentence says what is wrong with a value that failed a keyword, and what would be right.
func sentence(keyword string, want, value *canon.Node) (message, hint string) {
	switch keyword {
	case "type":
		return fmt.Sprintf("this is %s, and %s belongs here", value.Kind, typeName(want.Text)), typeHint(want.Text, value)
	case "enum":
		return enumSentence(want, value)
	case "const":
		return fmt.Sprintf("%s belongs here, not %s", quote(want.Text), quote(value.Text)), ""
	case "pattern":
		return patternSentence(want, value)
	case "minLength":
		return "this text is empty", "leave the member out where there is nothing to say"
	case "maxLength":
		return fmt.Sprintf("this text is longer than %s characters", want.Text), "longer texts are kept as papers"
	case "minItems":
		return "this list is empty", "it needs at least " + want.Text + " entry"
	case "maxItems":
		return "this list has more than " + want.Text + " entries", ""
	case "uniqueItems":
		return "an entry stands twice in this list", "name each once"
	case "minimum":
		return fmt.Sprintf("%s is less than %s", value.Text, want.Text), ""
	case "maximum":
		return fmt.Sprintf("%s is more than %s", value.Text, want.Text), ""
	default:
		return fmt.Sprintf("this does not fit the schema (%s)", keyword), ""
	}
}

func typeName(t string) string {
	switch t {
	case "string":
		return "a text in quotes"
	case "integer":
		return "a whole number"
	case "array":
		return "a list in square brackets"
	case "object":
		return "an object in braces"
	default:
		return "a " + t
	}
}

func typeHint(want string, value *canon.Node) string {
	switch {
	case want == "string" && value.Kind == canon.Number:
		return fmt.Sprintf("measures are texts with their unit: %q and the unit", value.Text)
	case want == "array" && value.Kind == canon.String:
		return fmt.Sprintf("[%q] is a list of one", value.Text)
	}
	return ""
}

func enumSentence(want, value *canon.Node) (message, hint string) {
	words := make([]string, 0, len(want.Elements))
	for _, w := range want.Elements {
		words = append(words, w.Text)
	}
	message = fmt.Sprintf("%s is not one of the words for this", quote(value.Text))
	hint = "the words are: " + strings.Join(words, ", ")
	if near := finding.Nearest(value.Text, words); near != "" {
		hint = fmt.Sprintf("did you mean %q? %s", near, hint)
	}
	return message, hint
}

func patternSentence(want, value *canon.Node) (message, hint string) {
	switch {
	case strings.Contains(want.Text, "{64}"):
		return "this is no SHA-256", "64 characters 0-9 and a-f, as sha256sum prints them"
	case strings.Contains(want.Text, "{32}"):
		return "this is no id of a ledger", "32 characters 0-9 and a-f, chosen at random when the car is taken in"
	case strings.Contains(want.Text, "{40}"):
		return "this is no Git object id", "40 characters 0-9 and a-f, as git prints them"
	case strings.HasSuffix(value.Text, ".json"):
		return fmt.Sprintf("%s is a file name, and a record's name belongs here", quote(value.Text)), "leave out .json: " + strings.TrimSuffix(value.Text, ".json")
	default:
		return fmt.Sprintf("%s is not the name of a record", quote(value.Text)), "a name is the record's path without .json, like parts/fuel-tank"
	}
}

// missing gives one finding for each member that an object has to have and lacks.
func (s *schemas) missing(f finding.Finding, want, value *canon.Node) []finding.Finding {
	var all []finding.Finding
	for _, name := range want.Elements {
		if value.Get(name.Text) == nil {
			f.Code, f.Message = "incomplete", fmt.Sprintf("%q is missing", name.Text)
			f.Hint = "it is one of the few things this cannot do without"
			all = append(all, f)
		}
	}
	return all
}

// unknownMembers gives one finding for each member that the schema does not know, at its name.
func (s *schemas) unknownMembers(f finding.Finding, location string, doc *canon.Document, value *canon.Node) []finding.Finding {
	_, known := s.keyword(strings.TrimSuffix(location, "/additionalProperties") + "/properties")
	if known == nil {
		return nil
	}
	names := make([]string, 0, len(known.Members))
	for _, m := range known.Members {
		names = append(names, m.Name)
	}
	var all []finding.Finding
	for _, m := range value.Members {
		if known.Get(m.Name) != nil {
			continue
		}
		g := f
		g.Pointer = canon.ChildPointer(f.Pointer, m.Name)
		at := doc.LocateName(g.Pointer)
		g.Line, g.Column = at.Line, at.Column
		g.Code, g.Message = "unknown-member", fmt.Sprintf("there is no member called %q here", m.Name)
		g.Hint = "the members are: " + strings.Join(names, ", ")
		if near := finding.Nearest(m.Name, names); near != "" {
			g.Hint = fmt.Sprintf("did you mean %q?", near)
		}
		all = append(all, g)
	}
	return all
}

// quote shows a text of a record, shortened.
func quote(s string) string {
	if r := []rune(s); len(r) > 60 {
		s = string(r[:57]) + "..."
	}
	return fmt.Sprintf("%q", s)
}
