package validate

import (
	"slices"
	"strings"
	"unicode"

	"boltback/internal/canon"
	"boltback/internal/finding"
	"boltback/internal/record"
)

// Secrets gives the places of a record that look like a password, a key, a token or a PIN. A ledger is copied and handed
// on, and never forgets; so nothing is written that has any. The findings do not repeat what they found.
func Secrets(path string, kind record.Kind, doc *canon.Document) []finding.Finding {
	s := secretSeeker{doc: doc, path: path, dense: kind == record.KindSetting || kind == record.KindCode}
	s.node(doc.Root, "")
	return s.found
}

// secrets adds them to what was found.
func (c *checker) secrets(path string, kind record.Kind, doc *canon.Document) {
	c.found = append(c.found, Secrets(path, kind, doc)...)
}

// secretSeeker walks one record. Dense says that strings without meaning are suspect too, as in settings, where a file's
// text may have been pasted.
type secretSeeker struct {
	doc   *canon.Document
	path  string
	dense bool
	found []finding.Finding
}

func (s *secretSeeker) node(n *canon.Node, pointer string) {
	subject := n.Get("of") // a value is named by the member beside it
	for _, m := range n.Members {
		at := canon.ChildPointer(pointer, m.Name)
		if m.Value.Kind != canon.String {
			s.node(m.Value, at)
			continue
		}
		named := m.Name
		if m.Name == "value" && subject != nil {
			named = subject.Text
		}
		s.text(named, m.Value.Text, at)
	}
	for i, e := range n.Elements {
		at := canon.ElementPointer(pointer, i)
		if e.Kind == canon.String {
			s.text("", e.Text, at)
		} else {
			s.node(e, at)
		}
	}
}

func (s *secretSeeker) text(named, text, pointer string) {
	what := ""
	switch {
	case strings.Contains(text, "PRIVATE KEY-----"):
		what = "a private key"
	case namesSecret(named) && !saysWhere(text):
		what = "a secret"
	case givesSecret(text):
		what = "a secret written out"
	case s.dense && dense(text):
		what = "a key or token"
	default:
		return
	}
	at := s.doc.Locate(pointer)
	s.found = append(s.found, finding.Finding{Code: "secret", File: s.path, Line: at.Line, Column: at.Column, Pointer: pointer,
		Message: "this looks like " + what + "; a ledger is copied and handed on, and never forgets",
		Hint:    "take it out, and say in codes/<name> where it is held and by whom; if it was ever committed, change it at the unit"})
}

// secretWords are words that announce a secret.
var secretWords = []string{"password", "passphrase", "passcode", "passwort", "kennwort", "wachtwoord", "pwd", "token", "pin", "secret", "puk"}

// codeWords before "code" make it one that opens something; a paint code or a fault code is none.
var codeWords = []string{"access", "alarm", "door", "entry", "immobiliser", "immobilizer", "pin", "radio", "security", "unlock", "pairing"}

// namesSecret reports whether the name of a member or figure says that a secret stands there: its last word does.
func namesSecret(name string) bool {
	words := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) })
	for i, w := range words {
		if isOne(w, secretWords) && i == len(words)-1 || w == "code" && i > 0 && isOne(words[i-1], codeWords) {
			return true
		}
	}
	return false
}

// saysWhere reports whether a text says where a secret is, instead of being one: it names a record, or is plain words.
func saysWhere(text string) bool {
	if strings.Contains(text, "codes/") {
		return true
	}
	plain := strings.IndexFunc(text, unicode.IsDigit) < 0
	return plain && len(strings.Fields(text)) > 1 || isOne(strings.ToLower(text), holdingWords)
}

// holdingWords follow a secret's name where the text says what became of it.
var holdingWords = []string{"held", "kept", "with", "see", "not", "unknown", "none", "in", "by", "at", "the", "sealed", "nobody", "never", "lost", "set",
	"changed", "unset", "of", "from", "and", "or", "is", "was", "to", "for", "needed", "required", "yes", "no", "left", "given", "handed"}

// givesSecret reports whether a text announces a secret and then gives it: "password: xyz", "PIN 4711".
func givesSecret(text string) bool {
	words := strings.Fields(text)
	for i, w := range words {
		name := strings.ToLower(strings.Trim(w, `.,;:=()"'`))
		announced := isOne(name, secretWords) || name == "code" && i > 0 && isOne(strings.ToLower(words[i-1]), codeWords)
		name, value, joined := strings.Cut(w, "=")
		if !joined {
			name, value, joined = strings.Cut(w, ":")
		}
		if joined && value != "" && isOne(strings.ToLower(name), secretWords) {
			return looksSecret(value, true)
		}
		if !announced || i+1 == len(words) {
			continue
		}
		rest := words[i+1:]
		told := strings.ContainsAny(w, ":=")
		if len(rest) > 1 && isOne(strings.ToLower(rest[0]), []string{"is", "was", "=", ":", "ist"}) {
			rest, told = rest[1:], true
		}
		if name == "pin" && !told && strings.ToLower(w) == w || strings.HasPrefix(w, "Pin") && !told {
			continue // pin 8712 of a plug
		}
		if looksSecret(rest[0], told) {
			return true
		}
	}
	return false
}

// looksSecret reports whether a word can be a secret: at least four characters, with a digit, or told to be one.
func looksSecret(word string, told bool) bool {
	word = strings.Trim(word, `.,;()"'`)
	if len(word) < 4 || isOne(strings.ToLower(word), holdingWords) || strings.HasPrefix(word, "codes/") {
		return false
	}
	digits := strings.IndexFunc(word, unicode.IsDigit) >= 0
	return digits && (told || strings.Trim(word, "0123456789") == "") || told && mixed(word)
}

// mixed reports whether a word has letters and signs as a sentence never joins them.
func mixed(word string) bool {
	inner := strings.TrimFunc(word, unicode.IsPunct)
	return strings.ContainsAny(inner, "!$%&#@*+_^~") || strings.ToLower(inner) != inner && strings.ToLower(inner[1:]) != inner[1:] && strings.ToUpper(inner) != inner
}

// dense reports whether a text holds a long run of letters and digits as only machines write them: capitals, small letters
// and figures in turn. Digests are of one case, and public keys begin with their type.
func dense(text string) bool {
	const long, turns = 20, 6
	for _, word := range strings.Fields(text) {
		if len(word) < long || strings.HasPrefix(word, "AAAA") || strings.ContainsAny(word, ".:") {
			continue
		}
		changes, last := 0, 0
		for _, r := range word {
			if class := classOf(r); class != 0 && class != last {
				changes, last = changes+1, class
			}
		}
		if changes > turns && strings.ToLower(word) != word && strings.ToUpper(word) != word {
			return true
		}
	}
	return false
}

func classOf(r rune) int {
	switch {
	case unicode.IsDigit(r):
		return 1
	case unicode.IsUpper(r):
		return 2
	case unicode.IsLower(r):
		return 3
	}
	return 0
}

func isOne(word string, of []string) bool { return slices.Contains(of, word) }
