package requirement

import (
	"slices"

	"cel.dev/cel-go/cel"
	"cel.dev/cel-go/common/types"
	"cel.dev/cel-go/common/types/ref"
)

// provider tells CEL which subjects there are and which facts they have, so that a misspelt fact is refused when an
// expression is compiled and never taken for one that nobody recorded.
type provider struct{ subjects map[string]*Subject }

func newProvider() provider {
	p := provider{map[string]*Subject{}}
	for _, s := range Subjects() {
		p.subjects[s.Name] = s
	}
	return p
}

// EnumValue: the language has no enumerations.
func (provider) EnumValue(name string) ref.Val { return types.NewErr("there is no %s", name) }

// FindIdent: the language has no names of types.
func (provider) FindIdent(string) (ref.Val, bool) { return nil, false }

// FindStructType gives the type of a subject.
func (p provider) FindStructType(name string) (*types.Type, bool) {
	if p.subjects[name] == nil {
		return nil, false
	}
	return types.NewTypeTypeWithParam(types.NewObjectType(name)), true
}

// FindStructFieldNames lists the facts of a subject.
func (p provider) FindStructFieldNames(name string) ([]string, bool) {
	s := p.subjects[name]
	if s == nil {
		return nil, false
	}
	var names []string
	for _, f := range s.Facts {
		names = append(names, f.Name)
	}
	return slices.Clip(names), true
}

// FindStructFieldType gives the type of a fact and how it is read.
func (p provider) FindStructFieldType(name, field string) (*types.FieldType, bool) {
	s := p.subjects[name]
	if s == nil {
		return nil, false
	}
	f, ok := s.fact(field)
	if !ok {
		return nil, false
	}
	return &types.FieldType{
		Type:    f.celType(),
		IsSet:   func(any) bool { return true },
		GetFrom: func(target any) (any, error) { return target.(view).member(field), nil },
	}, true
}

// NewValue: expressions make no subjects.
func (provider) NewValue(name string, _ map[string]ref.Val) ref.Val {
	return types.NewErr("%s is not made by expressions", name)
}

func (f Fact) celType() *types.Type {
	switch f.Kind {
	case YesNo:
		return cel.BoolType
	case Text:
		return cel.StringType
	case Whole:
		return cel.IntType
	case Figure:
		return quantityType
	case OnDay:
		return dayType
	}
	return cel.ListType(cel.ObjectType(f.Of))
}
