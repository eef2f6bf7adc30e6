package canon

import (
	"strings"
	"testing"
)

// refusals are files that cannot be read, with the report each must give as
// line:column: message | hint | pointer.
var refusals = []struct{ name, src, want string }{
	{"an empty file", "", `1:1: the file is empty | a record begins with "{" | `},
	{"a blank file", " \n\n", `3:1: the file is empty | a record begins with "{" | `},
	{"a comma missing between members", "{\n  \"a\": 1\n  \"b\": 2\n}", `3:3: a comma is missing before this name | put a comma after the value before it | /a`},
	{"a comma missing between elements", `["x" "y"]`, `1:6: a comma is missing before this value | put a comma after the value before it | /0`},
	{"a comma too many at the end of an object", `{"a": 1,}`, `1:8: nothing follows this comma | delete the comma after the last entry | /a`},
	{"a comma too many at the end of a list", "[1,\n2,\n]", `2:2: nothing follows this comma | delete the comma after the last entry | /1`},
	{"two commas", `[1,,2]`, `1:4: there is no value before this comma | write the value, or delete the comma | /0`},
	{"a comma at the beginning of an object", `{,"a":1}`, `1:2: there is nothing before this comma | delete it | `},
	{"a missing colon", `{"a" 1}`, `1:6: a colon is missing between the name and this | write a name, a colon and a value, as in "name": "fuel tank" | /a`},
	{"two colons", `{"a":: 1}`, `1:6: there is a colon too many here | write one colon between a name and its value | /a`},
	{"a missing value", `{"a": , "b": 1}`, `1:7: there is no value before this comma | write the value, or delete the comma | /a`},
	{"a missing last value", `{"a": }`, `1:7: there is no value before this bracket | write the value, or delete the name or the bracket | /a`},
	{"a missing name", `{: 1}`, `1:2: the name before this colon is missing | put names in straight double quotes, as in "name" | `},
	{"a colon in a list", `["a": 1]`, `1:5: a colon stands in a list | a list holds values alone; names and values stand in an object, between "{" and "}" | /0`},
	{"a semicolon for a comma", `{"a": 1; "b": 2}`, `1:8: ";" stands where a comma or the end belongs | see whether a quote or a comma is missing before it | /a`},
	{"a text with an unescaped quote", `{"note": "the 3" bolt"}`, `1:18: "bolt" stands where a comma or the end belongs | see whether a quote or a comma is missing before it | /note`},
	{"an object closed as a list", `{"a": 1]`, `1:8: this object is closed by "]" | close an object with "}" | /a`},
	{"a list closed as an object", `[1}`, `1:3: this list is closed by "}" | close a list with "]" | /0`},
	{"an object that is not closed", "{\n  \"a\": {\n    \"b\": 1\n", `4:1: the file ends before the object of line 2 is closed | close it with "}", or see whether the end of the file was lost | /a/b`},
	{"a list that is not closed", "[\n1,", `2:3: the file ends before the list of line 1 is closed | close it with "]", or see whether the end of the file was lost | /0`},
	{"a file cut off after a name", `{"a"`, `1:5: the file ends before the object of line 1 is closed | close it with "}", or see whether the end of the file was lost | /a`},
	{"a text that is not closed", "{\"a\": \"tank\n}", `1:7: this text is not closed | end it with " in the same line; a line break inside a text is written \n | /a`},
	{"a text that ends in a backslash", `["C:\`, `1:2: this text is not closed | end it with " in the same line; a line break inside a text is written \n | `},
	{"a name that is not closed", "{\"a: 1\n}", `1:2: this name is not closed | end it with " in the same line; a line break inside a text is written \n | `},
	{"a tab inside a text", "[\"a\tb\"]", `1:4: there is a tab inside this text | write a tab as \t | `},
	{"a control character inside a name", "{\"a\x01\": 1}", `1:4: there is a control character inside this name, U+0001 | delete it | `},
	{"an unknown escape", `["C:\parts"]`, `1:5: \p is not an escape | write a backslash itself as \\ | `},
	{"a short escape", `["\u00b"]`, `1:3: \u is not followed by four hexadecimal digits | write the character itself, or four digits as in \u00b5 | `},
	{"half a surrogate pair", `["\ud83d x"]`, `1:3: \ud83d is half a character | write the character itself | `},
	{"the second half alone", `["\udd27"]`, `1:3: \udd27 is half a character | write the character itself | `},
	{"two first halves", `["\ud83d\ud83d"]`, `1:3: \ud83d is half a character | write the character itself | `},
	{"a name without quotes", `{name: 1}`, `1:2: a name belongs here, and "name" is not in quotes | put names in straight double quotes, as in "name" | `},
	{"a number for a name", `{1: 1}`, `1:2: a name belongs here, and "1" is not in quotes | put names in straight double quotes, as in "name" | `},
	{"single quotes", `{"a": 'tank'}`, `1:7: this text is not in straight double quotes | write texts between two " | /a`},
	{"typographic quotes", `{"a": “tank”}`, `1:7: this text is not in straight double quotes | write texts between two " | /a`},
	{"a text without quotes", `{"a": tank}`, `1:7: "tank" is not in quotes | put texts in straight double quotes | /a`},
	{"a long text without quotes is shortened", `[` + strings.Repeat("ä", 100) + `]`, `1:2: "ääääääääääääääääääääääää…" is not in quotes | put texts in straight double quotes | `},
	{"True with a capital", `[True]`, `1:2: "True" is not a value | write it as true | `},
	{"null cut short", `[nul]`, `1:2: "nul" is not a value | write it as null | `},
	{"null grown longer", `[nullx]`, `1:2: "nullx" is not in quotes | put texts in straight double quotes | /0`},
	{"a line comment", "{\n  // tank\n}", `2:3: a comment cannot stand in a record | write what is to be kept into a member such as "note" | `},
	{"a comment after a member", `{"a": 1 # tank` + "\n}", `1:9: a comment cannot stand in a record | write what is to be kept into a member such as "note" | /a`},
	{"a comment for a value", `{"a": /* none */ 1}`, `1:7: a comment cannot stand in a record | write what is to be kept into a member such as "note" | /a`},
	{"a second record", "{}\n{}", `2:1: something follows the end of the record | a file holds one record; delete the rest, or look for a bracket closed too early | `},
	{"a number with a leading zero alone", "012", `1:1: 012: a number cannot begin with 0 | leave the 0 out, or write a part or chassis number as text, in quotes | `},
	{"broken text after the record", "{} \xe4", `1:4: the byte 0xe4 is not UTF-8 text | save the file as UTF-8; an old editor may have used another encoding for accented letters | `},
	{"a bracket too many", `{"a": 1}}`, `1:9: something follows the end of the record | a file holds one record; delete the rest, or look for a bracket closed too early | `},
	{"a byte order mark", "\ufeff{}", `1:1: the file begins with a byte order mark | save it as UTF-8 without a byte order mark | `},
	{"a no-break space between tokens", "{\u00a0}", `1:2: a name belongs here, and "\u00a0" is not in quotes | put names in straight double quotes, as in "name" | `},
	{"a zero-width space for a value", "[\u200b]", `1:2: an invisible character stands here, U+200B | delete it; use spaces and line feeds alone between values | `},
	{"Latin-1", "{\"a\": \"Gr\xf6\xdfe\"}", `1:10: the byte 0xf6 is not UTF-8 text | save the file as UTF-8; an old editor may have used another encoding for accented letters | /a`},
	{"UTF-16", "\xff\xfe{\x00}\x00", `1:1: the file is encoded as UTF-16 | save it as UTF-8 without a byte order mark | `},
	{"a measure as a bare number", `{"mass": 12.5}`, `1:10: 12.5: numbers in a record are whole | write a measure as text with its unit, as in "12.5 kg" | /mass`},
	{"a number with an exponent", `{"n": 1e3}`, `1:7: 1e3: numbers in a record are whole | write a measure as text with its unit, as in "12.5 kg" | /n`},
	{"minus zero", `{"n": -0}`, `1:7: -0 is not a number a record can hold | write 0 | /n`},
	{"two to the power of 53", `{"n": 9007199254740992}`, `1:7: 9007199254740992 is too large for a whole number, which ends at 9007199254740991 | write a serial or a chassis number as text, in quotes | /n`},
	{"minus two to the power of 53", `[-9007199254740992]`, `1:2: -9007199254740992 is too large for a whole number, which ends at 9007199254740991 | write a serial or a chassis number as text, in quotes | /0`},
	{"a number beyond 64 bits", `[99999999999999999999]`, `1:2: 99999999999999999999 is too large for a whole number, which ends at 9007199254740991 | write a serial or a chassis number as text, in quotes | /0`},
	{"a number with a leading zero", `{"tag": 0012}`, `1:9: 0012: a number cannot begin with 0 | leave the 0 out, or write a part or chassis number as text, in quotes | /tag`},
	{"a number with a plus", `[+1]`, `1:2: a number cannot begin with + | leave the + out, or write the number as text, in quotes | `},
	{"a number without its first digit", `[.5]`, `1:2: .5 is not a number a record can hold | write whole numbers bare, and measures as text with their unit, as in "12.5 kg" | `},
	{"a number with its unit", `{"mass": 12kg}`, `1:10: 12kg is not a number a record can hold | write whole numbers bare, and measures as text with their unit, as in "12.5 kg" | /mass`},
	{"a minus alone", `[-]`, `1:2: - is not a number a record can hold | write whole numbers bare, and measures as text with their unit, as in "12.5 kg" | `},
	{"a name twice", "{\n  \"a\": 1,\n  \"b\": {\"a\": 2},\n  \"a\": 3\n}", `4:3: "a" stands twice in one object, first in line 2 | keep one of the two | /a`},
	{"a name twice, once escaped", `{"x": {"a": 1, "\u0061": 2}}`, `1:16: "a" stands twice in one object, first in line 1 | keep one of the two | /x/a`},
	{"columns count characters", `{"größe": "ä", "größe": 1}`, `1:16: "größe" stands twice in one object, first in line 1 | keep one of the two | /größe`},
}

func TestRefusalsSayWhatIsWrongWhereAndWhatWouldBeRight(t *testing.T) {
	for _, tt := range refusals {
		t.Run(tt.name, func(t *testing.T) {
			_, err := Parse([]byte(tt.src), Limits{})
			if err == nil {
				t.Fatal("it was accepted")
			}
			e := err.(*SyntaxError)
			if got := e.Error() + " | " + e.Hint + " | " + e.Pointer; got != tt.want {
				t.Errorf("got  %s\nwant %s", got, tt.want)
			}
		})
	}
}

func TestBoundsAreHeldExactly(t *testing.T) {
	tests := []struct {
		name   string
		limits Limits
		holds  string
		breaks string
		says   string
	}{
		{"bytes", Limits{Bytes: 4}, `[12]`, `[123]`, "1:1: the file has 5 bytes, a record may have 4"},
		{"depth", Limits{Depth: 2}, `[{"a":1}]`, `[{"a":[]}]`, "1:7: objects and lists stand more than 2 deep in one another here"},
		{"values", Limits{Nodes: 3}, `[1,2]`, "[1,2,\n3]", "2:1: a record may have 3 values, this is one more"},
		{"a text", Limits{StringBytes: 3}, `["abc"]`, `["abcd"]`, "1:2: this text has 4 bytes, one text may have 3"},
		{"a name", Limits{StringBytes: 3}, `{"abc":1}`, `{"abcd":1}`, "1:2: this text has 4 bytes, one text may have 3"},
		{"default bytes", Limits{}, `["` + strings.Repeat(`","`, 1<<16) + `"]`, strings.Repeat(" ", 1<<20) + "1", "1:1: the file has 1048577 bytes, a record may have 1048576"},
		{"default depth", Limits{}, strings.Repeat("[", 64) + strings.Repeat("]", 64), strings.Repeat("[", 65) + strings.Repeat("]", 65), "1:65: objects and lists stand more than 64 deep"},
		{"no depth beyond the decoder's own", Limits{Depth: 1 << 30}, strings.Repeat("[", 9999) + strings.Repeat("]", 9999), strings.Repeat("[", 10000), "1:10000: objects and lists stand more than 9999 deep"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			if _, err := Parse([]byte(tt.holds), tt.limits); err != nil {
				t.Errorf("within the bound: %v", err)
			}
			_, err := Parse([]byte(tt.breaks), tt.limits)
			if err == nil || !strings.HasPrefix(err.Error(), tt.says) {
				t.Errorf("beyond it: got %v, want %s", err, tt.says)
			}
		})
	}
}
