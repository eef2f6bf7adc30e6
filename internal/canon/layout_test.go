package canon

import (
	"bytes"
	"fmt"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// failer is what testing.TB and rapid.T share here.
type failer interface {
	Helper()
	Fatalf(format string, args ...any)
}

// checkLaidOut insists on what must hold for every document: the layout means
// the same, is its own layout, and is found in order.
func checkLaidOut(t failer, name string, doc *Document) {
	t.Helper()
	laid := Layout(doc)
	again, err := Parse(laid, wide)
	if err != nil {
		t.Fatalf("%s: its layout is refused: %v\n%s", name, err, laid)
	}
	if !reflect.DeepEqual(again.Root.Any(), doc.Root.Any()) {
		t.Fatalf("%s: its layout means something else\n%s", name, laid)
	}
	if twice := Layout(again); !bytes.Equal(twice, laid) {
		t.Fatalf("%s: laid out twice\n%s\nonce\n%s", name, twice, laid)
	}
	if fault := CheckLayout(again); fault != nil {
		t.Fatalf("%s: its layout has a fault: %v", name, fault)
	}
	if fault := CheckLayout(doc); (fault == nil) != bytes.Equal(doc.Source, laid) {
		t.Fatalf("%s: fault %v, although source and layout are equal: %v", name, fault, fault != nil)
	} else if fault != nil && !pointsInto(doc.Source, fault.Line, fault.Column) {
		t.Fatalf("%s: fault at %d:%d, which is not a place in the file", name, fault.Line, fault.Column)
	}
}

// wide are limits that no test input reaches by being laid out.
var wide = Limits{Bytes: 1 << 30, Depth: maxDepth, Nodes: 1 << 30, StringBytes: 1 << 30}

const laidOut = `{
  "kind": "part",
  "name": "fuel tank, 3\" neck",
  "note": "größer\n\ttab \\ / \u001f \u007f",
  "marks": [
    "A",
    12,
    [
      true,
      null
    ],
    {},
    []
  ],
  "found": {
    "day": "1967-03"
  }
}
`

func TestTheLayoutOfARecord(t *testing.T) {
	src := `{"kind" : "part","name":"fuel tank, 3\u0022 neck",` + "\r\n\t" +
		`"note":"gr\u00f6\u00dfer\u000A\u0009tab \u005C \/ \u001F \u007F","marks":["A",12,[true,null],{},[ ]],"found":{"day":"1967-03"}}`
	want := strings.ReplaceAll(laidOut, `\u007f`, "\u007f")
	if got := Layout(mustParse(t, src)); string(got) != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	if fault := CheckLayout(mustParse(t, want)); fault != nil {
		t.Errorf("the layout itself has a fault: %v", fault)
	}
}

func TestMembersKeepTheirOrder(t *testing.T) {
	if got := string(Layout(mustParse(t, `{"b":1,"a":2}`))); got != "{\n  \"b\": 1,\n  \"a\": 2\n}\n" {
		t.Errorf("got %s", got)
	}
}

func TestEscapesHaveOneForm(t *testing.T) {
	tests := []struct{ written, want string }{
		{`"\u0022\u005c\u002f"`, `"\"\\/"`},
		{`"\u0008\u0009\u000a\u000c\u000d"`, `"\b\t\n\f\r"`},
		{`"\u0000\u001F\u000b"`, `"\u0000\u001f\u000b"`},
		{`"<>&\u003c"`, `"<>&<"`},
		{`"\u2028\u2029\ufeff\u00a0"`, "\"\u2028\u2029\ufeff\u00a0\""},
		{`"\uD83D\uDD27"`, `"🔧"`},
		{`"\uffff"`, "\"\uffff\""},
	}
	for _, tt := range tests {
		if got := string(Layout(mustParse(t, tt.written))); got != tt.want+"\n" {
			t.Errorf("%s is written %s, want %s", tt.written, got, tt.want)
		}
	}
}

func TestLayoutFaultsSayWhatDiffersAndWhere(t *testing.T) {
	tests := []struct{ name, from, to, want string }{
		{"CR and LF", "\",\n", "\",\r\n", "2:18: the line ends with CR and LF | end lines with LF alone"},
		{"CR alone", "part\",\n", "part\",\r\n", "2:18: the line ends with CR and LF | end lines with LF alone"},
		{"a carriage return between tokens", `12,`, "\r12,", "7:5: a carriage return stands here | end lines with LF alone"},
		{"tabs for spaces", "  \"kind\"", "\t\"kind\"", "2:1: a tab stands here | indent with two spaces a level"},
		{"a tab after the colon", "\"kind\": ", "\"kind\":\t", "2:10: a tab stands here | indent with two spaces a level"},
		{"four spaces for two", "  \"kind\"", "    \"kind\"", "2:3: the line is not indented by two spaces a level | indent it by 2"},
		{"too little indent", "    \"A\"", "  \"A\"", "6:3: the line is not indented by two spaces a level | indent it by 4"},
		{"too little indent before a bracket", "      null\n    ]", "      null\n  ]", "11:3: the line is not indented by two spaces a level | indent it by 4"},
		{"no final newline", "}\n}\n", "}\n}", "18:2: the last line is not closed by a line feed | end the file with one line feed"},
		{"two final newlines", "}\n}\n", "}\n}\n\n", "19:1: something invisible follows the record | end the file with one line feed and nothing after it"},
		{"spaces at the end of a line", "part\",\n", "part\",  \n", "2:18: spaces stand at the end of the line | end the line after the last character"},
		{"spaces and CR at the end of a line", "part\",\n", "part\", \r\n", "2:18: spaces stand at the end of the line | end the line after the last character"},
		{"an empty line", "part\",\n", "part\",\n\n", "3:1: a line is empty | go on without an empty line"},
		{"a line that begins in the one before", "part\",\n  ", "part\", ", "2:18: this is not on a line of its own | begin a new line here"},
		{"a list on one line", "[\n      true,\n      null\n    ]", "[true, null]", "8:6: this is not on a line of its own | begin a new line here"},
		{"an object closed in the line of its last member", "\"1967-03\"\n  }", "\"1967-03\"}", "16:21: this is not on a line of its own | begin a new line here"},
		{"a space before a colon", "\"kind\":", "\"kind\" :", "2:9: there is a space too many here | go on without it"},
		{"two spaces after a colon", "\"kind\": ", "\"kind\":  ", "2:11: there is a space too many here | go on without it"},
		{"no space after a colon", "\"kind\": ", "\"kind\":", "2:10: there is no space after the colon | write one space after the colon"},
		{"a value on the next line", "\"kind\": ", "\"kind\":\n", "2:10: the line breaks too early | go on in the same line"},
		{"a space before a comma", "\"A\",", "\"A\" ,", "6:8: there is a space too many here | go on without it"},
		{"a line break before a comma", "\"A\",", "\"A\"\n,", "6:8: the line breaks too early | go on in the same line"},
		{"a space in an empty object", "{}", "{ }", "12:6: there is a space too many here | go on without it"},
		{"a line break in an empty list", "[]", "[\n]", "13:6: the line breaks too early | go on in the same line"},
		{"an empty line at the beginning", "{\n  \"kind\"", "\n{\n  \"kind\"", "1:1: a line is empty | go on without an empty line"},
		{"a space at the beginning", "{\n  \"kind\"", " {\n  \"kind\"", "1:1: there is a space too many here | go on without it"},
		{"an escape that need not be", "größer", `gr\u00f6\u00dfer`, `4:14: the escape \u00f6 has another form here | write ö`},
		{"an escaped slash", `\\ /`, `\\ \/`, `4:29: the escape \/ has another form here | write /`},
		{"an escape in capitals", `\u001f`, `\u001F`, `4:31: the escape \u001F has another form here | write \u001f`},
		{"an escape in a name", `"day"`, `"d\u0061y"`, `16:7: the escape \u0061 has another form here | write a`},
		{"a long escape for a short one", `\n`, `\u000a`, `4:18: the escape \u000a has another form here | write \n`},
		{"an escaped pair", `größer`, `gr\ud83d\udd27`, `4:14: the escape \ud83d\udd27 has another form here | write 🔧`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			src := strings.Replace(strings.ReplaceAll(laidOut, ` \u007f`, ""), tt.from, tt.to, 1)
			fault := CheckLayout(mustParse(t, src))
			if fault == nil {
				t.Fatalf("no fault in\n%s", src)
			}
			if got := fault.Error() + " | " + fault.Hint; got != tt.want {
				t.Errorf("got  %s\nwant %s\nin\n%s", got, tt.want, src)
			}
		})
	}
}

