package quantity

import (
	"fmt"
	"strings"
)

// numberReading is one canonical reading of a number as typed.
type numberReading struct {
	text string
	why  string // what was assumed; "" for a number that needs no remark
}

// cutRawNumber takes a number as typed from the front: digits, points, commas,
// groups of three after a space ("1 020"), and fractions ("1 3/4", "1-3/4").
func cutRawNumber(s string) (number, rest string) {
	i := 0
	if i < len(s) && (s[i] == '-' || s[i] == '+') {
		i++
	}
	start := i
	for i < len(s) && (isDigit(s[i]) || s[i] == '.' || s[i] == ',') {
		i++
		if groupFollows(s[start:i], s[i:]) {
			i += 4
		}
	}
	if i == start {
		return "", s
	}
	digits, after := cutDigits(s[start:i])
	if after == "" {
		i += fractionLength(digits, s[i:])
	}
	if !strings.ContainsAny(s[start:i], "0123456789") {
		return "", s
	}
	return s[:i], s[i:]
}

// groupFollows recognises the next group of three digits in "1 020 kg".
func groupFollows(before, after string) bool {
	digits := before[strings.LastIndexAny(before, " ")+1:]
	if len(digits) == 0 || len(digits) > 3 || strings.ContainsAny(before, ".,") {
		return false
	}
	if strings.Contains(before, " ") && len(digits) != 3 {
		return false
	}
	group, ok := strings.CutPrefix(after, " ")
	if !ok {
		return false
	}
	digits, rest := cutDigits(group)
	return len(digits) == 3 && !strings.HasPrefix(rest, "/")
}

// fractionLength is the length of " 3/4" or "-3/4" after a whole number, or of
// "/4" after a numerator.
func fractionLength(digits, s string) int {
	body := s
	if strings.HasPrefix(s, " ") || strings.HasPrefix(s, "-") {
		body = s[1:]
		var numerator string
		if numerator, body = cutDigits(body); numerator == "" {
			return 0
		}
	} else if digits == "" {
		return 0
	}
	body, ok := strings.CutPrefix(body, "/")
	denominator, rest := cutDigits(body)
	if !ok || denominator == "" {
		return 0
	}
	return len(s) - len(rest)
}

// readNumber gives the canonical readings of a number as typed.
func readNumber(raw string, decimalComma bool) ([]numberReading, error) {
	sign, body := "", raw
	var why string
	if after, ok := strings.CutPrefix(body, "+"); ok {
		body, why = after, "the plus sign is left out"
	}
	if after, ok := strings.CutPrefix(body, "-"); ok {
		sign, body = "-", after
	}
	readings, err := readUnsigned(body, decimalComma)
	if err != nil {
		return nil, err
	}
	for i := range readings {
		readings[i].text = sign + readings[i].text
		if readings[i].why == "" {
			readings[i].why = why
		}
	}
	return readings, nil
}

func readUnsigned(s string, decimalComma bool) ([]numberReading, error) {
	if strings.Contains(s, "/") {
		return one(strings.Replace(strings.TrimSpace(s), "-", " ", 1), ""), nil
	}
	spaced := strings.Contains(s, " ")
	s = strings.ReplaceAll(s, " ", "")
	why := ""
	if spaced {
		why = "the spaces between groups of three are left out"
	}
	commas, points := strings.Count(s, ","), strings.Count(s, ".")
	switch {
	case commas == 0 && points <= 1:
		return readPlain(s, why, decimalComma), nil
	case commas == 1 && points == 0:
		return readOneComma(s)
	case commas == 0 || points == 0:
		return readRepeated(s, decimalComma)
	}
	return readMixed(s)
}

func one(text, why string) []numberReading { return []numberReading{{text, why}} }

func readPlain(s, why string, decimalComma bool) []numberReading {
	switch {
	case strings.HasPrefix(s, "."):
		return one("0"+s, "a zero is written before the point")
	case strings.HasSuffix(s, "."):
		return one(strings.TrimSuffix(s, "."), "the point behind the number is left out")
	case decimalComma && pointMayGroup(s):
		return one(s, "the point is read as a decimal point")
	}
	return one(s, why)
}

// readOneComma: "1,234" is always a question; "0,5" and "0,500" can only be
// decimals, whatever the habit of the yard.
func readOneComma(s string) ([]numberReading, error) {
	whole, part, _ := strings.Cut(s, ",")
	if whole == "" {
		whole = "0"
	}
	point := whole + "." + part
	if part == "" {
		return nil, fmt.Errorf("%q ends with a comma; write %q", clip(s), clip(whole))
	}
	if len(part) == 3 && len(whole) <= 3 && whole[0] != '0' {
		return []numberReading{{point, "the comma is a decimal comma"}, {whole + part, "the comma separates thousands"}}, nil
	}
	return one(point, "the decimal comma is written as a point"), nil
}

// readRepeated: "1,234,567" is a whole number, or a decimal whose writer used
// commas for both; "1.234.567" can only group.
func readRepeated(s string, decimalComma bool) ([]numberReading, error) {
	separator := ","
	if strings.Contains(s, ".") {
		separator = "."
	}
	if !grouped(s, separator) {
		return nil, fmt.Errorf("%q is not a number: groups after the first have three digits", clip(s))
	}
	whole := strings.ReplaceAll(s, separator, "")
	if separator == "." {
		if !decimalComma {
			return nil, fmt.Errorf("%q has several points; write %q", clip(s), clip(whole))
		}
		return one(whole, "the points between groups of three are left out"), nil
	}
	last := strings.LastIndex(s, ",")
	decimal := strings.ReplaceAll(s[:last], ",", "") + "." + s[last+1:]
	return []numberReading{{whole, "the commas separate thousands"}, {decimal, "the last comma is a decimal comma"}}, nil
}

// readMixed: in "1,234.5" and "1.234,5" the last separator is the decimal one.
func readMixed(s string) ([]numberReading, error) {
	last := strings.LastIndexAny(s, ".,")
	decimal := s[last : last+1]
	group := ","
	if decimal == "," {
		group = "."
	}
	whole := s[:last]
	if strings.Contains(whole, decimal) || !grouped(whole, group) {
		return nil, fmt.Errorf("%q mixes points and commas; write it without separators of thousands", clip(s))
	}
	return one(strings.ReplaceAll(whole, group, "")+"."+s[last+1:], "the separators of thousands are left out"), nil
}

// grouped reports whether s is one to three digits followed by groups of three.
func grouped(s, separator string) bool {
	groups := strings.Split(s, separator)
	for i, g := range groups {
		if i > 0 && len(g) != 3 || i == 0 && (len(g) < 1 || len(g) > 3 || g[0] == '0') {
			return false
		}
	}
	return true
}
