package canon

import (
	"bytes"
	"reflect"
	"testing"
)

// checkLaidOut insists on what must hold for every document: the layout means
// the same, is its own layout, and is found in order.
func checkLaidOut(t testing.TB, name string, doc *Document) {
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
