package identity

import (
	"fmt"
	"regexp"
	"strings"
	"sync"
	"unicode/utf8"
)

// Mangling is one sign that a field no longer holds what was read.
type Mangling struct {
	Kind     string // what happened, in two or three words
	Certain  bool   // the field is refused as identity evidence; otherwise it is only suspected
	Sentence string
}

// A damageRule recognises one shape that office programs leave behind.
type damageRule struct {
	kind    string
	certain bool
	pattern string
	why     string
}

// damageRules is the whole list. A shape that a stamping or a plate could bear
// (1E10432, 113.043, 1E-10432) is at most suspected.
var damageRules = []damageRule{
	{"scientific form", true, `^[+-]?\d+([.,]\d+)?[eE]\+\d+$`, "it is a number in scientific form"},
	{"scientific form", true, `^[+-]?\d[.,]\d+[eE]-?\d+$`, "it is a number in scientific form"},
	{"scientific form", false, `^\d+[eE]-\d+$`, "it may be a number in scientific form, or a series and a serial number with a dash"},
	{"thousands separators", true, `^\d{1,3}(,\d{2,3})*,\d{3}([.]\d+)?$`, "it has commas between thousands"},
	{"thousands separators", true, `^\d{1,3}(['’]\d{3})+([.,]\d+)?$`, "it has apostrophes between thousands"},
	{"thousands separators", false, `^\d{1,3}([.]\d{3}){2,}(,\d+)?$`, "it may have dots between thousands"},
	{"decimal places", true, `^\d+[.,]0{1,2}$`, "it ends in decimal places"},
	{"digits cut off", false, `^\d{15}0+$`, "spreadsheets keep fifteen digits and fill the rest with zeros"},
	{"turned into a date", true, `^\d{4}-\d{2}-\d{2}[ T]\d{2}:\d{2}(:\d{2})?`, "it is a date with a time of day"},
	{"turned into a date", false, `(?i)^(\d{1,2}[-. /])?(jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)([-. /]\d{2,4})?$`, "it may be a date"},
	{"error value", true, `^#+$|^#(N/A|VALUE!|REF!|NAME\?|NUM!|DIV/0!|NULL!)$`, "it is what a spreadsheet shows when it can show nothing"},
}

// damagePatterns are compiled on first use: most commands never look at a number.
var damagePatterns = sync.OnceValue(func() []*regexp.Regexp {
	out := make([]*regexp.Regexp, len(damageRules))
	for i, r := range damageRules {
		out[i] = regexp.MustCompile(r.pattern)
	}
	return out
})

// Damage looks for the shapes that spreadsheets and character conversions
// leave in a number field. It never says what the number was: the original has
// to be asked for. Certain damage refuses the field as identity evidence.
func Damage(raw string) []Mangling {
	if len(raw) > maxBytes {
		return nil // too long to be a number at all; Key says so
	}
	var out []Mangling
	if !utf8.ValidString(raw) || strings.ContainsRune(raw, utf8.RuneError) {
		out = append(out, mangled(raw, damageRule{"characters lost", true, "", "it holds characters that were lost in a conversion"}))
	}
	text := strings.TrimSpace(raw)
	for i, re := range damagePatterns() {
		if re.MatchString(text) {
			out = append(out, mangled(raw, damageRules[i]))
		}
	}
	return out
}

func mangled(raw string, r damageRule) Mangling {
	what := "is suspected to be damaged"
	if r.certain {
		what = "is damaged and is no evidence of identity"
	}
	return Mangling{Kind: r.kind, Certain: r.certain,
		Sentence: fmt.Sprintf("%q %s: %s; ask for the original, nothing is rebuilt from it", raw, what, r.why)}
}

// Refused gives the first certain damage of a number, if there is any.
func Refused(raw string) (Mangling, bool) {
	for _, d := range Damage(raw) {
		if d.Certain {
			return d, true
		}
	}
	return Mangling{}, false
}

// TableSuspicion says what cannot be seen in a field that came through a
// spreadsheet: digits alone may have lost leading zeros, or may be the value of
// a number with an E in it (22E1 becomes 220). Empty when the field could not
// have suffered so.
func TableSuspicion(raw string) string {
	if text := strings.TrimSpace(raw); text == "" || !allDigits(text) {
		return ""
	}
	return fmt.Sprintf("%q came through a spreadsheet as digits alone: leading zeros may be lost, "+
		"or a letter E may have been taken for an exponent; compare it with the original", raw)
}

// Fragile tells whether a spreadsheet would damage this number when it is
// carried through one as it stands: leading zeros, a lone E between digits, or
// more than fifteen digits.
func Fragile(raw string) bool {
	text := strings.TrimSpace(raw)
	if _, _, ok := splitExponent(text); ok {
		return true
	}
	return allDigits(text) && (len(text) > 15 || len(text) > 1 && text[0] == '0')
}

func allDigits(text string) bool {
	return text != "" && strings.Trim(text, "0123456789") == ""
}

// splitExponent parts 22E1 into 22 and 1.
func splitExponent(text string) (mantissa, exponent string, ok bool) {
	mantissa, exponent, ok = strings.Cut(strings.ToUpper(text), "E")
	return mantissa, exponent, ok && allDigits(mantissa) && allDigits(exponent)
}

// spreadsheetMadeOf explains how a spreadsheet could have made the digits got
// from the number from, or returns "". It is an explanation, no evidence.
func spreadsheetMadeOf(got, from string) string {
	if !allDigits(got) || len(got) > 1 && got[0] == '0' {
		return "" // a spreadsheet writes no leading zero
	}
	if allDigits(from) && from != got && strings.TrimLeft(from, "0") == strings.TrimLeft(got, "0") {
		return fmt.Sprintf("a spreadsheet drops leading zeros and would turn %q into %q", from, got)
	}
	mantissa, exponent, ok := splitExponent(from)
	exponent = strings.TrimLeft(exponent, "0")
	if !ok || len(exponent) > 2 {
		return ""
	}
	zeros := 0
	for _, d := range exponent {
		zeros = zeros*10 + int(d-'0')
	}
	if value := strings.TrimLeft(mantissa, "0") + strings.Repeat("0", zeros); value != got {
		return ""
	}
	return fmt.Sprintf("a spreadsheet takes the E for an exponent and would turn %q into %q", from, got)
}
