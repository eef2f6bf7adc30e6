// Package entry turns what somebody types at the bench into a record: words like mass=148kgs or lines.0.parts=fuel-tank
// become members with canonical measures, dates and names. Nothing is refused for being incomplete; what is ambiguous is
// asked about, with every reading; what was respelled is said.
package entry

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"boltback/internal/edtf"
	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/quantity"
	"boltback/internal/record"
)

// Context is what entry knows beside the words: the car, the yard's habits, today.
type Context struct {
	// Snapshot lets short names stand for whole ones; nil means that there is no car yet.
	Snapshot *ledger.Snapshot
	// Book lists the people, instruments and stores that the car could copy from its workshop's address book, for whom short
	// names stand too; nil means that there is none.
	Book func() []record.Ref
	// DecimalComma is the yard's habit of writing 0,5 for a half.
	DecimalComma bool
	// Country is where units are read that differ between countries, ISO 3166-1 two letters.
	Country string
	// Today stands for the word today.
	Today edtf.Day
}

// Fault is a word that could not be taken, with what would be right.
type Fault struct{ Word, Message, Hint string }

// Error names the word and what is wrong with it.
func (f *Fault) Error() string { return f.Word + ": " + f.Message }

// Apply sets the members that words name, in order. It gives a note for each respelling. After an error the body is not to
// be used: some words may have been taken.
func (c Context) Apply(body record.Body, words []string) (notes []string, err error) {
	for _, word := range words {
		name, value, ok := strings.Cut(word, "=")
		if !ok {
			return notes, &Fault{Word: word, Message: "a field is written name=value", Hint: "for example tag=0147"}
		}
		more, err := c.set(body, strings.Split(strings.TrimSpace(name), "."), strings.TrimSpace(value))
		var fault *Fault
		if errors.As(err, &fault) && fault.Word == "" {
			fault.Word = word
		}
		if err != nil {
			return notes, err
		}
		notes = append(notes, more...)
	}
	return notes, nil
}

// set walks to the member that a path names and gives it a value.
func (c Context) set(body record.Body, path []string, value string) ([]string, error) {
	v := reflect.ValueOf(body).Elem()
	var tag reflect.StructTag
	for i := 0; i < len(path); i++ {
		switch v.Kind() {
		case reflect.Struct:
			field, ok := member(v, path[i])
			if !ok {
				return nil, unknown(v.Type(), path[:i+1])
			}
			if path[i] == "kind" {
				return nil, &Fault{Message: "the kind of a record is given once, not as a field"}
			}
			v, tag = field.value, field.tag
		case reflect.Slice:
			grown, err := element(v, path[i])
			if err != nil {
				return nil, err
			}
			v = grown
		default:
			return nil, &Fault{Message: fmt.Sprintf("%s holds nothing further", strings.Join(path[:i], "."))}
		}
		if v.Kind() == reflect.Pointer {
			if v.IsNil() {
				v.Set(reflect.New(v.Type().Elem()))
			}
			v = v.Elem()
		}
	}
	return c.assign(body, v, tag, path, value)
}

// found is a field of a struct with its tag.
type found struct {
	value reflect.Value
	tag   reflect.StructTag
}

// member finds a struct's field by its name in JSON, embedded ones included.
func member(v reflect.Value, name string) (found, bool) {
	for i := range v.NumField() {
		f := v.Type().Field(i)
		if f.Anonymous {
			if inner, ok := member(v.Field(i), name); ok {
				return inner, true
			}
			continue
		}
		if jsonName, _, _ := strings.Cut(f.Tag.Get("json"), ","); jsonName == name {
			return found{v.Field(i), f.Tag}, true
		}
	}
	return found{}, false
}

// names lists the members of a struct type, in order.
func names(t reflect.Type) []string {
	var all []string
	for i := range t.NumField() {
		f := t.Field(i)
		if f.Anonymous {
			all = append(all, names(f.Type)...)
		} else if name, _, _ := strings.Cut(f.Tag.Get("json"), ","); name != "kind" {
			all = append(all, name)
		}
	}
	return all
}

