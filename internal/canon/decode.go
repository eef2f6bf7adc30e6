package canon

import (
	"encoding"
	"errors"
	"fmt"
	"math"
	"reflect"
	"strconv"

	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"
	jsonv1 "github.com/go-json-experiment/json/v1"
)

// Unmarshal decodes the document into the value that v points to, strictly: a
// member that v has no field for, a value of another type and a null where v
// cannot hold one are a *SyntaxError with its place. Names match letter by
// letter. Fields that the document does not have keep their value. A number in
// a field of type any becomes an int64, which holds every number a document can.
// Types may take part with encoding.TextUnmarshaler; what their error says
// becomes the message.
func Unmarshal(d *Document, v any) error {
	err := json.Unmarshal(d.Source, v, json.RejectUnknownMembers(true), json.WithUnmarshalers(strictly))
	if err == nil {
		return nil
	}
	return d.typeError(err)
}

// errNull is raised for a null that would silently become a zero value.
var errNull = errors.New("null stands where a value belongs")

var strictly = json.JoinUnmarshalers(json.UnmarshalFromFunc(refuseNull), json.UnmarshalFromFunc(wholeNumber))

// refuseNull lets a null pass only to types that have a nil.
func refuseNull(dec *jsontext.Decoder, v any) error {
	if dec.PeekKind() != jsontext.KindNull {
		return errors.ErrUnsupported
	}
	switch reflect.TypeOf(v).Elem().Kind() {
	case reflect.Pointer, reflect.Interface, reflect.Map, reflect.Slice:
		return errors.ErrUnsupported
	}
	return errNull
}

// wholeNumber keeps a number in an untyped field from becoming a float.
func wholeNumber(dec *jsontext.Decoder, v *any) error {
	if dec.PeekKind() != jsontext.KindNumber {
		return errors.ErrUnsupported
	}
	raw, err := dec.ReadValue()
	if err != nil {
		return err
	}
	number, err := strconv.ParseInt(string(raw), 10, 64)
	*v = number
	return err
}

// typeError turns the decoder's report into ours.
func (d *Document) typeError(err error) error {
	var s *json.SemanticError
	if !errors.As(err, &s) {
		return &SyntaxError{Line: 1, Column: 1, Message: err.Error()}
	}
	pointer := string(s.JSONPointer)
	pos := d.Locate(pointer)
	e := &SyntaxError{Pointer: pointer}
	switch node := d.Find(pointer); {
	case errors.Is(err, json.ErrUnknownName):
		pos = d.LocateName(pointer)
		e.Message = quote(s.JSONPointer.LastToken()) + " is not a member known here"
		e.Hint = "mend the name, or leave the member out"
	case errors.Is(err, errNull):
		e.Message, e.Hint = "null says nothing here", "leave the member out when there is nothing to say"
	case node != nil && s.JSONKind == jsontext.KindNumber && (errors.Is(err, strconv.ErrRange) || errors.Is(err, strconv.ErrSyntax)):
		e.Message = shorten(node.Text) + " is out of range here"
	case s.GoType != nil && node != nil && (s.Err == nil || node.Kind != String && readsText(s.GoType)):
		e.Message, e.Hint = mismatch(node.Kind, wanted(s.GoType))
	case s.Err != nil:
		e.Message = s.Err.Error()
	default:
		e.Message = "this value does not fit here"
	}
	e.Line, e.Column = pos.Line, pos.Column
	return e
}

// mismatch words a value of the wrong kind.
func mismatch(got, want Kind) (message, hint string) {
	switch {
	case want == String && (got == Number || got == Bool):
		hint = "write it in quotes"
	case want == Number && got == String:
		hint = "write a whole number, without quotes"
	case want == Array:
		hint = "put it in square brackets, even when it is the only one"
	}
	return fmt.Sprintf("this is %s where %s belongs", got, want), hint
}

// wanted is the kind of value that a Go type takes.
func wanted(t reflect.Type) Kind {
	if readsText(t) {
		return String
	}
	switch t.Kind() {
	case reflect.Pointer:
		return wanted(t.Elem())
	case reflect.Bool:
		return Bool
	case reflect.Slice, reflect.Array:
		return Array
	case reflect.Struct, reflect.Map:
		return Object
	case reflect.String:
		return String
	}
	return Number
}

// readsText reports whether a type decodes itself from a text.
func readsText(t reflect.Type) bool {
	return reflect.PointerTo(t).Implements(reflect.TypeFor[encoding.TextUnmarshaler]())
}

// Marshal encodes v and returns it in the layout of Layout, struct fields in
// the order they are declared, map keys sorted. A field tagged omitempty is left
// out when it is false, 0, "", nil or an empty list or map, as in encoding/json;
// one tagged omitzero when it is the zero value of its type or its IsZero method
// says so. Numbers must be whole and below 2^53.
func Marshal(v any) ([]byte, error) {
	raw, err := json.Marshal(v, json.Deterministic(true), jsonv1.OmitEmptyWithLegacySemantics(true))
	if err != nil {
		return nil, fmt.Errorf("a value cannot be written as a record: %w", err)
	}
	d, err := Parse(raw, Limits{Bytes: math.MaxInt, Nodes: math.MaxInt, StringBytes: math.MaxInt})
	if err != nil {
		return nil, fmt.Errorf("a value cannot be written as a record: %w", err)
	}
	return Layout(d), nil
}
