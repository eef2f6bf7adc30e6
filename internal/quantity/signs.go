package quantity

import (
	"fmt"
	"strings"
)

// rangeWords are displays and words for a reading past the end of the range.
var rangeWords = map[string]string{
	"over-range": "over-range", "over range": "over-range", "overrange": "over-range", "ol": "over-range", "o.l": "over-range", "o.l.": "over-range",
	"0l": "over-range", "0.l": "over-range", "inf": "over-range", "infinity": "over-range", "infinite": "over-range", "∞": "over-range",
	"under-range": "under-range", "under range": "under-range", "underrange": "under-range",
}

// damaged lists characters that are written differently in records, and what
// they become when UTF-8 was once read as Windows-1252. The longer come first.
var damaged = []struct{ from, to, what string }{
	{"â„¦", "Ω", "damaged ohm sign"}, {"Î©", "Ω", "damaged ohm sign"}, {"\u2126", "Ω", "ohm sign U+2126"}, {"&#937;", "Ω", "ohm sign written as a code"}, {"&Omega;", "Ω", "ohm sign written as a code"},
	{"Âµ", "µ", "damaged micro sign"}, {"Î¼", "µ", "damaged micro sign"}, {"\u03bc", "µ", "Greek mu U+03BC"},
	{"Â±", "±", "damaged ± sign"}, {"+/-", "±", "±"}, {"+-", "±", "±"},
	{"Â°", "°", "damaged degree sign"}, {"˚", "°", "ring U+02DA"}, {"℃", "°C", "U+2103"}, {"℉", "°F", "U+2109"}, {"â€²", "′", "damaged minute sign"}, {"â€³", "″", "damaged second sign"},
	{"â‰¥", "≥", "damaged ≥ sign"}, {"â‰¤", "≤", "damaged ≤ sign"}, {">=", "≥", "≥"}, {"=>", "≥", "≥"}, {"<=", "≤", "≤"}, {"=<", "≤", "≤"}, {"⩾", "≥", "≥"}, {"⩽", "≤", "≤"}, {"＞", ">", ">"}, {"＜", "<", "<"},
	{"Â²", "²", "damaged ²"}, {"Â³", "³", "damaged ³"}, {"\u2212", "-", "minus sign U+2212"}, {"–", "-", "dash"}, {"‑", "-", "hyphen U+2011"},
	{"Â·", "·", "damaged dot"}, {"’", "'", "apostrophe"}, {"“", "\"", "quotation mark"}, {"”", "\"", "quotation mark"},
	{"Â½", " 1/2", "½"}, {"Â¼", " 1/4", "¼"}, {"Â¾", " 3/4", "¾"}, {"½", " 1/2", "½"}, {"¼", " 1/4", "¼"}, {"¾", " 3/4", "¾"}, {"⅛", " 1/8", "⅛"}, {"⅜", " 3/8", "⅜"}, {"⅝", " 5/8", "⅝"}, {"⅞", " 7/8", "⅞"}, {"⁄", "/", "fraction stroke"},
	{"Â\u00a0", " ", "damaged space"}, {"\u00a0", " ", "no-break space"}, {"\u202f", " ", "narrow no-break space"}, {"\u2009", " ", "thin space"}, {"\t", " ", "tab"},
}

// normaliseSigns brings every sign into the form that records use and notes each
// kind once.
func (r *respeller) normaliseSigns(s string) string {
	for _, d := range damaged {
		if strings.Contains(s, d.from) {
			s = strings.ReplaceAll(s, d.from, d.to)
			r.notes = append(r.notes, Note{NoteSign, fmt.Sprintf("%s is written %q", d.what, strings.TrimLeft(d.to, " "))})
		}
	}
	for strings.Contains(s, "  ") {
		s = strings.ReplaceAll(s, "  ", " ")
	}
	return strings.NewReplacer(" / ", "/", "± ", "±", " (uk)", " (UK)", " (us)", " (US)").Replace(s)
}

// boundWords are said instead of the signs.
var boundWords = []struct {
	said string
	sign Bound
}{
	{"greater than ", Above}, {"more than ", Above}, {"over ", Above}, {"above ", Above}, {"at least ", AtOrAbove},
	{"less than ", Below}, {"under ", Below}, {"below ", Below}, {"at most ", AtOrBelow},
}

func (r *respeller) bound(s string) (Bound, string) {
	if b, rest := cutBound(s); b != Point {
		return b, strings.TrimSpace(rest)
	}
	for _, w := range boundWords {
		if len(s) > len(w.said) && strings.EqualFold(s[:len(w.said)], w.said) {
			r.notes = append(r.notes, Note{NoteSpelling, fmt.Sprintf("%q is written %q", strings.TrimSpace(w.said), w.sign)})
			return w.sign, strings.TrimSpace(s[len(w.said):])
		}
	}
	return Point, s
}

// coverage takes "(k=2)" or "k = 2" from the end.
func (r *respeller) coverage(s string) (rest, coverage string) {
	i := strings.LastIndex(s, "k=")
	if i < 0 {
		i = strings.LastIndex(s, "k =")
	}
	if i < 0 {
		return s, ""
	}
	value := strings.Trim(s[i+1:], "= )")
	rest = strings.TrimRight(s[:i], " (,")
	return rest, " (k=" + value + ")"
}