func unknown(t reflect.Type, path []string) error {
	all := names(t)
	hint := "there are: " + strings.Join(all, ", ")
	if near := finding.Nearest(path[len(path)-1], all); near != "" {
		hint = fmt.Sprintf("did you mean %s?", strings.Join(append(path[:len(path)-1:len(path)-1], near), "."))
	} else if deeper := inside(t, path[len(path)-1]); len(deeper) > 0 {
		hint = "did you mean " + strings.Join(deeper, " or ") + "?"
	}
	return &Fault{Message: fmt.Sprintf("there is no field %s", strings.Join(path, ".")), Hint: hint}
}

// element gives the element of a list that an index names; the index after the last makes a new one.
func element(list reflect.Value, index string) (reflect.Value, error) {
	i, err := strconv.Atoi(index)
	switch {
	case err != nil || i < 0:
		return reflect.Value{}, &Fault{Message: fmt.Sprintf("%s is no place in a list", index), Hint: "places count from 0: lines.0.act=removal"}
	case i > list.Len():
		return reflect.Value{}, &Fault{Message: fmt.Sprintf("the list has %d entries, so the next is %d", list.Len(), list.Len())}
	case i == list.Len():
		list.Set(reflect.Append(list, reflect.Zero(list.Type().Elem())))
	}
	return list.Index(i), nil
}

// assign reads a value for what the member is, and sets it. A list takes the value as one more entry; an empty value takes
// the member away.
func (c Context) assign(body record.Body, v reflect.Value, tag reflect.StructTag, path []string, value string) ([]string, error) {
	if value == "" {
		v.Set(reflect.Zero(v.Type()))
		return nil, nil
	}
	target := v
	if v.Kind() == reflect.Slice {
		if v.Type().Elem().Kind() == reflect.Struct {
			return nil, &Fault{Message: strings.Join(path, ".") + " is a list of objects", Hint: fmt.Sprintf("name the place and the member: %s.%d.%s=...", strings.Join(path, "."), v.Len(), names(v.Type().Elem())[0])}
		}
		target = reflect.New(v.Type().Elem()).Elem()
	}
	notes, err := c.read(body, target, tag, path, value)
	if err == nil && v.Kind() == reflect.Slice {
		v.Set(reflect.Append(v, target))
	}
	return notes, err
}

func (c Context) read(body record.Body, v reflect.Value, tag reflect.StructTag, path []string, value string) ([]string, error) {
	switch v.Type() {
	case reflect.TypeFor[record.Ref]():
		ref, err := c.reference(value, tag.Get("refers"))
		v.SetString(string(ref))
		return nil, err
	case reflect.TypeFor[record.Measure]():
		return c.measure(v, value, quantity.Hints{Dimension: quantity.Dimension(tag.Get("dimension"))})
	case reflect.TypeFor[record.Date]():
		text, err := c.date(value)
		v.SetString(text)
		return nil, err
	case reflect.TypeFor[record.Sealed]():
		v.SetString(value) // sealed before it is written
		return nil, nil
	}
	switch v.Kind() {
	case reflect.Int64:
		n, err := strconv.ParseInt(value, 10, 64)
		if err != nil {
			return nil, &Fault{Message: value + " is not a whole number"}
		}
		v.SetInt(n)
		return nil, nil
	case reflect.String:
		return c.text(body, v, path, value)
	default:
		return nil, &Fault{Message: strings.Join(path, ".") + " is an object", Hint: fmt.Sprintf("name a member: %s.%s=...", strings.Join(path, "."), names(v.Type())[0])}
	}
}

// inside lists where one level deeper a struct has a member of a name: values.0.of for of.
func inside(t reflect.Type, name string) []string {
	var all []string
	for i := range t.NumField() {
		f := t.Field(i)
		outer, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		inner := f.Type
		for inner.Kind() == reflect.Slice || inner.Kind() == reflect.Pointer {
			if inner.Kind() == reflect.Slice {
				outer += ".0"
			}
			inner = inner.Elem()
		}
		if !f.Anonymous && inner.Kind() == reflect.Struct && slices.Contains(names(inner), name) {
			all = append(all, outer+"."+name)
		}
	}
	return all
}
