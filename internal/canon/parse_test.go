package canon

import (
	"encoding/json"
	"reflect"
	"sync"
	"testing"
)

func mustParse(t testing.TB, src string) *Document {
	t.Helper()
	doc, err := Parse([]byte(src), Limits{})
	if err != nil {
		t.Fatalf("%v\n%s", err, src)
	}
	return doc
}

func TestEveryNodeKnowsWhatItIsAndWhereItStands(t *testing.T) {
	const src = ` { "a" : [ -12 , "x\u00e9\n" , true , null ] , "b":{ } , "c" : [ ] } `
	doc := mustParse(t, src)
	tests := []struct {
		pointer string
		kind    Kind
		text    string
		written string
	}{
		{"", Object, "", `{ "a" : [ -12 , "x\u00e9\n" , true , null ] , "b":{ } , "c" : [ ] }`},
		{"/a", Array, "", `[ -12 , "x\u00e9\n" , true , null ]`},
		{"/a/0", Number, "-12", `-12`},
		{"/a/1", String, "xé\n", `"x\u00e9\n"`},
		{"/a/2", Bool, "true", `true`},
		{"/a/3", Null, "null", `null`},
		{"/b", Object, "", `{ }`},
		{"/c", Array, "", `[ ]`},
	}
	for _, tt := range tests {
		n := doc.Find(tt.pointer)
		if n == nil {
			t.Fatalf("%q is not found", tt.pointer)
		}
		if n.Kind != tt.kind || n.Text != tt.text || src[n.Start:n.End] != tt.written {
			t.Errorf("%q is %v %q, written %q", tt.pointer, n.Kind, n.Text, src[n.Start:n.End])
		}
	}
	for i, m := range doc.Root.Members {
		if want := []string{"a", "b", "c"}[i]; m.Name != want || src[m.NameStart:m.NameStart+3] != `"`+want+`"` {
			t.Errorf("member %d is %q at %q", i, m.Name, src[m.NameStart:m.NameStart+3])
		}
	}
}

func TestAValueOfAnyKindMayBeTheWholeFile(t *testing.T) {
	tests := []struct {
		src  string
		want any
	}{
		{`{}`, map[string]any{}},
		{`[]`, []any{}},
		{`""`, ""},
		{`9007199254740991`, json.Number("9007199254740991")},
		{`-9007199254740991`, json.Number("-9007199254740991")},
		{`0`, json.Number("0")},
		{`true`, true},
		{`false`, false},
		{`null`, nil},
		{`{"a":[{"b":"c"}]}`, map[string]any{"a": []any{map[string]any{"b": "c"}}}},
		{`{"":1}`, map[string]any{"": json.Number("1")}},
		{`"\u0000\ud83d\udd27"`, "\x00🔧"},
	}
	for _, tt := range tests {
		if got := mustParse(t, tt.src).Root.Any(); !reflect.DeepEqual(got, tt.want) {
			t.Errorf("%s is %#v, want %#v", tt.src, got, tt.want)
		}
	}
}

func TestGetAnswersNilForWhatIsNotThere(t *testing.T) {
	root := mustParse(t, `{"a":{"b":"x"},"c":[1]}`).Root
	if n := root.Get("a").Get("b"); n == nil || n.Text != "x" {
		t.Errorf("a, b is %v", n)
	}
	for name, n := range map[string]*Node{
		"an unknown name": root.Get("z"), "a member of nothing": root.Get("z").Get("y"),
		"a member of a text": root.Get("a").Get("b").Get("c"), "a member of a list": root.Get("c").Get("0"),
	} {
		if n != nil {
			t.Errorf("%s is %v", name, n)
		}
	}
	if (*Node)(nil).Any() != nil {
		t.Error("the value of nothing is something")
	}
}

func TestParsingDoesNotTouchItsInputAndRunsInParallel(t *testing.T) {
	const src = `{"a":["\u00e9",1,{"b":null}],"c":"x"}`
	shared := []byte(src)
	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() {
			for range 200 {
				doc, err := Parse(shared, Limits{})
				if err != nil || doc.Find("/a/0").Text != "é" || doc.Find("/c").Text != "x" {
					t.Errorf("%v", err)
					return
				}
				if _, err := Parse([]byte(`{"a":1,"a":2}`), Limits{}); err == nil {
					t.Error("a duplicate name was accepted after a good file")
				}
			}
		})
	}
	wg.Wait()
	if string(shared) != src {
		t.Errorf("the input became %s", shared)
	}
}

func TestKindsAreNamedForMessages(t *testing.T) {
	want := map[Kind]string{Null: "null", Bool: "true or false", Number: "a number", String: "a text", Array: "a list", Object: "an object", 0: "nothing"}
	for k, name := range want {
		if k.String() != name {
			t.Errorf("%d is %q, want %q", k, k.String(), name)
		}
	}
}

func TestTheDigestIsWhatSha256sumPrints(t *testing.T) {
	const want = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad" // FIPS 180-2, appendix B.1
	if got := Digest([]byte("abc")); got != want {
		t.Errorf("got %s", got)
	}
}
