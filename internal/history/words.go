package history

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"boltback/internal/record"
)

// String says the difference in one line of plain words, lower case, without a
// full stop: "mass 148 kg → 149.5 kg, heavier by 1.5 kg".
func (f Field) String() string {
	if phrase := f.Phrase(); phrase != "" {
		return phrase
	}
	switch f.What {
	case Added:
		return fmt.Sprintf("%s added: %s", f.Label, f.New.shown())
	case Removed:
		return fmt.Sprintf("%s taken out: %s", f.Label, f.Old.shown())
	case Moved:
		return fmt.Sprintf("%s (%s) moved here from place %d", f.Label, f.New.shown(), f.PlaceBefore())
	}
	if f.Relation == Sealed {
		return f.Label + ": " + f.Remark
	}
	text := fmt.Sprintf("%s %s → %s", f.Label, f.Old.shown(), f.New.shown())
	if f.IsText() {
		before, was, is, after := Apart(f.Old.Text, f.New.Text)
		text = fmt.Sprintf("%s “%s[%s → %s]%s”", f.Label, shorten(before, true), was, is, shorten(after, false))
	}
	if f.Remark != "" {
		text += ", " + f.Remark
	}
	return text
}

// Phrase is what the trade says of a value that is written down, "tag 0147 written
// on it", or "" where there is no such saying.
func (f Field) Phrase() string {
	if f.What == Added && f.At == "/tag" {
		return fmt.Sprintf("tag %s written on it", f.New.Text)
	}
	return ""
}

func (v Value) shown() string {
	if v.Text == "" {
		return "(empty)"
	}
	return v.Text
}

// IsText tells whether the values are running words, of which only a part
// changed: they are shown with that part set apart, see [Apart].
func (f Field) IsText() bool {
	const short = 30 // up to here both are shown whole
	if f.What != Changed || f.Relation != "" || f.Old.Role != record.Plain || f.New.Role != record.Plain {
		return false
	}
	return min(utf8.RuneCountInString(f.Old.Text), utf8.RuneCountInString(f.New.Text)) > short
}

// PlaceBefore is the place of a moved element in the list as it was, counted from 1.
func (f Field) PlaceBefore() int {
	n, _ := strconv.Atoi(f.Was[strings.LastIndexByte(f.Was, '/')+1:])
	return n + 1
}

// Apart splits two texts into what they share at both ends and what differs
// between, cut at whole words: before + was + after is the old text, before + is +
// after the new one.
func Apart(old, new string) (before, was, is, after string) {
	start := 0
	for start < len(old) && start < len(new) && old[start] == new[start] {
		start++
	}
	start = wordStart(old, new, start)
	end := 0
	for end < len(old)-start && end < len(new)-start && old[len(old)-1-end] == new[len(new)-1-end] {
		end++
	}
	end = wordEnd(old, new, end)
	return old[:start], old[start : len(old)-end], new[start : len(new)-end], old[len(old)-end:]
}

// wordStart moves a place at which two texts part back to the start of the word,
// unless a word ends there in both.
func wordStart(old, new string, at int) int {
	for at > 0 && !(breaks(old, at) && breaks(new, at)) {
		at--
	}
	return at
}

// wordEnd does the same from the end of the texts.
func wordEnd(old, new string, end int) int {
	for end > 0 && !(breaks(old, len(old)-end) && breaks(new, len(new)-end)) {
		end--
	}
	return end
}

// breaks tells whether a word may begin or end before byte at.
func breaks(s string, at int) bool {
	if at == 0 || at == len(s) {
		return true
	}
	if !utf8.RuneStart(s[at]) {
		return false
	}
	before, _ := utf8.DecodeLastRuneInString(s[:at])
	next, _ := utf8.DecodeRuneInString(s[at:])
	return unicode.IsSpace(before) || unicode.IsSpace(next)
}

// shorten keeps the end of a text that stands before a change, or the beginning
// of one that stands behind it.
func shorten(s string, keepEnd bool) string {
	const most = 24
	runes := []rune(s)
	switch {
	case len(runes) <= most:
		return s
	case keepEnd:
		return "…" + string(runes[len(runes)-most:])
	default:
		return string(runes[:most]) + "…"
	}
}

// String says what became of the record, without its fields: `part "Fuel tank"
// was renamed from parts/tank`.
func (c Change) String() string {
	subject := c.Path
	if c.Kind != "" {
		subject = fmt.Sprintf("%s “%s”", c.Kind, c.Title)
	}
	text := subject + " " + c.words()
	if c.Remark != "" {
		text += "; " + c.Remark
	}
	return text
}

func (c Change) words() string {
	switch c.What {
	case Added, Removed:
		return string(c.What) + c.overWords()
	case Renamed:
		return fmt.Sprintf("renamed from %s: %d of %d values are the same", c.Was, c.Alike, c.Values)
	case Layout:
		return "written in another layout, with the same values"
	case Corrected, Withdrawn:
		return fmt.Sprintf("%s by %s; reason: %s", c.What, c.By, orNotStated(c.Reason))
	case NotApplied:
		return fmt.Sprintf("does not apply: another record claims to stand over %s too", c.Over)
	case StandsAgain:
		return "stands again: nothing stands over it or disputes it now"
	}
	return string(c.What)
}

func (c Change) overWords() string {
	if c.Over == "" {
		return ""
	}
	return fmt.Sprintf(", over %s; reason: %s", c.Over, orNotStated(c.Reason))
}

func orNotStated(s string) string {
	if s == "" {
		return "not stated"
	}
	return s
}
