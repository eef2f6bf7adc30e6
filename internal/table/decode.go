package table

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"
)

// decode turns the bytes of a file into text. What is neither UTF-8 nor marked as UTF-16 is taken for Windows-1252, in which
// every byte means something, and that is said.
func decode(src []byte) (string, Dialect, error) {
	switch {
	case bytes.HasPrefix(src, []byte{0xef, 0xbb, 0xbf}):
		src = src[3:]
		if !utf8.Valid(src) {
			return "", Dialect{}, &Fault{Message: "the file says that it is UTF-8, and it is not", Hint: "save it as UTF-8 once more"}
		}
		return plain(string(src), Dialect{Encoding: "UTF-8", BOM: true})
	case bytes.HasPrefix(src, []byte{0xff, 0xfe}) || bytes.HasPrefix(src, []byte{0xfe, 0xff}):
		text, err := unicode.UTF16(unicode.LittleEndian, unicode.ExpectBOM).NewDecoder().Bytes(src)
		if err != nil || len(src)%2 != 0 || bytes.ContainsRune(text, utf8.RuneError) {
			return "", Dialect{}, &Fault{Message: "the file says that it is UTF-16, and it is not", Hint: "save it as UTF-8"}
		}
		return plain(string(text), Dialect{Encoding: "UTF-16", BOM: true})
	case utf8.Valid(src):
		return plain(string(src), Dialect{Encoding: "UTF-8"})
	}
	text, err := charmap.Windows1252.NewDecoder().Bytes(src)
	if err != nil {
		return "", Dialect{}, &Fault{Message: "the encoding of the file cannot be made out", Hint: "save it as UTF-8"}
	}
	return plain(string(text), Dialect{Encoding: "Windows-1252"})
}

// plain refuses what is no text at all, such as a workbook.
func plain(text string, d Dialect) (string, Dialect, error) {
	if strings.HasPrefix(text, "PK\x03\x04") || strings.HasPrefix(text, "\u00d0\u00cf\x11\u00e0") {
		return "", d, &Fault{Message: "this is a workbook and no table of text", Hint: "save the sheet as CSV (UTF-8)"}
	}
	if strings.ContainsRune(text, 0) {
		return "", d, &Fault{Message: "the file holds bytes that are no text", Hint: "save the sheet as CSV (UTF-8)"}
	}
	return strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n"), d, nil
}

// parted cuts a text into rows, with the separator that a first line "sep=;" names, or else the one by which the header
// names the most columns.
func parted(text string, known func(string) bool) ([]Row, rune, error) {
	var named rune
	if first, rest, ok := strings.Cut(text, "\n"); ok && strings.HasPrefix(strings.ToLower(first), "sep=") && utf8.RuneCountInString(first) == len("sep=")+1 {
		named, _ = utf8.DecodeLastRuneInString(first)
		text = "\n" + rest
	}
	var best []Row
	var separator rune
	var fault error
	most := -1
	for _, comma := range []rune{';', '\t', ',', '|'} {
		if named != 0 && comma != named {
			continue
		}
		rows, err := cut(text, comma)
		if err != nil {
			fault = errors.Join(err, fault)
			continue
		}
		n := 0
		if head := headAt(rows, known); head >= 0 {
			for _, cell := range rows[head].Cells {
				if name, _ := nameAndUnit(cell); name != "" && known(name) {
					n++
				}
			}
		}
		if n > most {
			best, separator, most = rows, comma, n
		}
	}
	if best == nil && fault != nil {
		var f *Fault
		errors.As(fault, &f)
		return nil, 0, f
	}
	if best == nil && named != 0 && most < 0 {
		return nil, 0, &Fault{Line: 1, Message: fmt.Sprintf("cells cannot be parted by %q", named), Hint: "semicolons, commas, tabs and bars are taken"}
	}
	return best, separator, nil
}

// cut reads rows with one separator.
func cut(text string, comma rune) ([]Row, error) {
	r := csv.NewReader(strings.NewReader(text))
	r.Comma, r.FieldsPerRecord = comma, -1
	var rows []Row
	for {
		cells, err := r.Read()
		var bad *csv.ParseError
		switch {
		case errors.Is(err, io.EOF):
			return rows, nil
		case errors.As(err, &bad):
			return nil, &Fault{Line: bad.StartLine, Message: "a quotation mark is open, or stands inside a cell that has none around it", Hint: `a cell with quotation marks is written "like ""this"""`}
		case err != nil:
			return nil, &Fault{Message: err.Error()}
		}
		line, _ := r.FieldPos(0)
		if len(cells) > mostColumns || len(rows) >= mostRows {
			return nil, &Fault{Line: line, Message: fmt.Sprintf("a table of more than %d rows or %d columns is not taken at once", mostRows, mostColumns)}
		}
		for _, c := range cells {
			if len(c) > mostCell {
				return nil, &Fault{Line: line, Message: fmt.Sprintf("a cell has more than %d bytes", mostCell)}
			}
		}
		rows = append(rows, Row{line, cells})
	}
}
