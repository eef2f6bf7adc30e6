package record

import (
	"reflect"
	"strings"
	"sync"

	"boltback/internal/canon"
)

// Role says what a text in a record is, beyond being text.
type Role int

// The roles.
const (
	Plain Role = iota
	Reference
	Quantity
	Moment
	Hash
	Secret
)

// Leaf is one text of a record with its place and its role. Kinds is what a reference may point at ("*" for any),
// Dimension what a quantity must be of.
type Leaf struct {
	Pointer   string
	Text      string
	Role      Role
	Kinds     []Kind
	Dimension string
}

// Leaves lists every text of the record in the order of its members.
func (r *Record) Leaves() []Leaf {
	var leaves []Leaf
	walk(reflect.ValueOf(r.Body).Elem(), "", func(l Leaf) {
		for i, k := range l.Kinds {
			if k == "same" {
				l.Kinds = append([]Kind(nil), l.Kinds...)
				l.Kinds[i] = r.Kind
			}
		}
		leaves = append(leaves, l)
	})
	return leaves
}

// field is what a struct field means, worked out once per type.
type field struct {
	index     int
	name      string
	embedded  bool
	kinds     []Kind
	dimension string
}

var plans sync.Map // reflect.Type -> []field

func planOf(t reflect.Type) []field {
	if p, ok := plans.Load(t); ok {
		return p.([]field)
	}
	var plan []field
	for i := range t.NumField() {
		f := t.Field(i)
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		entry := field{index: i, name: name, embedded: f.Anonymous, dimension: f.Tag.Get("dimension")}
		if refers := f.Tag.Get("refers"); refers != "" {
			for k := range strings.SplitSeq(refers, ",") {
				entry.kinds = append(entry.kinds, Kind(k))
			}
		}
		plan = append(plan, entry)
	}
	plans.Store(t, plan)
	return plan
}

func walk(v reflect.Value, pointer string, visit func(Leaf)) {
	for _, f := range planOf(v.Type()) {
		value := v.Field(f.index)
		if f.embedded {
			walk(value, pointer, visit)
			continue
		}
		walkValue(value, canon.ChildPointer(pointer, f.name), f, visit)
	}
}

func walkValue(v reflect.Value, pointer string, f field, visit func(Leaf)) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			walk(v.Elem(), pointer, visit)
		}
	case reflect.Struct:
		walk(v, pointer, visit)
	case reflect.Slice:
		for i := range v.Len() {
			walkValue(v.Index(i), canon.ElementPointer(pointer, i), f, visit)
		}
	case reflect.String:
		if v.String() != "" {
			visit(Leaf{Pointer: pointer, Text: v.String(), Role: roleOf(v.Type()), Kinds: f.kinds, Dimension: f.dimension})
		}
	}
}

func roleOf(t reflect.Type) Role {
	switch t {
	case reflect.TypeFor[Ref]():
		return Reference
	case reflect.TypeFor[Measure]():
		return Quantity
	case reflect.TypeFor[Date]():
		return Moment
	case reflect.TypeFor[Digest]():
		return Hash
	case reflect.TypeFor[Sealed]():
		return Secret
	default:
		return Plain
	}
}
