package bag

import (
	"io/fs"
	"path"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"
)

// plainName reports whether a name of the bag leads nowhere but into the bag, on every system: relative, without dots that
// climb, drives, shares, home folders, backslashes and characters that steer.
func plainName(name string) bool {
	return fs.ValidPath(name) && name != "." && !strings.HasPrefix(name, "~") && !strings.Contains(name, `\`) &&
		strings.IndexFunc(name, unicode.IsControl) < 0
}

// folded is what a name becomes where neither case nor the composition of letters tells two names apart.
func folded(name string) string {
	return norm.NFC.String(cases.Fold().String(norm.NFC.String(name)))
}

// systemFile reports whether an operating system left a file behind that nobody meant to send.
func systemFile(name string) bool {
	base := path.Base(name)
	return slices.Contains([]string{".DS_Store", "Thumbs.db", "desktop.ini"}, base) || strings.HasPrefix(base, "._")
}

// unescaped reads a name as manifests and fetch.txt write it (RFC 8493, 2.1.3): line breaks, and from version 1.0 the
// percent sign itself, stand as percent escapes; nothing else does.
func unescaped(name string, strict bool) string {
	pairs := []string{"%0A", "\n", "%0a", "\n", "%0D", "\r", "%0d", "\r"}
	if strict {
		pairs = append(pairs, "%25", "%")
	}
	return strings.NewReplacer(pairs...).Replace(name)
}
