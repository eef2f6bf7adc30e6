package gitstore

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// BadPathError says why a path cannot stand in a ledger.
type BadPathError struct {
	Path   string
	Reason string
}

// Error names the path and what is wrong with it.
func (e *BadPathError) Error() string { return fmt.Sprintf("path %q: %s", e.Path, e.Reason) }

// CheckPath tells whether a slash-separated path can be committed so that it
// means the same file on every system: relative, without "..", in NFC, without
// control or invisible characters, and with no part that Windows or macOS
// would take for another name or for Git's own folder.
func CheckPath(path string) error {
	bad := func(reason string) error { return &BadPathError{Path: path, Reason: reason} }
	switch {
	case path == "":
		return bad("it is empty")
	case strings.HasPrefix(path, "/"):
		return bad("it is absolute; give it from the top of the repository")
	case len(path) > 4095:
		return bad("it is longer than 4095 bytes")
	case !utf8.ValidString(path):
		return bad("it is not UTF-8")
	case !norm.NFC.IsNormalString(path):
		return bad("it is not in Unicode normal form C, and macOS would spell it otherwise")
	}
	if i := strings.IndexFunc(path, invisible); i >= 0 {
		r, _ := utf8.DecodeRuneInString(path[i:])
		return bad(fmt.Sprintf("it has the invisible character U+%04X", r))
	}
	if i := strings.IndexAny(path, `\:*?"<>|`); i >= 0 {
		return bad(fmt.Sprintf("it has the character %q, which Windows does not allow", path[i]))
	}
	for part := range strings.SplitSeq(path, "/") {
		if reason := badPart(part); reason != "" {
			return bad(reason)
		}
	}
	return nil
}

// invisible characters are those that a terminal does not show, among them the
// ones that macOS leaves out when it compares names.
func invisible(r rune) bool {
	return unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Co, unicode.Zl, unicode.Zp) || r == utf8.RuneError
}

func badPart(part string) string {
	switch {
	case part == "":
		return "it has an empty part between slashes"
	case part == "." || part == "..":
		return fmt.Sprintf("it has the part %q", part)
	case len(part) > 255:
		return "it has a part longer than 255 bytes"
	case strings.TrimRight(part, ". ") != part:
		return fmt.Sprintf("its part %q ends with a dot or a space, which Windows drops", part)
	case strings.EqualFold(part, ".git") || shortGit(part):
		return fmt.Sprintf("its part %q is Git's own folder on some system", part)
	case deviceName(part):
		return fmt.Sprintf("its part %q is a device on Windows", part)
	}
	return ""
}

// shortGit recognises git~1 and its like, the short names that Windows makes for .git.
func shortGit(part string) bool {
	rest, ok := strings.CutPrefix(strings.ToLower(part), "git~")
	return ok && rest != "" && strings.Trim(rest, "0123456789") == ""
}

func deviceName(part string) bool {
	stem, _, _ := strings.Cut(strings.ToUpper(part), ".")
	stem = strings.TrimRight(stem, " ")
	switch stem {
	case "CON", "PRN", "AUX", "NUL", "CONIN$", "CONOUT$":
		return true
	}
	digits, port := strings.CutPrefix(stem, "COM")
	if !port {
		digits, port = strings.CutPrefix(stem, "LPT")
	}
	return port && len([]rune(digits)) == 1 && strings.ContainsAny(digits, "0123456789¹²³")
}

// foldName returns what names have in common that are one file on some system.
func foldName(name string) string {
	return norm.NFC.String(strings.ToLower(strings.ToUpper(norm.NFC.String(name))))
}
