package bag

import (
	"errors"
	"fmt"
	"regexp"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"boltback/internal/finding"
)

// edition is the version of BagIt that a bag declares.
type edition struct {
	text     string
	strict   bool // 1.0 and later
	encoding string
}

var (
	versionLine  = regexp.MustCompile(`^BagIt-Version: (0\.9[3-7]|1\.0)[ \t]*$`)
	encodingLine = regexp.MustCompile(`^Tag-File-Character-Encoding: ([!-~]+)[ \t]*$`)
)

const declarationHint = "bagit.txt is two lines: BagIt-Version: 1.0 and Tag-File-Character-Encoding: UTF-8"

// declaration reads bagit.txt (RFC 8493, 2.1.1), which is always UTF-8 without a byte-order mark.
func (n *notes) declaration(text []byte) edition {
	e := edition{encoding: "UTF-8"}
	fault := func(line int, format string, words ...any) {
		n.add(finding.Error, "bag-declaration", "bagit.txt", line, declarationHint, format, words...)
	}
	if strings.HasPrefix(string(text), "\ufeff") {
		fault(1, "bagit.txt begins with a byte-order mark")
		text = text[len("\ufeff"):]
	}
	if !utf8.Valid(text) {
		fault(1, "bagit.txt is not UTF-8")
		return e
	}
	lines := linesOf(string(text))
	if len(lines) != 2 {
		fault(0, "bagit.txt has %d lines", len(lines))
	}
	if len(lines) > 0 {
		if m := versionLine.FindStringSubmatch(lines[0]); m != nil {
			e.text, e.strict = m[1], m[1] == "1.0"
		} else {
			fault(1, "%q declares no version of BagIt that is known here (0.93 to 0.97, 1.0)", shortened(lines[0]))
		}
	}
	if len(lines) > 1 {
		if m := encodingLine.FindStringSubmatch(lines[1]); m != nil {
			e.encoding = m[1]
		} else {
			fault(2, "%q declares no encoding of the tag files", shortened(lines[1]))
		}
	}
	return e
}

// shortened keeps a quotation to what a line of a terminal holds.
func shortened(s string) string {
	if r := []rune(s); len(r) > 80 {
		return string(r[:80]) + "..."
	}
	return s
}

// linesOf splits text at LF, CR or CR LF; a last line break ends a line and begins none.
func linesOf(text string) []string {
	text = strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text)
	text = strings.TrimSuffix(text, "\n")
	if text == "" {
		return nil
	}
	return strings.Split(text, "\n")
}

// decode turns a tag file into text, by the encoding that bagit.txt declares.
func decode(raw []byte, encoding string) (string, error) {
	switch strings.ToUpper(encoding) {
	case "UTF-8", "UTF8", "US-ASCII", "ASCII":
		if !utf8.Valid(raw) {
			return "", errors.New("these bytes are not UTF-8")
		}
		return strings.TrimPrefix(string(raw), "\ufeff"), nil
	case "ISO-8859-1", "LATIN1":
		runes := make([]rune, len(raw))
		for i, b := range raw {
			runes[i] = rune(b)
		}
		return string(runes), nil
	case "UTF-16", "UTF-16BE", "UTF-16LE":
		return decode16(raw, strings.HasSuffix(strings.ToUpper(encoding), "LE"))
	}
	return "", fmt.Errorf("the encoding %s is not known here", shortened(encoding))
}

// decode16 reads UTF-16; a byte-order mark rules, and without one the name of the encoding does (RFC 2781, 4.3).
func decode16(raw []byte, little bool) (string, error) {
	if len(raw)%2 != 0 {
		return "", errors.New("UTF-16 has two bytes a place, and here is an odd number")
	}
	units := make([]uint16, len(raw)/2)
	for i := range units {
		units[i] = uint16(raw[2*i])<<8 | uint16(raw[2*i+1])
	}
	swapped := len(units) > 0 && units[0] == 0xfffe
	if swapped || little && (len(units) == 0 || units[0] != 0xfeff) {
		for i, u := range units {
			units[i] = u<<8 | u>>8
		}
	}
	text := string(utf16.Decode(units))
	if strings.ContainsRune(text, utf8.RuneError) {
		return "", errors.New("these bytes are not UTF-16")
	}
	return strings.TrimPrefix(text, "\ufeff"), nil
}

// info reads bag-info.txt (RFC 8493, 2.2.2): label, colon, value; a line that begins with a space goes on with the one before.
func (n *notes) info(text string, strict bool) []Field {
	var fields []Field
	for i, line := range linesOf(text) {
		if line != "" && (line[0] == ' ' || line[0] == '\t') && len(fields) > 0 {
			fields[len(fields)-1].Value += " " + strings.TrimSpace(line)
			continue
		}
		label, value, colon := strings.Cut(line, ":")
		bare := strings.TrimSpace(label)
		if !colon || bare == "" || strict && bare != label {
			n.add(finding.Error, "bag-info", "bag-info.txt", i+1, "write a label, a colon and a value: Contact-Name: Ines Okafor", "%q has no label and value", shortened(line))
			continue
		}
		fields = append(fields, Field{bare, strings.TrimSpace(value)})
	}
	return fields
}
