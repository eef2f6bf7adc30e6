package requirement

import (
	"fmt"
	"reflect"
	"slices"

	"cel.dev/cel-go/cel"
	"cel.dev/cel-go/common/types"
	"cel.dev/cel-go/common/types/ref"

	"boltback/internal/edtf"
	"boltback/internal/quantity"
)

var (
	quantityType = cel.OpaqueType("quantity")
	dayType      = cel.OpaqueType("day")
)

// opaque is what the values of this package share: nothing converts them and none equals another by its text.
type opaque struct{}

func (opaque) ConvertToNative(t reflect.Type) (any, error) {
	return nil, fmt.Errorf("no conversion to %s", t)
}
func (opaque) ConvertToType(ref.Type) ref.Val { return types.NewErr("no conversion") }
func (opaque) Equal(ref.Val) ref.Val          { return types.NewErr("this is not compared with ==") }

// measured is a quantity in an expression: readings from records, or a limit that was written in the expression.
type measured struct {
	opaque
	words string
	list  []figure
	limit bool
	trail *trail // of a fact
}

// Type makes it a CEL value.
func (measured) Type() ref.Type { return quantityType }

// Value makes it a CEL value.
func (m measured) Value() any { return m }

// moment is a day in an expression.
type moment struct {
	opaque
	words string
	date  edtf.Date
	trail *trail
}

// Type makes it a CEL value.
func (moment) Type() ref.Type { return dayType }

// Value makes it a CEL value.
func (m moment) Value() any { return m }

// view is a thing as one evaluation sees it.
type view struct {
	opaque
	*thing
	trail *trail
}

// Type makes it a CEL value.
func (v view) Type() ref.Type { return cel.ObjectType(v.subject.Name) }

// Value makes it a CEL value.
func (v view) Value() any { return v }

// member reads a fact: its value, or the unknown that stands for the gap.
func (v view) member(name string) ref.Val {
	f, k := v.get(name)
	if k.gap != nil {
		return v.trail.unknown(*k.gap)
	}
	v.trail.touch(k)
	switch value := k.value.(type) {
	case bool:
		if words := v.called(f); !value && !slices.Contains(v.trail.denied, words) {
			v.trail.denied = append(v.trail.denied, words)
		}
		return types.Bool(value)
	case string:
		return types.String(value)
	case int64:
		return types.Int(value)
	case edtf.Date:
		return moment{words: v.called(f), date: value, trail: v.trail}
	case []figure:
		return measured{words: v.called(f), list: value, trail: v.trail}
	case []*thing:
		return v.list(f, value)
	}
	return v.trail.fault("the fact " + name + " has no value that an expression can take")
}

// list gives the entries of a list. That nobody recorded one says nothing: an empty list is a gap.
func (v view) list(f Fact, things []*thing) ref.Val {
	if len(things) == 0 {
		return v.trail.unknown(Gap{Kind: Absent, Fact: v.called(f), Want: f.Want, of: v.thing, name: f.Name})
	}
	values := make([]ref.Val, len(things))
	for i, t := range things {
		values[i] = view{thing: t, trail: v.trail}
	}
	return types.NewRefValList(types.DefaultTypeAdapter, values)
}

// limitOf reads a quantity that is written in an expression.
func limitOf(text string) (measured, error) {
	q, err := quantity.Parse(text)
	if err != nil {
		return measured{}, err
	}
	return measured{words: text, list: []figure{{q: q}}, limit: true}, nil
}