// anyValue draws a JSON value, written with random blanks and escapes.
func anyValue(depth int) *rapid.Generator[string] {
	return rapid.Custom(func(t *rapid.T) string {
		blank := func() string { return rapid.SampledFrom([]string{"", " ", "\n", "\r\n", "\t", "  "}).Draw(t, "blank") }
		kinds := 5
		if depth == 0 {
			kinds = 3
		}
		switch rapid.IntRange(0, kinds-1).Draw(t, "kind") {
		case 0:
			return rapid.SampledFrom([]string{"true", "false", "null"}).Draw(t, "literal")
		case 1:
			return strconv.FormatInt(rapid.Int64Range(-(1<<53)+1, 1<<53-1).Draw(t, "number"), 10)
		case 2:
			return anyText().Draw(t, "text")
		case 3:
			var b strings.Builder
			for i := range rapid.IntRange(0, 3).Draw(t, "elements") {
				b.WriteString(strings.Repeat(",", min(i, 1)) + blank() + anyValue(depth-1).Draw(t, "element") + blank())
			}
			return "[" + b.String() + "]"
		}
		var b strings.Builder
		for i := range rapid.IntRange(0, 3).Draw(t, "members") {
			name := fmt.Sprintf(`"%d%s`, i, anyText().Draw(t, "name")[1:])
			b.WriteString(strings.Repeat(",", min(i, 1)) + blank() + name + blank() + ":" + blank() + anyValue(depth-1).Draw(t, "value") + blank())
		}
		return "{" + b.String() + "}"
	})
}

// anyText draws a JSON text with some characters written as escapes.
func anyText() *rapid.Generator[string] {
	return rapid.Custom(func(t *rapid.T) string {
		pieces := rapid.SliceOf(rapid.SampledFrom([]string{
			"a", "é", "🔧", `\n`, `\u00e9`, `\ud83d\udd27`, `\/`, `\\`, `\"`, `\u001F`, " ", "~", "/", ":", "\u2028",
		})).Draw(t, "pieces")
		return `"` + strings.Join(pieces, "") + `"`
	})
}

func TestWhateverParsesIsLaidOutToTheSameValue(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		src := anyValue(4).Draw(t, "source")
		doc, err := Parse([]byte(src), wide)
		if err != nil {
			t.Fatalf("%v\n%s", err, src)
		}
		checkLaidOut(t, "drawn", doc)
	})
}
